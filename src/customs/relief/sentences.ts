import type { Anchor } from './columns.js'
import { decidingRoute, type LineAssessment, type RouteAssessment, type Test } from './verdict.js'

const ANCHOR_WORDS: Record<Anchor, string> = {
  abroad: 'moving abroad',
  leave: 'leaving the old residence',
  ship: 'leaving, or handing over for shipping if earlier',
  arrive: 'taking up residence',
  'first-arrival': 'first arrival',
  import: 'import',
  wedding: 'the wedding',
  inheritance: 'coming into the inheritance',
}

const days = (n: number) => (n === 1 ? '1 day' : `${n} days`)
const months = (n: number | undefined) => (n === 1 ? '1 month' : `${n} months`)
/** What is asked, in words: 12 months, or more than 12 months. */
const time = (test: Test) => `${test.over ? 'more than ' : ''}${months(test.needed)}`
/** Upper case at the start of a sentence. */
const starting = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

/** The sentence that explains one test. */
export function testSentence(test: Test, unit = 'month'): string {
  const anchor = test.anchor ? ANCHOR_WORDS[test.anchor] : ''
  const short = test.daysShort ?? 0
  switch (test.test) {
    case 'covered':
      return `The law rules relief out here: ${test.because}.`
    case 'nationality':
      return test.outcome === 'unknown'
        ? `Nationality decides (${test.because}), and none is given.`
        : `Nationality (${test.because}): ${met(test)}.`
    case 'adult':
      return `Only adults qualify: ${met(test)}.`
    case 'first-time':
      return test.outcome === 'fail'
        ? 'Relief is for the first time a person comes to live there, and this person has lived there before.'
        : 'Relief is for the first time a person comes to live there; this is taken to be so.'
    case 'earlier-relief':
      return test.meetsOn === undefined
        ? `Relief is given again only after ${months(test.needed)}; none is taken to have been used before.`
        : `Relief is given again only after ${months(test.needed)}, from ${test.meetsOn}${short > 0 ? `: ${days(short)} too early` : ''}.`
    case 'permit':
      if (test.needed === undefined) return 'The permit must run for a time that these tables do not know.'
      return test.outcome === 'unknown'
        ? `The permit must run ${orMore(test)}, and its length is not given.`
        : `The permit must run ${orMore(test)}: ${met(test)}.`
    case 'stay':
      return test.outcome === 'assumed'
        ? `A stay of ${orMore(test)} is asked; a person who settles is taken to stay so long.`
        : `A stay of ${orMore(test)} is asked: ${test.outcome === 'unknown' ? 'its length is not given' : met(test)}.`
    case 'residence':
      return 'There are ties on both sides, and a person has one normal residence only: the authority weighs them, and the length of stay abroad counts much.'
    case 'abroad':
      if (test.because) return `Months abroad on ${test.to}: ${test.because}.`
      if (test.needed === undefined)
        return 'Months lived abroad are asked for, but the number is not known to these tables.'
      return `${starting(time(test))} of living abroad are asked, counted to ${anchor} (${test.to}): since ${test.from}, ${
        short > 0 ? `${days(short)} short; met on ${test.meetsOn}` : 'met'
      }.`
    case 'application':
      return `Granted only on application${test.because ? `: ${test.because}` : ''}.`
    case 'leaves-again':
      return 'Free only as a temporary import: the goods must leave again, security may be asked, and selling them makes the charges due.'
    case 'ceiling':
      return `There is a ceiling ${test.because ?? 'that these tables do not know'}.`
    case 'only':
      return `This relief is for ${test.because} alone.`
    case 'taken-along':
      if (test.from === undefined)
        return `Only things taken along on moving abroad (${test.to}) come back free: the day of purchase is not given.`
      return test.outcome === 'fail'
        ? `Only things taken along on moving abroad (${test.to}) come back free: owned since ${test.from}.`
        : `Owned since ${test.from}, before moving abroad (${test.to}): free to come back${test.outcome === 'waivable' ? ' only' : ''} with proof that it was taken along then.`
    case 'vehicle-age':
      return test.outcome === 'unknown'
        ? `Only vehicles of ${test.needed} years or younger qualify, and the day it was made is not given.`
        : `Only vehicles of ${test.needed} years or younger qualify: by ${test.meetsOn}, ${test.to} is ${test.outcome === 'fail' ? 'too late' : 'in time'}.`
    case 'steering':
      return test.outcome === 'unknown'
        ? `Only vehicles steered on the ${test.because} qualify, and the side is not given.`
        : `Only vehicles steered on the ${test.because} qualify: ${met(test)}.`
    case 'emissions':
      return test.outcome === 'unknown'
        ? `Only vehicles of Euro ${test.needed} or better qualify, and the class is not given.`
        : `Only vehicles of Euro ${test.needed} or better qualify: ${met(test)}.`
    case 'window':
      if (test.from === undefined)
        return `The goods must enter within a period of ${anchor || 'the move'}, which cannot be tested here.`
      if ((test.to ?? '') < test.from) {
        return `Goods may enter up to ${test.needed} ${unit}s before ${anchor}: entered ${test.to}, so it must be by ${test.meetsOn}${
          short > 0 ? `, and ${test.from} is ${days(short)} too late` : ', and it is'
        }.`
      }
      return `Goods must enter within ${test.needed} ${unit}s of ${anchor} (${test.from}), by ${test.meetsOn}: ${
        short > 0 ? `${test.to} is ${days(short)} late` : `${test.to} is in time`
      }.`
    case 'class':
      return `Goods of the class ${test.because} are left out of this relief.`
    case 'held':
      return test.outcome === 'waivable'
        ? 'Bought free of tax: relief only where that was a privilege of office, at the discretion of the authority.'
        : `What is held as ${test.because} is left out of this relief.`
    case 'used':
      return 'Only used goods qualify, and this is new.'
    case 'owned':
      if (test.needed === undefined)
        return 'A time of ownership is asked for, but its length is not known to these tables.'
      if (test.outcome === 'assumed')
        return `To be owned and used before ${anchor} (${test.to}): taken to be so, as it is ${test.because}.`
      if (test.outcome === 'unknown')
        return `${starting(time(test))} of ownership and use are asked: ${test.because}.`
      if (test.because && test.from === undefined)
        return `${starting(time(test))} of use are asked: ${test.because}.`
      return `${
        test.needed === 0 && !test.over
          ? `To be owned and used before ${anchor} (${test.to})`
          : `${starting(time(test))} of ownership and use are asked, counted to ${anchor} (${test.to})`
      }: owned since ${test.from}, ${
        short > 0
          ? `${days(short)} short${test.because ? `, ${test.because}` : `; met on ${test.meetsOn}`}`
          : 'met'
      }.`
    case 'listed':
      return test.outcome === 'fail'
        ? 'Only goods on the list given at first arrival qualify, and this was not on it.'
        : 'Only goods on the list given at first arrival qualify: put it on the list.'
    case 'length':
      return test.outcome === 'unknown'
        ? `No more than ${test.needed} m long: the length is not given.`
        : `No more than ${test.needed} m long: ${met(test)}.`
  }
}

const orMore = (test: Test) => (test.over ? time(test) : `${time(test)} or more`)
const met = (test: Test) => (test.outcome === 'fail' || test.outcome === 'waivable' ? 'not met' : 'met')

/** What refuses relief, in words; where nothing does, the tests of a route that did not pass outright. */
export function reasons(route: RouteAssessment): string[] {
  const failed = route.tests.filter(({ outcome }) => outcome === 'fail')
  const telling =
    failed.length > 0
      ? failed
      : route.tests.filter((test) => test.outcome !== 'pass' || test.because === 'charged by the day')
  // The row's discretion is about its own tests, not about how a thing was bought.
  const waivable = route.tests.some(
    ({ test, outcome }) => outcome === 'waivable' && test !== 'held' && test !== 'taken-along',
  )
  return [
    ...telling.map((test) => testSentence(test, route.row.window_unit)),
    ...(waivable && route.row.discretion
      ? [`The authority may set this aside ${route.row.discretion}.`]
      : []),
  ]
}

/** What the sources read do not tell about a rule, so that it was left out of the tests. */
export function notDetermined(route: RouteAssessment): string[] {
  const { row } = route
  const gaps: [boolean, string][] = [
    [row.abroad_months === 'none-found', 'months abroad'],
    [row.owned_months === 'none-found', 'months of ownership'],
    [row.after === 'none-found', 'the time within which goods must enter'],
    [row.no_disposal === 'none-found', 'the time in which nothing may be sold'],
    [row.ceiling === 'unknown', 'a ceiling of value or quantity'],
    [row.ceiling === 'quantity-list', 'the list of quantities, which these tables do not hold'],
  ]
  return gaps.flatMap(([gap, what]) => (gap ? [`not determined: ${what}`] : []))
}

/** One line in words: the verdict, the rule that gives it, and why. */
export function lineSentence(assessment: LineAssessment): string {
  const route = decidingRoute(assessment)
  if (route === undefined) {
    return assessment.verdict === 'qualifies'
      ? `${assessment.line.label}: a move inside one customs territory, no import.`
      : `${assessment.line.label}: unknown. The tables hold no rule for this person there; ask the customs authority.`
  }
  const why = reasons(route)
  return `${assessment.line.label}: ${assessment.verdict} (${route.row.label}). ${why.length > 0 ? why.join(' ') : 'Every test is met.'}`
}

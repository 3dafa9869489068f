import type { IsoDate } from '../tables/fields.js'
import {
  addMonths,
  daysBetween,
  latestStart,
  periodEnd,
  totalMonths,
  wholeMonthsBetween,
} from './calendar.js'
import type { DutyLine, DutyMove, DutyPerson } from './move.js'
import type { Anchor, CustomsTables, Jurisdiction, Levy, ReliefRow } from './tables.js'
import { holdsOn, LEVIES } from './tables.js'

/** The answer of a rule: `unknown` where the tables or the household do not say enough to tell. */
export type Verdict = 'qualifies' | 'discretionary' | 'unknown' | 'refused'

/** How one test ended. `waivable`: failed, but the authority may set it aside. `assumed`: passes if what it says is so. */
export type Outcome = 'pass' | 'assumed' | 'waivable' | 'unknown' | 'fail'

export type TestName =
  | 'covered'
  | 'nationality'
  | 'adult'
  | 'first-time'
  | 'earlier-relief'
  | 'permit'
  | 'residence'
  | 'abroad'
  | 'application'
  | 'window'
  | 'class'
  | 'held'
  | 'used'
  | 'owned'
  | 'listed'
  | 'length'

/** One test of one rule, with the facts its sentence is made of. */
export interface Test {
  readonly test: TestName
  readonly outcome: Outcome
  /** What the law asks, e.g. months; and to which day it counts. */
  readonly needed?: number
  readonly from?: IsoDate
  readonly to?: IsoDate
  readonly anchor?: Anchor
  /** The day on which the test is met, or the last day on which it was. */
  readonly meetsOn?: IsoDate
  /** By how many days it fails; for a window, how many days late or early. */
  readonly daysShort?: number
  readonly because?: string
}

/** One rule tried on one person and one line. */
export interface RouteAssessment {
  readonly row: ReliefRow
  readonly verdict: Verdict
  readonly tests: readonly Test[]
  /** For relief charged by the day: the days short and the days asked, so that short/of is charged. */
  readonly proRata?: { readonly short: number; readonly of: number }
}

/** One line with one person as its importer: each levy on its own, the whole as bad as its worst levy. */
export interface LineAssessment {
  readonly line: DutyLine
  readonly person: string
  readonly verdict: Verdict
  readonly levies: Readonly<Record<Levy, Verdict>>
  /** The rule that decides each levy: the kindest one; undefined where none is about it. */
  readonly by: Readonly<Record<Levy, RouteAssessment | undefined>>
  readonly routes: readonly RouteAssessment[]
}

const RANK: Record<Verdict, number> = { qualifies: 0, discretionary: 1, unknown: 2, refused: 3 }
const kinder = (a: Verdict, b: Verdict) => RANK[a] < RANK[b]

/** What a set of tests comes to. */
export function verdictOf(tests: readonly Test[]): Verdict {
  let worst: Verdict = 'qualifies'
  for (const { outcome } of tests) {
    if (outcome === 'fail') return 'refused'
    if (outcome === 'unknown') worst = 'unknown'
    else if (outcome === 'waivable' && worst === 'qualifies') worst = 'discretionary'
  }
  return worst
}

/** The customs territory of a country, if the tables have it. */
export const jurisdictionOf = (tables: CustomsTables, country: string): Jurisdiction | undefined =>
  tables.jurisdictionOfCountry.get(country)

/** Is this a move inside one customs territory, which needs no import at all? */
export function insideOneTerritory(
  tables: CustomsTables,
  move: Pick<DutyMove, 'origin' | 'destination'>,
): boolean {
  const to = jurisdictionOf(tables, move.destination)
  return move.origin === move.destination || (to !== undefined && to === jurisdictionOf(tables, move.origin))
}

/**
 * Relief for every line of a move with one person as the importer.
 *
 * A destination the tables do not have gives `unknown` on every line: never a guess.
 * Months are counted as the law of the row counts them; see calendar.ts.
 */
export function assessFor(tables: CustomsTables, move: DutyMove, person: DutyPerson): LineAssessment[] {
  if (insideOneTerritory(tables, move)) {
    return move.lines.map((line) => withoutImport(line, person.person))
  }
  const jurisdiction = jurisdictionOf(tables, move.destination)
  return assessIn(tables, jurisdiction, move, person)
}

/** The same with the jurisdiction given: for a look at all of them. */
export function assessIn(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): LineAssessment[] {
  const rows = reliefRows(tables, jurisdiction?.id, person, move.importOn)
  const routes = rows.map((row) => routeFor(row, tables, jurisdiction, move, person))
  return move.lines.map((line) => assessLine(routes, line, person.person))
}

function reliefRows(
  tables: CustomsTables,
  jurisdiction: string | undefined,
  person: DutyPerson,
  on: IsoDate,
): ReliefRow[] {
  return [...(tables.relief.get(jurisdiction ?? '') ?? []), ...(tables.relief.get('any') ?? [])].filter(
    (row) => row.statuses.includes(person.status) && holdsOn(row, on),
  )
}

const ALL_FREE = { duty: 'qualifies', excise: 'qualifies', tax: 'qualifies', fee: 'qualifies' } as const
const NOBODY = { duty: undefined, excise: undefined, tax: undefined, fee: undefined }

const withoutImport = (line: DutyLine, person: string): LineAssessment => ({
  line,
  person,
  verdict: 'qualifies',
  levies: ALL_FREE,
  by: NOBODY,
  routes: [],
})

/** A rule with all that does not depend on the line worked out once. */
interface Route {
  readonly row: ReliefRow
  readonly personTests: readonly Test[]
  /** Window and ownership by day of import, because a later consignment has its own. */
  readonly onImport: (importOn: IsoDate) => {
    readonly window: readonly Test[]
    readonly owned: OwnedRule | undefined
  }
  readonly isExcluded: (goodsClass: string) => boolean
  readonly importOn: IsoDate
}

interface OwnedRule {
  readonly to: IsoDate
  readonly latestStart: IsoDate
  readonly months: number
}

function routeFor(
  row: ReliefRow,
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Route {
  const excluded = new Set(row.excluded)
  const byImport = new Map<IsoDate, ReturnType<Route['onImport']>>()
  const waived = isOwnershipWaived(row, person, move)
  return {
    row,
    importOn: move.importOn,
    personTests: personTests(row, jurisdiction, move, person),
    isExcluded: (goodsClass) =>
      excluded.size > 0 &&
      (excluded.has(goodsClass) || excluded.has(tables.classes.get(goodsClass)?.group ?? '')),
    onImport: (importOn) => {
      const known = byImport.get(importOn)
      if (known) return known
      const to = row.owned_to && anchorDay(row.owned_to, move, person, importOn)
      const owned =
        typeof row.owned_months === 'number' && to !== undefined && !waived
          ? { to, months: row.owned_months, latestStart: latestStart(to, row.owned_months) }
          : undefined
      const made = { window: windowTests(row, move, person, importOn), owned }
      byImport.set(importOn, made)
      return made
    },
  }
}

function anchorDay(
  anchor: Anchor,
  move: DutyMove,
  person: DutyPerson,
  importOn: IsoDate,
): IsoDate | undefined {
  switch (anchor) {
    case 'leave':
      return person.leaves_on
    case 'ship':
      return [move.loadOn, person.leaves_on].toSorted()[0]
    case 'arrive':
      return person.arrives_on
    case 'first-arrival':
      return person.first_arrival_on ?? person.arrives_on
    case 'import':
      return importOn
    case 'wedding':
      return person.marriedOn
    case 'inheritance':
      return person.inheritedOn
  }
}

function isOwnershipWaived(row: ReliefRow, person: DutyPerson, move: DutyMove): boolean {
  if (typeof row.owned_waived_abroad !== 'number') return false
  const to = anchorDay(row.abroad_to ?? 'arrive', move, person, move.importOn)
  return to !== undefined && wholeMonthsBetween(person.abroad_since, to) >= row.owned_waived_abroad
}

function personTests(
  row: ReliefRow,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Test[] {
  if (row.effect === 'none') return [{ test: 'covered', outcome: 'fail', because: row.refusal ?? '' }]
  const tests: Test[] = []
  if (row.national !== undefined) {
    const outcome: Outcome =
      person.nationality === undefined
        ? 'unknown'
        : (jurisdiction?.countries.includes(person.nationality) ?? false) === (row.national === 'yes')
          ? 'pass'
          : 'fail'
    tests.push({
      test: 'nationality',
      outcome,
      because: row.national === 'yes' ? 'nationals only' : 'not for nationals',
    })
  }
  if (row.adult_only) tests.push({ test: 'adult', outcome: person.adult ? 'pass' : 'fail' })
  if (row.first_time) {
    const before = person.livedThereBefore
    tests.push({ test: 'first-time', outcome: before === undefined ? 'assumed' : before ? 'fail' : 'pass' })
  }
  if (typeof row.again_months === 'number') {
    const free = person.reliefUsedOn && addMonths(person.reliefUsedOn, row.again_months)
    if (free === undefined)
      tests.push({ test: 'earlier-relief', outcome: 'assumed', needed: row.again_months })
    else {
      const late = Math.max(0, daysBetween(move.importOn, free))
      tests.push({
        test: 'earlier-relief',
        outcome: late > 0 ? 'fail' : 'pass',
        needed: row.again_months,
        meetsOn: free,
        daysShort: late,
      })
    }
  }
  if (typeof row.permit_months === 'number' && person.status !== 'returning') {
    const months = person.permit_months
    const outcome: Outcome = months === undefined ? 'unknown' : months >= row.permit_months ? 'pass' : 'fail'
    tests.push({ test: 'permit', outcome, needed: row.permit_months })
  }
  if (person.tiesOnBothSides) {
    tests.push({ test: 'residence', outcome: row.waivable.includes('residence') ? 'waivable' : 'unknown' })
  }
  tests.push(...abroadTests(row, move, person))
  if (row.on_application)
    tests.push({ test: 'application', outcome: 'assumed', because: row.discretion ?? '' })
  return tests
}

function abroadTests(row: ReliefRow, move: DutyMove, person: DutyPerson): Test[] {
  if (row.abroad_months === 'unknown') return [{ test: 'abroad', outcome: 'unknown' }]
  const to = anchorDay(row.abroad_to ?? 'leave', move, person, move.importOn)
  if (to === undefined) return []
  const tests: Test[] = []
  if (typeof row.abroad_months === 'number') {
    const meetsOn = addMonths(person.abroad_since, row.abroad_months)
    const daysShort = Math.max(0, daysBetween(to, meetsOn))
    const failed = row.waivable.includes('abroad') ? 'waivable' : 'fail'
    tests.push({
      test: 'abroad',
      outcome: daysShort === 0 ? 'pass' : failed,
      needed: row.abroad_months,
      from: person.abroad_since,
      to,
      anchor: row.abroad_to ?? 'leave',
      meetsOn,
      daysShort,
    })
  }
  if (typeof row.abroad_under === 'number' && addMonths(person.abroad_since, row.abroad_under) <= to) {
    tests.push({
      test: 'abroad',
      outcome: 'fail',
      because: `this band ends at ${row.abroad_under} months abroad`,
      to,
    })
  }
  return tests
}

function windowTests(row: ReliefRow, move: DutyMove, person: DutyPerson, importOn: IsoDate): Test[] {
  if (row.after === 'unknown') return [{ test: 'window', outcome: 'unknown' }]
  if (row.window_from === undefined || row.window_from === 'import') return []
  const event = anchorDay(row.window_from, move, person, importOn)
  if (event === undefined) return [{ test: 'window', outcome: 'unknown', anchor: row.window_from }]
  const failed: Outcome = row.waivable.includes('window') ? 'waivable' : 'fail'
  const common = { test: 'window', anchor: row.window_from, from: event, to: importOn } as const
  if (importOn < event) {
    if (typeof row.before !== 'number') return []
    // Counted from the import: within so long of it the person must have settled.
    const settleBy = periodEnd(importOn, row.before, row.window_unit, row.roll)
    const daysShort = Math.max(0, daysBetween(settleBy, event))
    return [
      {
        ...common,
        outcome: daysShort === 0 ? 'pass' : failed,
        needed: row.before,
        daysShort,
        meetsOn: settleBy,
      },
    ]
  }
  if (typeof row.after !== 'number') return []
  const last = periodEnd(event, row.after, row.window_unit, row.roll)
  const daysShort = Math.max(0, daysBetween(last, importOn))
  return [
    { ...common, outcome: daysShort === 0 ? 'pass' : failed, needed: row.after, daysShort, meetsOn: last },
  ]
}

function assessLine(routes: readonly Route[], line: DutyLine, person: string): LineAssessment {
  const tried: RouteAssessment[] = []
  for (const route of routes) {
    if (route.row.kinds.includes(line.kind)) tried.push(tryRoute(route, line))
  }
  const levies: Record<Levy, Verdict> = { duty: 'unknown', excise: 'unknown', tax: 'unknown', fee: 'unknown' }
  const by: Record<Levy, RouteAssessment | undefined> = { ...NOBODY }
  let verdict: Verdict = 'qualifies'
  for (const levy of LEVIES) {
    let best: RouteAssessment | undefined
    for (const route of tried) {
      if (route.row.effect === 'free' && !route.row.frees.includes(levy)) continue
      if (best === undefined || kinder(route.verdict, best.verdict)) best = route
    }
    by[levy] = best
    // Rules that are there but say nothing of this levy leave it standing; no rule at all is not known.
    levies[levy] = best?.verdict ?? (tried.length > 0 ? 'refused' : 'unknown')
    // What fees an entry costs does not decide whether the goods qualify.
    if (levy !== 'fee' && levy !== 'excise' && kinder(verdict, levies[levy])) verdict = levies[levy]
  }
  return { line, person, verdict, levies, by, routes: tried }
}

function tryRoute(route: Route, line: DutyLine): RouteAssessment {
  const { row } = route
  if (row.effect === 'none') return { row, verdict: 'refused', tests: route.personTests }
  const { window, owned } = route.onImport(line.importOn ?? route.importOn)
  const tests: Test[] = [...route.personTests, ...window]
  if (route.isExcluded(line.class)) {
    tests.push({ test: 'class', outcome: 'fail', because: line.class })
  }
  const taxFreeMonths =
    line.held === 'tax-free' && typeof row.tax_free_months === 'number' ? row.tax_free_months : undefined
  if (row.held_excluded.includes(line.held) && taxFreeMonths === undefined) {
    tests.push({ test: 'held', outcome: 'fail', because: line.held })
  }
  if (row.used_only && line.condition === 'new') tests.push({ test: 'used', outcome: 'fail' })
  if (row.listed)
    tests.push({
      test: 'listed',
      outcome: line.notListed === undefined ? 'assumed' : line.notListed ? 'fail' : 'pass',
    })
  if (row.max_length_m && line.kind === 'boat')
    tests.push(lengthTest(row.max_length_m.toNumber(), line.lengthM))

  let proRata: RouteAssessment['proRata']
  if (owned) {
    const months = taxFreeMonths ?? owned.months
    const test = ownedTest(row, owned, months, line)
    if (test.outcome === 'fail' && row.owned_how === 'pro-rata' && test.from && test.daysShort) {
      // The days asked are counted back from the anchor; 12 months are 365 days, or 366 across a leap day.
      const of = daysBetween(addMonths(owned.to, -owned.months), owned.to)
      proRata = { short: Math.min(of, of - daysBetween(test.from, owned.to)), of }
      tests.push({ ...test, outcome: 'pass', because: 'charged by the day' })
    } else tests.push(test)
    if (taxFreeMonths !== undefined) tests.push({ test: 'held', outcome: 'waivable', because: line.held })
  } else if (row.owned_months === 'unknown') tests.push({ test: 'owned', outcome: 'unknown' })
  const verdict = verdictOf(tests)
  return proRata ? { row, verdict, tests, proRata } : { row, verdict, tests }
}

function lengthTest(longest: number, lengthM: number | undefined): Test {
  const outcome: Outcome = lengthM === undefined ? 'unknown' : lengthM <= longest ? 'pass' : 'fail'
  return { test: 'length', outcome, needed: longest }
}

function ownedTest(row: ReliefRow, rule: OwnedRule, months: number, line: DutyLine): Test {
  const anchor = row.owned_to ?? 'leave'
  const base = { test: 'owned', needed: months, to: rule.to, anchor } as const
  if (row.owned_how === 'total' && line.used) {
    const total = totalMonths(line.used)
    return { ...base, outcome: total >= months ? 'pass' : 'fail', because: `${total} months of use in all` }
  }
  if (line.acquiredOn === undefined) {
    return { ...base, outcome: 'unknown', because: 'no day of purchase or first use is given' }
  }
  const start = months === rule.months ? rule.latestStart : latestStart(rule.to, months)
  if (line.acquiredOn <= start) return { ...base, outcome: 'pass', from: line.acquiredOn, daysShort: 0 }
  const meetsOn = addMonths(line.acquiredOn, months)
  const failed: Outcome = row.waivable.includes('owned') ? 'waivable' : 'fail'
  return {
    ...base,
    outcome: failed,
    from: line.acquiredOn,
    meetsOn,
    daysShort: daysBetween(rule.to, meetsOn),
  }
}

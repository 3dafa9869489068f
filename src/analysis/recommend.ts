import type { Decimal } from 'decimal.js'
import { type CoverOutcome, NO_COVER } from '../insurance/index.js'
import { figureText, listed } from '../paper/format.js'
import { coverChanges, coverOutcomesOf } from '../plan/cover-question.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { Refusal } from '../plan/refusal.js'
import { Exact } from '../quantity/exact.js'
import { chanceText, coverLabel } from './cover-advice.js'
import { leftBehind } from './left-behind.js'
import { stowageStops } from './warnings/stowage.js'

/** How the recommendation is made, in one sentence. */
export const RECOMMENDATION_RULE =
  'Of the scenarios that nothing forbids, the one that asks least of the household: the money it pays, its own hours at the value it gave them, and the least that a transit cover which it can bear comes to, damage still to be expected included.'

/** What one scenario asks of the household, on the footing on which scenarios are compared. */
export interface Candidate {
  readonly scenario: string
  readonly stated: Plan
  /** The scenario as stated where its cover can be borne, else with the cover that can; the safest where none can. */
  readonly plan: Plan
  /** The same scenario with the least-cost cover that can be borne: what it is compared by. */
  readonly compared: Plan
  /** The least-cost cover that can be borne, and whether there is one at all. */
  readonly cover: CoverOutcome
  /** Money paid without premium, own hours as valued, cost of that cover with expected damage; and their sum. */
  readonly paid: Decimal
  readonly ownWork: Decimal
  readonly coverCost: Decimal
  readonly asks: Decimal
  /** What forbids it, in words; empty where nothing does. */
  readonly stops: readonly string[]
}

/** The one recommendation of a household's plans. */
export interface Recommendation {
  /** The plan to act on, by its own name and total. */
  readonly plan: Plan
  /** The scenario it is, and whether its cover had to be changed for it. */
  readonly scenario: string
  readonly coverChanged: boolean
  /** Where somebody named the scenario, nothing was compared. */
  readonly named: boolean
  /** All plans to show: the scenarios as stated, and the recommended one beside its own where the cover was changed. */
  readonly plans: readonly Plan[]
  /** One for each scenario, in the order given. */
  readonly candidates: readonly Candidate[]
  /** What forbids even the recommended plan; empty where it can be carried out. */
  readonly stops: readonly string[]
  readonly rule: string
  /** What to do, in one or two sentences, the same wherever it is printed. */
  readonly sentence: string
  /** The same with its amounts as cells of the plan, for pages that trace every figure. */
  readonly words: RecommendationWords
}

/** Words, and cells whose amounts stand between them. */
export type RecommendationWords = readonly (string | { readonly cell: string })[]

/**
 * The recommendation of a household's plans. A cheaper total that only insures less does not win by it, nor one whose
 * cover leaves the household more than it can bear; a scenario that something forbids never wins while another is free.
 * The first stated wins a tie.
 *
 * @param named a scenario that somebody chose; its cover is changed all the same where it cannot be borne
 * @returns one plan with one total, and what each scenario asks; throws one sentence on an unknown name
 */
export function recommend(move: Move, plans: readonly Plan[], named?: string): Recommendation {
  if (named !== undefined && !plans.some((plan) => plan.name === named)) {
    throw new Error(`unknown scenario "${named}"; scenarios: ${plans.map((p) => p.name).join(', ')}`)
  }
  const candidates = plans.map((plan) => candidate(move, plan))
  const free = candidates.filter((c) => c.stops.length === 0)
  const pool =
    named !== undefined ? candidates.filter((c) => c.scenario === named) : free.length > 0 ? free : candidates
  const [first, ...rest] = pool
  if (!first) throw new Error('a recommendation needs at least one scenario')
  const best = rest.reduce((a, b) => (b.asks.lt(a.asks) ? b : a), first)
  const coverChanged = best.plan !== best.stated
  const words = wordsOf(move, best, plans, coverChanged, named !== undefined)
  return {
    plan: best.plan,
    scenario: best.scenario,
    coverChanged,
    named: named !== undefined,
    plans: coverChanged
      ? plans.flatMap((plan) => (plan === best.stated ? [plan, best.plan] : [plan]))
      : plans,
    candidates,
    stops: best.stops,
    rule: RECOMMENDATION_RULE,
    sentence: sentenceOf(best.plan, words),
    words,
  }
}

function candidate(move: Move, plan: Plan): Candidate {
  const outcomes = coverOutcomesOf(move.reference, plan)
  const [cover] = outcomes
  if (!cover) throw new Error(`scenario "${plan.name}" has no cover to decide on, not even none`)
  const stated = outcomes.find((o) => o.cover === plan.sheet.choices.get('cover'))
  const compared = cover === stated ? plan : withCover(move, plan, cover.cover)
  const amount = (id: string): Decimal => compared.sheet.cells.get(id)?.value ?? new Exact(0)
  const premium = amount('cost.cover.premium')
  // What is left and how it is weighed does not depend on who packs; premium and services stand in the plan itself.
  const weighed = new Exact(cover.cost - cover.certain).toDecimalPlaces(2)
  const paid = amount('cost.total').minus(premium)
  const ownWork = amount('work.own.value')
  const coverCost = premium.plus(weighed)
  return {
    scenario: plan.name,
    stated: plan,
    plan: stated?.bearable ? plan : compared,
    compared,
    cover,
    paid,
    ownWork,
    coverCost,
    asks: paid.plus(ownWork).plus(coverCost),
    stops: stopsOf(plan),
  }
}

/** What forbids a plan: what customs prohibits, and what does not fit or is too heavy. Each sentence once. */
const stopsOf = (plan: Plan): string[] => [
  ...new Set([
    ...plan.sheet.customs.stops.map(({ sentence }) => sentence),
    ...stowageStops(plan).map(({ text }) => text),
  ]),
]

/** The same scenario with another cover and the services it asks for, under a name that says so. */
function withCover(move: Move, plan: Plan, cover: string): Plan {
  const who = providers(move, plan)
  const changes = coverChanges(move.reference, cover, (service) => who.get(service) ?? 'mover')
  const labels = new Map(move.reference.covers.map(({ id, label }) => [id, label]))
  const read = planOf(move, `${plan.name}, ${coverLabel(labels, cover).toLowerCase()}`, [
    ...plan.changes,
    ...changes,
  ])
  if (!read.ok) throw new Refusal(read.problems)
  return read.value
}

/** Things left behind that are named before the rest is counted. */
const LEFT_NAMED = 3

function wordsOf(
  move: Move,
  best: Candidate,
  plans: readonly Plan[],
  coverChanged: boolean,
  named: boolean,
): RecommendationWords {
  const labels = new Map(move.reference.covers.map(({ id, label }) => [id, label]))
  const { sheet, inputs, changes } = best.plan
  const cover = coverLabel(labels, sheet.choices.get('cover') ?? NO_COVER).toLowerCase()
  const open = !sheet.cells.has('cost.customs.total')
    ? ', customs not determined'
    : sheet.customs.undetermined.length > 0
      ? ', customs as far as determined'
      : ''
  const often = chanceText(inputs.numbers.get('loss.chance')?.likely.toNumber() ?? 0)
  const words: (string | { readonly cell: string })[] = [
    `${named ? 'As you chose, \u201c' : '\u201c'}${best.scenario}\u201d with ${cover}: `,
    { cell: 'cost.total' },
    `${open}.`,
  ]
  const left = leftBehind(best.stated, plans).map(({ label }) => label)
  if (left.length > 0) {
    const first = left.slice(0, LEFT_NAMED)
    const more = left.length - first.length
    const things = listed(more > 0 ? [...first, `${more} more`] : first)
    words.push(
      ` It leaves ${things} behind, which another scenario ships: what that sells for and what replaces it stand in no total.`,
    )
  }
  if (coverChanged) {
    const bought = changes
      .slice(best.stated.changes.length)
      .flatMap(({ id }) => id.match(/^provider\.(.*)$/)?.[1] ?? [])
    const services = bought.length > 0 ? `, and the mover does the ${listed(bought)} that it asks for` : ''
    words.push(
      ' The cover the scenario states leaves more than the ',
      { cell: 'loss.tolerance' },
      ` you could bear too often or too much, so ${cover} is bought instead${services}.`,
    )
  }
  if (!best.cover.bearable) {
    words.push(
      ' No cover keeps the chance of bearing more than the ',
      { cell: 'loss.tolerance' },
      ` you could bear within ${often}; this one leaves least. Ask a licensed broker for a better one.`,
    )
  }
  if (best.stops.length > 0) words.push(` It cannot be carried out as it stands: ${best.stops.join(' ')}`)
  return words
}

const sentenceOf = (plan: Plan, words: RecommendationWords): string =>
  words
    .map((word) => {
      const found = typeof word === 'string' ? undefined : plan.sheet.cells.get(word.cell)
      return typeof word === 'string' ? word : figureText(found?.value ?? new Exact(0), found?.unit ?? '', 0)
    })
    .join('')

/** A recommendation for other programs: plain data, amounts as decimal texts. */
export function recommendationFacts({ plan, scenario, sentence, rule, stops, candidates }: Recommendation) {
  return {
    plan: plan.name,
    scenario,
    cover: plan.sheet.choices.get('cover') ?? NO_COVER,
    total: plan.sheet.cells.get('cost.total')?.value.toFixed(),
    sentence,
    rule,
    stops,
    compared: candidates.map((c) => ({
      scenario: c.scenario,
      paid: c.paid.toFixed(),
      own_work: c.ownWork.toFixed(),
      cover: c.cover.cover,
      cover_bearable: c.cover.bearable,
      cover_cost: c.coverCost.toFixed(),
      asks: c.asks.toFixed(),
      stops: c.stops,
    })),
  }
}

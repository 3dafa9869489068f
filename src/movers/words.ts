import { amount, inARow, inside, phrase, type Sentence, says, several } from '../paper/sentence.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import type { Comparison, Offer } from './compare.js'
import type { Rules } from './questions.js'

/** So many open questions are named; the rest is counted. */
const NAMED = 2

const per100 = (share: number) => amount(exact.of(share), '1')

/** What the comparison comes to, as a paragraph. */
export function moversParagraph(move: Move, comparison: Comparison, rules: Rules): Sentence {
  const { offers, first, ranges } = comparison
  if (!first) return says`Every offer crosses a red line; none can be recommended.`
  const money = (offer: Offer) => amount(offer.levelled, move.household.facts.currency)
  const free = offers.filter(({ redLines }) => redLines.length === 0)
  const next = free[1]
  const cheapest = free.reduce((a, b) => (b.levelled.lt(a.levelled) ? b : a), first)
  const price = ranges.find(({ criterion }) => criterion === 'price')
  return inARow(
    next
      ? says`${first.mover} comes first with ${per100(first.total)} of the points at a levelled price of ${money(first)}, before ${next.mover} with ${per100(next.total)} at ${money(next)}.`
      : says`${first.mover} comes first with ${per100(first.total)} of the points at a levelled price of ${money(first)}.`,
    cheapest === first
      ? says`It is also the cheapest once every offer covers the same volume and services.`
      : says`${cheapest.mover} is cheaper at ${money(cheapest)}, and loses by its answers.`,
    price && (price.from > 0 || price.until < 1)
      ? says`That holds while the price counts for ${per100(price.from)} to ${per100(price.until)} of the score; it counts for ${per100(price.now)} now.`
      : says`No weight of the price alone would change that.`,
    free.length > 1 ? says`Over all weightings it comes first in ${per100(first.firstShare)}.` : undefined,
    ...warnings(comparison, rules),
    ...beforeSigning(move, first, rules),
  )
}

function warnings({ offers }: Comparison, rules: Rules): (Sentence | undefined)[] {
  const movers = (outlier: Offer['outlier']) =>
    offers.filter((offer) => offer.outlier === outlier).map(({ mover }) => mover)
  const [low, high] = [movers('low'), movers('high')]
  const excluded = offers.filter(({ redLines }) => redLines.length > 0)
  return [
    low.length === 0
      ? undefined
      : low.length === 1
        ? says`${several(low)} is far below the others: ask what is missing before you are glad of it.`
        : says`${several(low)} are far below the others: ask what is missing before you are glad of it.`,
    high.length === 0
      ? undefined
      : high.length === 1
        ? says`${several(high)} is far above the others.`
        : says`${several(high)} are far above the others.`,
    excluded.length === 0
      ? undefined
      : says`Excluded by a red line: ${several(
          excluded.map(
            ({ mover, redLines }) =>
              says`${mover} (${several(
                redLines.map(({ question, answer }) => says`${asked(rules, question)} ${phrase(answer)}`),
              )})`,
          ),
        )}.`,
  ]
}

function beforeSigning(move: Move, first: Offer, rules: Rules): (Sentence | undefined)[] {
  const { mover, missing, unanswered } = first
  const named = inARow(...unanswered.slice(0, NAMED).map((id) => asked(rules, id)))
  const more = unanswered.length - NAMED
  return [
    missing.length === 0
      ? undefined
      : says`Before you sign, ask ${mover} for what is not priced: ${several(servicesOf(move, missing), 3)}.`,
    unanswered.length === 0
      ? undefined
      : more <= 0
        ? says`Before you sign, have ${mover} answer: ${named}`
        : more === 1
          ? says`Before you sign, have ${mover} answer: ${named} One more answer is open.`
          : says`Before you sign, have ${mover} answer: ${named} ${String(more)} more answers are open.`,
  ]
}

/** A question as the enquiry asks it. */
export const asked = (rules: Rules, id: string): Sentence =>
  phrase(rules.questions.find((question) => question.id === id)?.asked ?? id)

/** Services by their labels, as they stand inside a sentence. */
export const servicesOf = (move: Move, ids: readonly string[]) =>
  ids.map((id) =>
    inside(`service.${id}`, move.reference.services.find((service) => service.id === id)?.label ?? id),
  )

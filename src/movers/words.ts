import { ENGLISH } from '../paper/figure-text.js'
import { firstOf, listed } from '../paper/format.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import type { Comparison, Offer } from './compare.js'
import type { Rules } from './questions.js'

const per100 = (share: number): string => ENGLISH.percent(exact.of(share))

/** What the comparison comes to, as a paragraph. */
export function moversParagraph(move: Move, { offers, first, ranges }: Comparison, rules: Rules): string {
  const { currency } = move.household.facts
  if (!first) return 'Every offer crosses a red line; none can be recommended.'
  const money = (offer: Offer) => ENGLISH.money(offer.levelled, currency, 0)
  const free = offers.filter(({ redLines }) => redLines.length === 0)
  const next = free[1]
  const cheapest = free.reduce((a, b) => (b.levelled.lt(a.levelled) ? b : a), first)
  const price = ranges.find(({ criterion }) => criterion === 'price')
  const named = (ids: readonly string[]) =>
    firstOf(
      ids.map((id) => rules.questions.find((q) => q.id === id)?.asked.replace(/\?$/, '') ?? id),
      2,
    )
  const low = offers.filter(({ outlier }) => outlier === 'low').map(({ mover }) => mover)
  const high = offers.filter(({ outlier }) => outlier === 'high').map(({ mover }) => mover)
  const excluded = offers.filter(({ redLines }) => redLines.length > 0)
  return [
    `${first.mover} comes first with ${per100(first.total)} of the points at a levelled price of ${money(first)}${
      next ? `, before ${next.mover} with ${per100(next.total)} at ${money(next)}` : ''
    }.`,
    cheapest === first
      ? 'It is also the cheapest once every offer covers the same volume and services.'
      : `${cheapest.mover} is cheaper at ${money(cheapest)}, and loses by its answers.`,
    price && (price.from > 0 || price.until < 1)
      ? `That holds while the price counts for ${per100(price.from)} to ${per100(price.until)} of the score; it counts for ${per100(price.now)} now.`
      : 'No weight of the price alone would change that.',
    free.length > 1 ? `Over all weightings it comes first in ${per100(first.firstShare)}.` : '',
    low.length > 0
      ? `${listed(low)} ${low.length === 1 ? 'is' : 'are'} far below the others: ask what is missing before you are glad of it.`
      : '',
    high.length > 0 ? `${listed(high)} ${high.length === 1 ? 'is' : 'are'} far above the others.` : '',
    excluded.length > 0
      ? `Excluded by a red line: ${listed(excluded.map(({ mover, redLines }) => `${mover} (${listed(redLines.map(({ answer, question }) => `${question}: ${answer}`))})`))}.`
      : '',
    first.unanswered.length > 0 || first.missing.length > 0
      ? `Before you sign, ask ${first.mover} for ${listed([
          ...(first.missing.length > 0
            ? [`${first.missing.length === 1 ? 'the price' : 'prices'} of ${firstOf(first.missing, 3)}`]
            : []),
          ...(first.unanswered.length > 0 ? [`an answer to: ${named(first.unanswered)}`] : []),
        ])}.`
      : '',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ')
}

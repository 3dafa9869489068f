import { figureText } from '../paper/format.js'
import { Exact } from '../quantity/exact.js'
import type { CoverOutcome } from './simulate.js'

/** What stands below every cover decision. */
export const COVER_CAUTION =
  'A planning model: how often goods are damaged or lost, and by what, is trade usage and our own split, not a record of your carrier. ' +
  'The words of the certificate decide what is paid. Ask a licensed broker before you buy or do without a cover.'

/** Covers as people read them, by id. */
export type CoverLabels = ReadonlyMap<string, string>

/** What a cover is called in a table or sentence. */
export const coverLabel = (labels: CoverLabels, cover: string): string =>
  cover === 'none' ? 'No cover' : (labels.get(cover) ?? cover)

/**
 * The cover decision in words: the cheapest on average among those whose worst twentieth the household can bear;
 * where it can bear none of them, the one that leaves it least.
 *
 * @param outcomes as `coverDecision` gives them
 * @param tolerance the loss the household could bear, in `currency`
 * @param planned the cover that the scenario plans on, to say what changing it would save on average
 * @returns the cover's id and one to four sentences
 */
export function coverAdvice(
  outcomes: readonly CoverOutcome[],
  tolerance: number,
  currency: string,
  labels: CoverLabels,
  planned?: string,
): { readonly cover: string; readonly sentence: string } {
  const money = (x: number): string => figureText(new Exact(x), currency, 0)
  const fitting = outcomes.find((o) => o.withinTolerance)
  const best = fitting ?? outcomes.toSorted((a, b) => a.worstRetained - b.worstRetained)[0]
  if (!best) throw new Error('a cover decision needs at least one cover; found none')
  const name = coverLabel(labels, best.cover)
  const spent =
    best.cover === 'none'
      ? `${money(best.expectedCost)} on average, all of it damage that you bear yourself`
      : `${money(best.expectedCost)} on average (${money(best.certain)} for premium and services it forces, ${money(best.expectedRetained)} of damage that you still bear)`
  const parts = [
    fitting
      ? `${name} comes to the least among the covers whose bad cases you can bear: ${spent}. In the worst twentieth of moves it leaves ${money(best.worstRetained)} to you, within the ${money(tolerance)} you said you could bear.`
      : `No choice keeps the worst twentieth of moves within the ${money(tolerance)} you said you could bear; ${name} leaves least to you, ${money(best.worstRetained)}. It comes to ${spent}.`,
  ]
  if (best.chanceOverTolerance > 0) {
    parts.push(
      `${timesIn(best.chanceOverTolerance)} you would bear more than ${money(tolerance)} all the same, up to ${money(best.mostRetained)} in these draws.`,
    )
  }
  const now = outcomes.find((o) => o.cover === planned)
  if (now && now.cover !== best.cover) {
    const gap = now.expectedCost - best.expectedCost
    parts.push(
      `The plan has ${coverLabel(labels, now.cover)}, which comes to ${money(Math.abs(gap))} ${gap < 0 ? 'less' : 'more'} on average and leaves ${money(now.worstRetained)} in the worst twentieth.`,
    )
  }
  if (best.cover === 'none') {
    parts.push(
      'Without a cover even sound goods can be held until a share of general average is paid or secured.',
    )
  }
  return { cover: best.cover, sentence: parts.join(' ') }
}

/** A small chance in words: `In 2 moves of 1,000`. */
function timesIn(chance: number): string {
  const of = chance >= 0.0095 ? 100 : chance >= 0.00095 ? 1000 : 10_000
  const times = Math.max(1, Math.round(chance * of))
  return `In ${times} ${times === 1 ? 'move' : 'moves'} of ${of.toLocaleString('en-GB')}`
}

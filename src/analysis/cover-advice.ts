import { type CoverOutcome, type LossTolerance, NO_COVER } from '../insurance/index.js'
import { figureText, numberText } from '../paper/format.js'
import { Exact } from '../quantity/exact.js'

/** What stands below every cover decision. */
export const COVER_CAUTION =
  'A planning model: how often goods are damaged or lost, and by what, is trade usage and our own split, not a record of your carrier. ' +
  'The words of the certificate decide what is paid. Ask a licensed broker before you buy or do without a cover.'

/** Covers as people read them, by id. */
export type CoverLabels = ReadonlyMap<string, string>

/** What a cover is called in a table or sentence. */
export const coverLabel = (labels: CoverLabels, cover: string): string =>
  cover === NO_COVER ? 'No cover' : (labels.get(cover) ?? cover)

/** A chance as people say it: `1 move in 1,000`. */
export const chanceText = (chance: number): string =>
  chance <= 0 ? 'no move' : `1 move in ${numberText(new Exact(1).div(chance), 0)}`

/**
 * The cover decision in words: the least-cost cover among those that the household can bear; where it can bear none,
 * the safest.
 *
 * @param outcomes as `coverOutcomes` gives them, the advised one first
 * @param tolerance what the household could bear and how often it accepts more
 * @param planned the cover that the scenario plans on, to say what changing it would cost or save
 * @returns the cover's id and one to four sentences
 */
export function coverAdvice(
  outcomes: readonly CoverOutcome[],
  tolerance: LossTolerance,
  currency: string,
  labels: CoverLabels,
  planned?: string,
): { readonly cover: string; readonly sentence: string } {
  const money = (x: number): string => figureText(new Exact(x), currency, 0)
  const [best] = outcomes
  if (!best) throw new Error('a cover decision needs at least one cover; found none')
  const name = coverLabel(labels, best.cover)
  const more = `more than the ${money(tolerance.amount)} that you said you could bear`
  const leaves = (o: CoverOutcome): string =>
    o.chanceOverTolerance < tolerance.chance / 1000
      ? `practically never leaves ${more}`
      : `leaves ${more} in ${chanceText(o.chanceOverTolerance)}`
  const parts = [
    best.bearable
      ? `${name} costs least among the covers that you can bear: it ${leaves(best)}, and you accept ${chanceText(tolerance.chance)}.`
      : `No cover can be borne: even ${name.toLowerCase()}, the safest, ${leaves(best)}${best.withinRuin ? '' : `, or ${money(Math.max(best.worstTotalLoss, best.worstGeneralAverage))} at once`}. Ask a licensed broker.`,
    `It comes to ${money(best.certain)} for premium and services it asks for, and leaves ${money(best.expectedRetained)} of damage to you on average.`,
  ]
  const now = outcomes.find((o) => o.cover === planned)
  if (now && now !== best) {
    const gap = now.certain - best.certain
    const why = now.bearable
      ? 'and can be borne as well'
      : now.withinChance
        ? `but one loss could cost you ${money(Math.max(now.worstTotalLoss, now.worstGeneralAverage))} at once`
        : `but ${leaves(now)}`
    parts.push(
      `The plan has ${coverLabel(labels, now.cover).toLowerCase()}, which costs ${money(Math.abs(gap))} ${gap < 0 ? 'less' : 'more'} ${why}.`,
    )
  }
  if (best.cover === NO_COVER) {
    parts.push(
      'Without a cover even sound goods can be held until a share of general average is paid or secured.',
    )
  }
  return { cover: best.cover, sentence: parts.join(' ') }
}

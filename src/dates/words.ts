import { amount, day, phrase, type Sentence, says } from '../paper/sentence.js'
import { Exact } from '../quantity/exact.js'
import { isoDay } from '../time/day-number.js'
import type { WaitOrStore } from './waiting.js'
import type { WantedDate } from './wanted.js'

const text = (on: number) => day(isoDay(on))
const days = (count: number) => amount(new Exact(count), 'day')

/** A wanted date against the plan, in sentences; the last ones say what would have to give. */
export function wantedWords(wanted: WantedDate, currency: string): Sentence[] {
  const { what, chance, sureOn, lateBy, loadBy, loadByDeclaredAshore, earliestLoading, gives } = wanted
  const thing = what === 'goods' ? phrase('Goods at the door') : phrase('New home unpacked')
  const percent = amount(new Exact(chance), '1')
  const load = (on: number) =>
    on < earliestLoading
      ? says`${text(on)}, and with everything started today loading is possible on ${text(earliestLoading)}`
      : text(on)
  return [
    lateBy > 0
      ? says`${thing} by ${text(wanted.wanted)}: chance ${percent}. In nine cases of ten it is so by ${text(sureOn)}, ${days(lateBy)} late.`
      : says`${thing} by ${text(wanted.wanted)}: chance ${percent}. In nine cases of ten it is so by ${text(sureOn)}.`,
    loadBy === undefined
      ? says`No day of loading keeps that date in nine cases of ten while the import is declared on the day set; declared when the ship is in, load by ${load(loadByDeclaredAshore)}.`
      : says`Load by ${load(loadBy)} to keep it in nine cases of ten.`,
    ...gives.map(({ what: give, gains, costs }) => {
      const price = costs.isZero()
        ? phrase('at no cost')
        : costs.gt(0)
          ? says`costs ${amount(costs, currency)}`
          : says`saves ${amount(costs.abs(), currency)}`
      return gains >= lateBy
        ? says`To come sooner: ${give}. Gains ${days(gains)}, ${price}, enough.`
        : says`To come sooner: ${give}. Gains ${days(gains)}, ${price}.`
    }),
    ...(lateBy > 0
      ? [
          says`Or want it on ${text(sureOn)}, or plan for ${days(lateBy)} without the goods: a furnished place, and what travels with you.`,
        ]
      : []),
  ]
}

/** Waiting in the container against a warehouse, in a sentence. */
export function waitingWords(
  { where, from, on, sailOn, container, warehouse }: WaitOrStore,
  currency: string,
): Sentence {
  const charge = where === 'away from the port' ? phrase('detention') : phrase('demurrage')
  const place = where === 'at the old home' ? phrase('A warehouse before the voyage') : phrase('A warehouse')
  if (from === undefined || on === undefined)
    return says`${place} never costs less than ${charge} within a year of days beyond the free ones.`
  const costs = { stored: amount(warehouse, currency), waited: amount(container, currency) }
  const rank = String(from)
  return sailOn === undefined
    ? says`${place} beats waiting ${phrase(where)} from charged day ${rank}, ${text(on)}: ${costs.stored} against ${costs.waited} of ${charge}. Goods wait there under customs control until they are declared; cover for storage is asked for apart.`
    : says`${place} beats waiting at the port of discharge where the goods cannot be fetched before ${text(on)} (charged day ${rank}): ${costs.stored} against ${costs.waited} of ${charge}. Sail on ${text(sailOn)} then; cover for storage is asked for apart.`
}

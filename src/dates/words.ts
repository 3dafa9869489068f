import { dayText, figureText, numberText } from '../paper/format.js'
import { Exact } from '../quantity/exact.js'
import { isoDay } from '../time/day-number.js'
import type { WaitOrStore } from './waiting.js'
import type { WantedDate } from './wanted.js'

const text = (day: number): string => dayText(isoDay(day))
const days = (count: number): string => `${count} ${count === 1 ? 'day' : 'days'}`

/** A wanted date against the plan, in sentences; the last ones say what would have to give. */
export function wantedWords(wanted: WantedDate, currency: string): string[] {
  const { what, chance, sureOn, lateBy, loadBy, loadByDeclaredAshore, earliestLoading, gives } = wanted
  const says = what === 'goods' ? 'Goods at the door' : 'New home unpacked'
  const percent = numberText(new Exact(chance).times(100), 0)
  const load = (on: number): string =>
    on < earliestLoading
      ? `${text(on)}, and with everything started today loading is possible on ${text(earliestLoading)}`
      : text(on)
  return [
    `${says} by ${text(wanted.wanted)}: chance ${percent} %. In nine cases of ten it is so by ${text(sureOn)}${
      lateBy > 0 ? `, ${days(lateBy)} late` : ''
    }.`,
    loadBy === undefined
      ? `No day of loading keeps that date in nine cases of ten while the import is declared on the day set; declared when the ship is in, load by ${load(loadByDeclaredAshore)}.`
      : `Load by ${load(loadBy)} to keep it in nine cases of ten.`,
    ...gives.map(
      ({ what: give, gains, costs }) =>
        `To come sooner: ${give}. Gains ${days(gains)}, ${
          costs.isZero()
            ? 'at no cost'
            : `${costs.gt(0) ? 'costs' : 'saves'} ${figureText(costs.abs(), currency, 0)}`
        }${gains >= lateBy ? ', enough' : ''}.`,
    ),
    ...(lateBy > 0
      ? [
          `Or want it on ${text(sureOn)}, or plan for ${days(lateBy)} without the goods: a furnished place, and what travels with you.`,
        ]
      : []),
  ]
}

/** Waiting in the container against a warehouse, in a sentence. */
export function waitingWords({ where, from, container, warehouse }: WaitOrStore, currency: string): string {
  const money = (amount: typeof container) => figureText(amount, currency, 0)
  const charge = where === 'away from the port' ? 'detention' : 'demurrage'
  const place = where === 'at the old home' ? 'A warehouse before the voyage' : 'A warehouse'
  return from === undefined
    ? `${place} never costs less than ${charge} within a year of days beyond the free ones.`
    : `${place} beats waiting ${where === 'at the old home' ? 'at the port of discharge' : where} from the ${ordinal(from)} day beyond the free ones: ${money(warehouse)} against ${money(container)} of ${charge}. Goods wait there under customs control until they are declared; cover for storage is asked for apart.`
}

function ordinal(n: number): string {
  const [tens, ones] = [n % 100, n % 10]
  if (tens > 10 && tens < 14) return `${n}th`
  return `${n}${ones === 1 ? 'st' : ones === 2 ? 'nd' : ones === 3 ? 'rd' : 'th'}`
}

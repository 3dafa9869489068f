// Figures of a plan as people read them. One locale, so that the same plan gives the same text everywhere.
import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import { dayIn } from '../time/day-number.js'

const formats = new Map<number, Intl.NumberFormat>()

/** A number with thousands separators and this many decimals, rounded half-even. Example: 24095.4 → `24,095.40`. */
export function numberText(value: Decimal, decimals: number): string {
  const format =
    formats.get(decimals) ??
    new Intl.NumberFormat('en-GB', { minimumFractionDigits: decimals, maximumFractionDigits: decimals })
  formats.set(decimals, format)
  const rounded = value.toDecimalPlaces(decimals, Exact.ROUND_HALF_EVEN)
  // The minus sign of a figure, not a hyphen; and never a minus zero.
  const text = format.format((rounded.isZero() ? '0' : rounded.abs().toFixed(decimals)) as `${number}`)
  return rounded.isNegative() && !rounded.isZero() ? `\u2212${text}` : text
}

/** Whether a unit is an amount of money. */
export const isMoney = (unit: string): boolean => /^[A-Z]{3}$/.test(unit)

/** Whether a figure counts a day of the calendar (`time/day-number`). */
export const isDate = (unit: string): boolean => unit === 'date'

/** Decimals a figure of this unit is shown with when nobody says otherwise. */
export function usualDecimals(unit: string, minorUnits: number): number {
  if (isMoney(unit)) return minorUnits
  if (/^[A-Z]{3}\//.test(unit)) return minorUnits
  if (unit === '1') return 0
  return unit === 'm3' || unit === 'h' ? 1 : 0
}

const shownUnits: Readonly<Record<string, readonly [one: string, many: string]>> = {
  m3: ['m³', 'm³'],
  kg: ['kg', 'kg'],
  day: ['day', 'days'],
  h: ['hour', 'hours'],
  month: ['month', 'months'],
  container: ['container', 'containers'],
  carton: ['carton', 'cartons'],
}

/** A unit as it stands behind a figure; a share is shown in per cent. */
export function unitText(unit: string, one = false): string {
  const known = shownUnits[unit]
  if (known) return one ? known[0] : known[1]
  return unit === '1' ? '%' : unit.replaceAll('m3', 'm³')
}

/**
 * A figure with its unit. A share of one is shown in per cent; an amount has its currency code in front.
 * Examples: `EUR 24,095.42`, `59.0 m³`, `39 days`, `87 %`, `24 February 2027`.
 */
export function figureText(value: Decimal, unit: string, decimals: number): string {
  if (isDate(unit)) {
    const day = dayIn(value)
    return day === undefined ? '\u2013' : dayText(day)
  }
  if (isMoney(unit)) return `${unit}\u00a0${numberText(value, decimals)}`
  const shown = unit === '1' ? value.times(100) : value
  return `${numberText(shown, decimals)}\u00a0${unitText(unit, shown.eq(1))}`
}

/** Words in a row: `a, b and c`. */
export const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

/** The first few of many words: `a, b, c and 4 more`. */
export const firstOf = (words: readonly string[], count: number): string =>
  words.length <= count + 1
    ? listed(words)
    : `${words.slice(0, count).join(', ')} and ${words.length - count} more`

/** An input's value with its unit, as many digits as it was given with: `0.75`, `6,500 CLP/h`. */
export const inputText = (value: Decimal, unit: string): string =>
  `${numberText(value, Math.min(6, value.decimalPlaces()))}${unit === '1' ? '' : `\u00a0${unitText(unit)}`}`

const days = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'long',
  year: 'numeric',
  timeZone: 'UTC',
})

/** A date as people write it: `24 February 2027`. */
export const dayText = (iso: string): string => days.format(new Date(`${iso}T00:00:00Z`))

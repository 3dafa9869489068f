import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import { dayIn } from '../time/day-number.js'
import { isDate, isMoney } from './format.js'

/** Unit words of a language: one and many. Units without words (m³, kg) stand as they are. */
export type UnitWords = (unit: string, one: boolean) => string | undefined

/** Whether a figure without a unit is a share of one, which people read in per cent, and not a factor or a count. */
export const isShare = (unit: string, low: Decimal, high: Decimal): boolean =>
  unit === '1' && low.gte(0) && high.lte(1) && !(low.isInteger() && high.isInteger())

/**
 * Numbers, money, dates and lists as one language writes them, by the rules of Unicode CLDR that `Intl` carries.
 * Rounding is half-even, before the text is made, so that every language shows the same figure.
 */
export class Locale {
  readonly #numbers = new Map<string, Intl.NumberFormat>()
  readonly #days: Intl.DateTimeFormat
  readonly #lists: Intl.ListFormat
  readonly #countries: Intl.DisplayNames

  constructor(
    /** BCP 47 tag: `en-GB`, `fr`, `es`, `de`. */
    readonly tag: string,
    readonly units: UnitWords = () => undefined,
  ) {
    this.#days = new Intl.DateTimeFormat(tag, {
      day: 'numeric',
      month: 'long',
      year: 'numeric',
      timeZone: 'UTC',
    })
    this.#countries = new Intl.DisplayNames(tag, { type: 'region' })
    // Spelled out without the comma before `and`, as the other pages write lists.
    this.#lists = new Intl.ListFormat(tag, { type: 'conjunction', style: 'long' })
  }

  #format(value: Decimal, decimals: number, options: Intl.NumberFormatOptions): string {
    const key = `${decimals} ${JSON.stringify(options)}`
    const format =
      this.#numbers.get(key) ??
      new Intl.NumberFormat(this.tag, {
        minimumFractionDigits: decimals,
        maximumFractionDigits: decimals,
        ...options,
      })
    this.#numbers.set(key, format)
    const rounded = value.toDecimalPlaces(decimals, Exact.ROUND_HALF_EVEN)
    const text = format.format(rounded.abs().toFixed(decimals) as `${number}`)
    // The minus sign of figures, not a hyphen, beside the digits; and never a minus zero.
    return rounded.isNegative() && !rounded.isZero() ? text.replace(/\d/, (digit) => `\u2212${digit}`) : text
  }

  /** 24095.4 with one decimal: `24,095.4`, `24 095,4`, `24.095,4`. */
  number(value: Decimal, decimals: number): string {
    return this.#format(value, decimals, {})
  }

  /** A share of one in per cent: 0.875 with no decimal is `88 %`. */
  percent(share: Decimal, decimals = 0): string {
    return `${this.number(share.times(100), decimals)}\u00a0%`
  }

  /** An amount with its currency code where the language puts it. */
  money(value: Decimal, currency: string, decimals: number): string {
    return this.#format(value, decimals, { style: 'currency', currency, currencyDisplay: 'code' })
  }

  /** A country by its ISO code. */
  country(code: string): string {
    return this.#countries.of(code) ?? code
  }

  /** A town with its country: `Porto, Portugal`. */
  place(town: string, code: string): string {
    return `${town}, ${this.country(code)}`
  }

  day(iso: string): string {
    return this.#days.format(new Date(`${iso}T00:00:00Z`))
  }

  /** A figure with its unit; a share of one in per cent, a day as a date. */
  figure(value: Decimal, unit: string, decimals: number): string {
    if (isDate(unit)) {
      const day = dayIn(value)
      return day === undefined ? '\u2013' : this.day(day)
    }
    if (isMoney(unit)) return this.money(value, unit, decimals)
    if (unit === '1') return this.percent(value, decimals)
    const word = this.units(unit, value.eq(1)) ?? unit.replaceAll('m3', 'm³')
    return `${this.number(value, decimals)}\u00a0${word}`
  }

  /** A range with its unit once: `2 to 3.5 %`, `75 to 95 %`, `6,500 to 7,200 CLP/h`. Digits as they were given. */
  range(low: Decimal, high: Decimal, unit: string, to: (low: string, high: string) => string): string {
    const scaled = (x: Decimal) => (isShare(unit, low, high) ? x.times(100) : x)
    const plain = (x: Decimal) => this.number(scaled(x), Math.min(6, scaled(x).decimalPlaces()))
    const word = isShare(unit, low, high)
      ? '%'
      : unit === '1'
        ? ''
        : (this.units(unit, high.eq(1)) ?? unit.replaceAll('m3', 'm³'))
    const span = low.eq(high) ? plain(high) : to(plain(low), plain(high))
    return word === '' ? span : `${span}\u00a0${word}`
  }

  /** Words in a row: `a, b and c`. */
  list(words: readonly string[]): string {
    return this.#lists.format(words)
  }
}

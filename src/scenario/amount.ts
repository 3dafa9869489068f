import type { Decimal } from 'decimal.js'

/** Decimals a unit is shown with: money to its cents, counts whole, the rest to two. */
export function decimalsOf(unit: string, currency: string, minorUnits: number): number {
  if (unit === currency) return minorUnits
  if (unit === 'carton' || unit === 'container' || unit === 'kg' || unit === 'person') return 0
  if (unit === 'h' || unit === 'day') return 1
  return 2
}

/** A figure for people: grouped by thousands with a thin separator that sorts as text, as in 12 345.60. */
export function amountText(value: Decimal, decimals: number): string {
  const [whole = '0', fraction] = value.toFixed(decimals).split('.')
  const grouped = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ' ')
  return fraction === undefined ? grouped : `${grouped}.${fraction}`
}

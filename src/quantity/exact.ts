import { Decimal } from 'decimal.js'
import type { Arithmetic, NumberInput, RoundingRule } from './arithmetic.js'

/**
 * Decimals with 34 significant digits, as IEEE 754-2008 decimal128 has. A clone, because the precision of
 * decimal.js itself is a global that other code may rely on.
 */
export const Exact = Decimal.clone({ precision: 34, rounding: Decimal.ROUND_HALF_EVEN })

const rules: Record<RoundingRule, Decimal.Rounding> = {
  'half-even': Decimal.ROUND_HALF_EVEN,
  'half-up': Decimal.ROUND_HALF_UP,
  down: Decimal.ROUND_DOWN,
}

/** Constants of formulas, made once: a plan asks for 0, 1 and the conversion factors thousands of times. */
const constants = new Map<Decimal.Value, Decimal>()
const REMEMBERED = 1000

function constant(x: Decimal.Value): Decimal {
  if (typeof x === 'object') return new Exact(x)
  const known = constants.get(x)
  if (known) return known
  const made = new Exact(x)
  if (constants.size < REMEMBERED) constants.set(x, made)
  return made
}

/** The arithmetic of statements and briefs: money to the cent, the likely value of each input. */
export const exact: Arithmetic<Decimal> = {
  of: constant,
  input: (row: NumberInput) => row.likely,
  cell: (_id, value) => value,
  min: (a, b) => (a.lte(b) ? a : b),
  max: (a, b) => (a.gte(b) ? a : b),
  ceil: (a) => a.ceil(),
  choose: (a, atLeast, then, otherwise) => (a.gte(atLeast) ? then : otherwise),
  sum: (xs) => xs.reduce((total, x) => total.plus(x), constant(0)),
  round: (a, decimals, rule = 'half-even') => a.toDecimalPlaces(decimals, rules[rule]),
}

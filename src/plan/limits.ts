import type { Decimal } from 'decimal.js'
import type { z } from 'zod'
import type { NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'
import { factsOf, GREATEST } from '../tables/fields.js'
import {
  consignmentColumns,
  exchangeColumns,
  householdFacts,
  inventoryColumns,
  quoteColumns,
  vehicleColumns,
} from '../tables/household-columns.js'

/** What an input may be, whoever changes it: the household's rates, a scenario, the command line or a page. */
export interface Limits {
  readonly low: Decimal
  readonly high: Decimal
  /** The limits in words, as in `from 0 to 1`. */
  readonly words: string
  allow(figure: Decimal): boolean
}

const limits = (low: Decimal.Value, high: Decimal.Value | undefined): Limits => {
  const [least, greatest] = [new Exact(low), new Exact(high ?? GREATEST)]
  return {
    low: least,
    high: greatest,
    // A least figure that only keeps a divisor from being 0 is not worth telling.
    words:
      least.gt(0) && least.lt('0.001')
        ? 'over 0'
        : high === undefined
          ? `${least} or more`
          : `from ${least} to ${greatest}`,
    allow: (figure) => figure.gte(least) && figure.lte(greatest),
  }
}

const ofColumn = (column: z.ZodType): Limits => {
  const { min, max } = factsOf(column)
  return limits(min ?? 0, max)
}

/** Inputs that are cells of the household's files keep the limits of their columns. */
const COLUMNS: readonly (readonly [RegExp, Limits])[] = (
  [
    [/^line\..*\.quantity$/, inventoryColumns.shape.quantity],
    [/^line\..*\.(length|width|height)$/, inventoryColumns.shape.length_cm],
    [/^line\..*\.mass$/, inventoryColumns.shape.mass_kg],
    [/^vehicle\..*\.length$/, vehicleColumns.shape.length_mm],
    [/^vehicle\..*\.width$/, vehicleColumns.shape.width_mm],
    [/^vehicle\..*\.height$/, vehicleColumns.shape.height_mm],
    [/^vehicle\..*\.mass$/, vehicleColumns.shape.mass_kg],
    [/^quote\..*\.volume$/, quoteColumns.shape.volume_m3],
    [/^consignment\..*$/, consignmentColumns.shape.freight],
    [/^exchange\./, exchangeColumns.shape.rate],
    [/^origin\.floor$/, householdFacts.shape.origin_floor],
    [/^origin\.carry-m$/, householdFacts.shape.origin_carry_m],
    [/^destination\.floor$/, householdFacts.shape.destination_floor],
    [/^destination\.carry-m$/, householdFacts.shape.destination_carry_m],
    [/^own\.people$/, householdFacts.shape.own_people],
    [/^storage\.months$/, householdFacts.shape.storage_months],
    [/^delay\.days$/, householdFacts.shape.delay_days],
  ] as const
).map(([pattern, column]) => [pattern, ofColumn(column)])

const M3 = ofColumn(inventoryColumns.shape.volume_m3)
const FT3 = ofColumn(inventoryColumns.shape.volume_ft3)
const SHARE = limits(0, 1)
const FACTOR = limits(0, 10)
const AMOUNT = limits(0, undefined)

/**
 * The limits of an input. None has a meaning below 0. A plain number that its table gives as a share of one stays a
 * share; any other plain number is a factor, and none of the trade's is above ten.
 */
export function limitsOf({ id, unit, likely, high }: NumberInput): Limits {
  const column = COLUMNS.find(([pattern]) => pattern.test(id))
  if (column) return column[1]
  if (id.startsWith('line.') && id.endsWith('.volume')) return unit === 'ft3' ? FT3 : M3
  if (unit !== '1') return AMOUNT
  return likely.lt(1) && high.lte(1) ? SHARE : FACTOR
}

/** A unit as a message adds it to 'a number'. */
export const ofUnit = (unit: string): string => (unit === '1' ? '' : ` of ${unit}`)

import type { Decimal } from 'decimal.js'
import { DAYS_A_MONTH } from '../plan/calendar-cells.js'
import { exact } from '../quantity/exact.js'
import { KG_PER_LB, M3_PER_FT3 } from '../quantity/units.js'

/** A number that formulas use and no input changes: a conversion, a door, a size of a crew. */
export interface NamedNumber {
  readonly name: string
  readonly label: string
  readonly unit: string
  readonly value: Decimal.Value
  /** The cells in whose formulas the number means this; in all where left out. */
  readonly owner?: RegExp
}

/** The mark of a way that does not work. */
export const NEVER: NamedNumber = {
  name: 'never',
  label: 'Added to the cost of a way that does not work: more than any move costs',
  unit: 'any',
  value: 1e12,
}

/** What numbers mean wherever they stand, and in the formulas of some cells. The first that fits is taken. */
const KNOWN: readonly NamedNumber[] = [
  { name: 'm3_per_ft3', label: 'Cubic metres in a cubic foot', unit: 'm3/ft3', value: M3_PER_FT3 },
  { name: 'kg_per_lb', label: 'Kilograms in a pound', unit: 'kg/lb', value: KG_PER_LB },
  { name: 'mm3_per_m3', label: 'Cubic millimetres in a cubic metre', unit: 'mm3/m3', value: 1e9 },
  { name: 'cm3_per_m3', label: 'Cubic centimetres in a cubic metre', unit: 'cm3/m3', value: 1e6 },
  NEVER,
  {
    name: 'hardly_anything',
    label: 'Least that anything is divided by, so that nothing is not divided by nothing',
    unit: 'any',
    value: '0.000001',
  },
  {
    name: 'days_a_month',
    label: 'Days of a month of storage',
    unit: 'day',
    value: DAYS_A_MONTH,
  },
  {
    name: 'least_quote',
    label: 'Least amount that a quote is compared with',
    unit: 'any',
    value: '0.01',
    owner: /^quotes\./,
  },
  {
    name: 'least_charge',
    label: 'Less than this is no charge',
    unit: 'any',
    value: '0.005',
    owner: /(duty|customs)/,
  },
  {
    name: 'tenth_day',
    label: 'The tenth charged day, whose demurrage is told as an example',
    unit: 'day',
    value: 10,
    owner: /tenth-day$/,
  },
  {
    name: 'day_before_tenth',
    label: 'The day before the tenth',
    unit: 'day',
    value: 9,
    owner: /tenth-day$/,
  },
  {
    name: 'container_stands',
    label: 'Way 2 at a door: the container stands and is fetched later',
    unit: '1',
    value: 2,
    owner: /door\.[^.]+\.way$/,
  },
  {
    name: 'small_trucks',
    label: 'Way 3 at a door: small trucks to the depot',
    unit: '1',
    value: 3,
    owner: /door\.[^.]+\.way$/,
  },
  {
    name: 'strikingly_low',
    label: 'Mark of a quote that is strikingly low',
    unit: '1',
    value: 2,
    owner: /\.outlier$/,
  },
  {
    name: 'both_sides',
    label: 'Ends or sides of a vehicle that need clearance',
    unit: '1',
    value: 2,
    owner: /^options\.|vehicle/,
  },
  {
    name: 'in_and_out',
    label: 'Handlings of goods that wait in a warehouse: in and out',
    unit: '1',
    value: 2,
    owner: /(^|\.)(time\.storage|cost\.destination\.(storage|waiting))/,
  },
]

/** Numbers of which there are many of one meaning: sizes of crews, days of a band of prices. */
const FAMILIES: readonly {
  readonly owner: RegExp
  readonly name: string
  readonly label: string
  readonly unit: string
}[] = [
  { owner: /^work\./, name: 'crew_of', label: 'Size of a crew that is tried', unit: 'person' },
  {
    owner: /^quotes\..*\.part\./,
    name: 'services_in_price',
    label: 'Services that one price of a quote stands for',
    unit: '1',
  },
  {
    owner: /(^|\.)(time\.|cost\.destination\.)/,
    name: 'days_of_band',
    label: 'Days for which one price of port or container days holds',
    unit: 'day',
  },
]

/** The doors of containers, so that they have names where the fit of a vehicle is worked out. */
export function containerDoors(
  containers: readonly {
    readonly id: string
    readonly label: string
    readonly door_width_mm: Decimal.Value
    readonly door_height_mm: Decimal.Value
  }[],
): NamedNumber[] {
  return containers.flatMap(({ id, label, door_width_mm, door_height_mm }) =>
    (['width', 'height'] as const).map((side) => ({
      name: `container.${id}.door-${side}`,
      label: `${label}: ${side} of the door`,
      unit: 'mm',
      value: side === 'width' ? door_width_mm : door_height_mm,
      owner: new RegExp(`^options\\.${id}[.+]`),
    })),
  )
}

/** What a number is called in formulas; undefined for 0 and 1, which are written as they are. */
export function namedNumber(
  value: Decimal,
  owner: string,
  own: readonly NamedNumber[] = [],
): NamedNumber | undefined {
  if (value.eq(0) || value.eq(1)) return undefined
  const family = value.isInteger() ? FAMILIES.find((many) => many.owner.test(owner)) : undefined
  const fits = (known: NamedNumber) => value.eq(known.value) && (known.owner?.test(owner) ?? true)
  return (
    own.find(fits) ??
    KNOWN.find(fits) ?? {
      label: '',
      unit: '1',
      ...(family && { label: family.label, unit: family.unit }),
      name: `${family?.name ?? 'number'}_${value.toFixed().replace('-', 'minus_').replace('.', '_')}`,
      value,
    }
  )
}

/** Ten to a power: what rounding to so many decimals multiplies and divides by. */
export const tensNumber = (decimals: number): NamedNumber => ({
  name: decimals === 2 ? 'hundredths' : decimals === 3 ? 'thousandths' : `tens_${decimals}`,
  label: `Parts of one at ${decimals} ${decimals === 1 ? 'decimal' : 'decimals'}, for rounding`,
  unit: '1',
  value: exact.of(10).pow(decimals),
})

import type { Decimal } from 'decimal.js'
import { cellOf, recordScenarios } from '../analysis/recorded-scenarios.js'
import { Columns, compile } from '../bulk/index.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { inHouseholdCurrency } from '../plan/shipment.js'
import { Exact } from '../quantity/exact.js'

/** What to do with a thing, and whether anything is left to decide. */
export type Advice = 'ship' | 'sell' | 'give away' | 'must travel' | 'not known'

/** One thing that travels, and what leaving it would change. Amounts are in the household's currency. */
export interface LeaveItem {
  readonly id: string
  readonly label: string
  readonly mustTravel: boolean
  /** What the whole move costs less without it, the plan made anew: never an average for each m³. */
  readonly marginal: Decimal
  /** What the packed volume shrinks by, m³. */
  readonly m3: Decimal
  /** What selling it brings; undefined where no value is given. */
  readonly resale: Decimal | undefined
  /** What replacing it costs at the destination; undefined where nobody said. */
  readonly replacement: Decimal | undefined
  /** What leaving and replacing it gains: marginal + resale − replacement. */
  readonly gain: Decimal | undefined
  /** The replacement cost at which shipping and leaving come to the same. */
  readonly breakEven: Decimal | undefined
  readonly advice: Advice
}

const TOTAL = 'cost.total'
const PACKED = 'volume.packed'

/** A plan without some lines: total cost, what of it is carriage, and packed volume. */
export interface Remaining {
  readonly total: Decimal
  readonly carriage: Decimal
  readonly containers: Decimal
  readonly packedM3: Decimal
}

/** What leaving each set of lines changes, the plan made anew for every set. */
export interface LeaveTable {
  readonly whole: Remaining
  without(sets: readonly (readonly string[])[]): readonly Remaining[]
}

/**
 * The plan compiled over how many of each line travel, so that any set can be left at once.
 *
 * @param option the way to carry whose cost counts as carriage; the one the plan takes unless said
 */
export function leaveTable(
  move: Move,
  plan: Plan,
  option = plan.sheet.choices.get('transport') ?? '',
): LeaveTable {
  const [scenario] = recordScenarios(move, [plan])
  if (!scenario) throw new Error('no plan to leave things out of')
  const lines = plan.shipment.lines.map(({ line }) => `line.${line}.quantity`)
  const ids = {
    total: TOTAL,
    carriage: `options.${option}.cost`,
    containers: `options.${option}.containers`,
    packedM3: PACKED,
  }
  const columns = new Columns(
    compile(new Map(Object.values(ids).map((id) => [id, cellOf(scenario, id)])), lines),
  )
  const likely = new Map(lines.map((id) => [id, plan.inputs.numbers.get(id)?.likely.toNumber() ?? 0]))
  const value = (id: string) => plan.sheet.cells.get(id)?.value ?? new Exact(0)
  return {
    whole: {
      total: value(ids.total),
      carriage: value(ids.carriage),
      containers: value(ids.containers),
      packedM3: value(ids.packedM3),
    },
    without(sets) {
      if (sets.length === 0) return []
      const given = new Map(lines.map((id) => [id, new Float64Array(sets.length).fill(likely.get(id) ?? 0)]))
      sets.forEach((set, at) => {
        for (const line of set) {
          const column = given.get(`line.${line}.quantity`)
          if (column) column[at] = 0
        }
      })
      const found = columns.evaluate(given)
      // A cell that hangs on no quantity is folded to one value.
      const read = (id: string, at: number, decimals: number) => {
        const column = found.get(id)
        return new Exact(column?.[at] ?? column?.[0] ?? value(id).toNumber()).toDecimalPlaces(decimals)
      }
      return sets.map((_, at) => ({
        total: read(ids.total, at, 2),
        carriage: read(ids.carriage, at, 2),
        containers: read(ids.containers, at, 0),
        packedM3: read(ids.packedM3, at, 6),
      }))
    },
  }
}

/**
 * What leaving each line saves besides carriage, beside a set that is left already: packing, work, cover, customs. A
 * line on which the number of containers hangs counts with nothing: that saving belongs to the set, not to the line.
 */
export function savedBesideCarriage(
  table: LeaveTable,
  lines: readonly string[],
  left: readonly string[],
): ReadonlyMap<string, Decimal> {
  const [base, ...others] = table.without([
    left,
    ...lines.map((line) => (left.includes(line) ? left.filter((id) => id !== line) : [...left, line])),
  ])
  const rest = ({ total, carriage }: Remaining) => total.minus(carriage)
  return new Map(
    lines.flatMap((line, at) => {
      const other = others[at]
      if (!base || !other || !base.containers.eq(other.containers)) return []
      return [[line, rest(base).minus(rest(other)).abs()] as const]
    }),
  )
}

/**
 * Every thing that travels, with what shipping it really costs against selling and replacing it.
 *
 * @param saleShare share of today's value that a sale before a move brings, of one
 * @returns in the order of the inventory, then vehicles; `not known` where a value is missing
 */
export function leaveItems(move: Move, plan: Plan, saleShare: number): readonly LeaveItem[] {
  const table = leaveTable(move, plan)
  const { lines, vehicles } = plan.shipment
  const without = table.without(lines.map(({ line }) => [line]))
  const own = (amount: Decimal | undefined, currency: string | undefined) =>
    amount && inHouseholdCurrency(plan.inputs, move.household.facts, amount, currency)
  const items = lines.map((line, at) => {
    const left = without[at]
    return item(
      {
        id: line.line,
        label: line.item,
        mustTravel: line.must_travel ?? false,
        marginal: left ? table.whole.total.minus(left.total) : new Exact(0),
        m3: left ? table.whole.packedM3.minus(left.packedM3) : new Exact(0),
      },
      own(line.value?.times(line.quantity), line.currency),
      own(line.replacement_value?.times(line.quantity), line.currency),
      saleShare,
    )
  })
  const wheels = vehicles.map((vehicle) => {
    const left = planWithout(move, plan, [vehicle.vehicle])
    const total = left.sheet.cells.get(TOTAL)?.value ?? table.whole.total
    return item(
      {
        id: vehicle.vehicle,
        label: vehicle.label,
        mustTravel: vehicle.must_travel ?? false,
        marginal: table.whole.total.minus(total),
        m3: new Exact(0),
      },
      own(vehicle.value, vehicle.currency),
      own(vehicle.replacement_value, vehicle.currency),
      saleShare,
    )
  })
  return [...items, ...wheels]
}

type Measured = Pick<LeaveItem, 'id' | 'label' | 'mustTravel' | 'marginal' | 'm3'>

function item(
  measured: Measured,
  value: Decimal | undefined,
  replacement: Decimal | undefined,
  saleShare: number,
): LeaveItem {
  const resale = value?.times(saleShare).toDecimalPlaces(2)
  const breakEven = resale && measured.marginal.plus(resale)
  const gain = breakEven && replacement && breakEven.minus(replacement)
  return { ...measured, resale, replacement, gain, breakEven, advice: adviceOf(measured, resale, gain) }
}

function adviceOf({ mustTravel }: Measured, resale: Decimal | undefined, gain: Decimal | undefined): Advice {
  if (mustTravel) return 'must travel'
  if (gain === undefined) return 'not known'
  if (gain.lte(0)) return 'ship'
  return resale?.gt(0) ? 'sell' : 'give away'
}

/** The plan made anew with these lines and vehicles left behind; another way to carry what remains if one is named. */
export function planWithout(move: Move, plan: Plan, ids: readonly string[], transport?: string): Plan {
  const place = { file: 'leave', line: 1 }
  const read = planOf(move, `${plan.name}, less is taken`, [
    ...plan.changes,
    ...ids.map((id) => ({ id: `take.${id}`, value: 'leave', place })),
    ...(transport === undefined ? [] : [{ id: 'transport', value: transport, place }]),
  ])
  if (!read.ok) throw new Refusal(read.problems)
  return read.value
}

import type { Decimal } from 'decimal.js'
import { exact } from '../../quantity/index.js'
import type { DutyMove } from '../move.js'
import { stops } from '../papers/restrictions.js'
import { insideOneTerritory } from '../relief/assess.js'
import type { CustomsTables } from '../tables.js'
import type { Counting } from './charge-lines.js'
import { type CarriageAmounts, customsOutcome } from './importer.js'
import { type VehicleCharge, vehicleCharges } from './vehicle-charges.js'
import { chargedLines, without } from './what-if.js'

/** Shipping one charged line, or a vehicle, against leaving it; amounts in the household's currency. */
export interface ShipOrLeave {
  readonly id: string
  readonly label: string
  /** Charges that fall away with the line, its effect on the others' fees included, as far as determined. */
  readonly charges: Decimal
  /** Its share of the freight. */
  readonly freight: Decimal
  /** Charges, freight, and for a vehicle what is known of registration and conversion. */
  readonly shipping: Decimal
  /** Selling it and buying the like at the destination; undefined where not stated. */
  readonly replacing: Decimal | undefined
  readonly advice: 'ship' | 'leave' | 'stop' | 'not determined'
  /** What is not in the figures, each with whom to ask; with any of it there is no advice to ship. */
  readonly open: readonly string[]
}

/**
 * For every charged line, every line whose charge is open, and every vehicle: the cost of shipping it (charges and
 * its share of the freight) against leaving it (buying the like there, less what it sells for here).
 *
 * What the law prohibits is a stop. Where a charge is not determined, shipping is never advised: only a replacement
 * that is cheaper than what is known already settles it, as leaving.
 *
 * @param freightOf the line's share of the freight, in the household's currency; apportion by volume, as space is paid
 * @param replacementOf replacement cost at the destination, in the household's currency
 */
export function shipOrLeave(
  tables: CustomsTables,
  move: DutyMove,
  carriage: CarriageAmounts,
  freightOf: (id: string) => Decimal,
  replacementOf: (id: string) => Decimal | undefined,
  counting: Counting = 'excluded',
): ShipOrLeave[] {
  const now = customsOutcome(tables, move, carriage, counting)
  const total = now.best.charges?.totalHousehold
  if (total === undefined && !insideOneTerritory(tables, move)) return []
  const stopped = new Set(
    stops(tables, move)
      .filter(({ certain }) => certain)
      .map(({ line }) => line),
  )
  const gaps = new Map<string, string[]>()
  for (const { what, lines, ask } of now.best.undetermined) {
    for (const line of lines) gaps.set(line, [...(gaps.get(line) ?? []), `${what}: ask ${ask}`])
  }
  const vehicles = vehicleCharges(tables, move, now)
  const ids = new Set([
    ...chargedLines(now),
    ...gaps.keys(),
    ...move.lines.filter((line) => line.kind !== 'goods').map((line) => line.id),
  ])
  return [...ids].map((id) => {
    const line = move.lines.find((each) => each.id === id)
    const freight = freightOf(id)
    const rest = withoutFreight(carriage, line?.consignment, freight)
    const after = customsOutcome(tables, without(move, [id]), rest, counting, move.importOn).best.charges
    const charges = total ? exact.round(total.minus(after?.totalHousehold ?? exact.of(0)), 2) : exact.of(0)
    const extra = vehicles.filter((each) => each.line === id)
    const shipping = exact.sum([charges, freight, ...extra.flatMap((each) => inHousehold(each, carriage))])
    const replacement = replacementOf(id)
    const replacing = replacement?.minus(line?.value ?? 0)
    const open = [...(gaps.get(id) ?? []), ...extra.flatMap(stillOpen)]
    return {
      id,
      label: line?.label ?? id,
      charges,
      freight,
      shipping,
      replacing,
      advice: stopped.has(id) ? 'stop' : adviceOn(shipping, replacing, open),
      open,
    }
  })
}

/** What carriage the others are declared with once a line and its freight stay behind: it falls on none of them. */
function withoutFreight(
  carriage: CarriageAmounts,
  consignment: string | undefined,
  freight: Decimal,
): CarriageAmounts {
  const less = (from: Decimal) => exact.max(from.minus(freight), exact.of(0))
  const own = carriage.consignments?.get(consignment ?? '')
  if (consignment === undefined || !own) return { ...carriage, freight: less(carriage.freight) }
  const consignments = new Map(carriage.consignments).set(consignment, { ...own, freight: less(own.freight) })
  return { ...carriage, consignments }
}

function adviceOn(
  shipping: Decimal,
  replacing: Decimal | undefined,
  open: readonly string[],
): ShipOrLeave['advice'] {
  if (replacing === undefined) return 'not determined'
  if (shipping.gt(replacing)) return 'leave'
  return open.length > 0 ? 'not determined' : 'ship'
}

const inHousehold = ({ amount }: VehicleCharge, { exchange }: CarriageAmounts): Decimal[] =>
  amount ? [amount.div(exchange)] : []

const stillOpen = ({ amount, label, ask }: VehicleCharge): string[] =>
  amount ? [] : [`${label}: ask ${ask}`]

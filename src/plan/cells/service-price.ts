import { leastCharge } from '../../cost/access-charges.js'
import type { Arithmetic, Num } from '../../quantity/arithmetic.js'
import type { Service } from '../../tables/reference.js'
import type { PortWait } from '../calendar-cells.js'
import type { PlanContext } from '../plan-context.js'
import type { TransportPlan } from '../transport-options.js'
import { CARRIAGE_DRIVERS, carriageAmount } from './carriage-price.js'
import { type DoorCost, daysAtTheDoor } from './door.js'
import { type HandWork, isHandWork } from './hand-task.js'
import type { Job } from './hand-work.js'
import { applies } from './service-terms.js'

/** What the prices of services are worked out from. */
export interface Priced<N> {
  readonly carriage: TransportPlan<N>
  readonly jobs: ReadonlyMap<HandWork, Job<N>>
  readonly wait: PortWait<N>
  readonly doors: Readonly<Record<'origin' | 'destination', DoorCost<N>>>
}

/**
 * What a mover asks for a service that is no share of others, in the household's currency, before rounding: its
 * price times what its driver counts, at least its least charge; nothing counted costs nothing.
 */
export function moverPrice<N extends Num<N>>(
  context: PlanContext<N>,
  service: Service,
  priced: Priced<N>,
): N {
  const { ledger } = context
  const { m } = ledger
  if (!applies(context, service)) return m.of(0)
  if (isHandWork(service.id)) return priced.jobs.get(service.id)?.moversBill ?? m.of(0)
  if (service.driver === 'door' && service.phase !== 'crossing') return priced.doors[service.phase].byMover
  if (service.id === 'demurrage' || service.id === 'detention') return priced.wait[service.id]
  if (service.id === 'freight' || service.carriage || CARRIAGE_DRIVERS.has(service.driver))
    return carriageAmount(context, service.id, priced.carriage)
  const price = ledger.money(`price.${service.id}`)
  const counted = quantity(context, service, priced)
  const amount = ledger.has(`price.${service.id}.minimum`)
    ? leastCharge(m, counted, price, ledger.money(`price.${service.id}.minimum`))
    : counted.times(price)
  if (service.driver !== 'm3-month') return amount
  const packed = ledger.get('volume.packed')
  const handling = m.choose(m.of(0), counted, m.of(0), ledger.money('storage.handling').times(packed))
  return amount.plus(handling).plus(priced.wait.warehouse)
}

/** How much of a service is taken, by its driver and what `counts` names. */
function quantity<N extends Num<N>>(context: PlanContext<N>, service: Service, priced: Priced<N>): N {
  const { ledger } = context
  const { m } = ledger
  const named = (usual: N): N => (service.counts === undefined ? usual : countOf(context, service.counts))
  switch (service.driver) {
    case 'm3':
      return named(ledger.get('volume.packed'))
    case 'm3-month':
      return ledger.get('volume.packed').times(named(ledger.input('storage.months')))
    case 'consignment':
      return named(consignments(m, priced.carriage))
    case 'day': {
      const side = service.phase === 'origin' ? 'origin' : 'destination'
      // Days are counted only where the town asks for a permit.
      if (service.counts !== undefined) return named(m.of(0))
      return ledger.choice(`${side}.permit`) === 'yes' ? daysAtTheDoor(context, side, priced.jobs) : m.of(0)
    }
    case 'hour':
      return named(ledger.input('labour.minimum-hours'))
    default:
      return named(m.of(1))
  }
}

/** Papers are made out and entries declared once for the containers and once for a share of another: two bills of lading. */
const consignments = <N extends Num<N>>(
  m: Arithmetic<N>,
  { containers, groupageUnits }: TransportPlan<N>,
): N =>
  m.choose(m.of(0), containers, m.of(0), m.of(1)).plus(m.choose(m.of(0), groupageUnits, m.of(0), m.of(1)))

/** A cell or an input by its id, or things of the household that are counted by kind. */
function countOf<N extends Num<N>>(context: PlanContext<N>, id: string): N {
  const { ledger } = context
  const { m } = ledger
  const vehicles = context.shipment.vehicles
  switch (id) {
    case 'count.pianos':
      return m.sum(
        context.shipment.lines
          .filter((line) => line.class === 'piano')
          .map((line) => ledger.input(`line.${line.line}.quantity`)),
      )
    case 'count.vehicles':
      return m.of(vehicles.length)
    case 'count.fuelled-vehicles':
      return m.of(vehicles.filter((v) => v.powertrain !== 'none').length)
    case 'count.decks':
      return m.of(vehicles.filter((v) => ledger.choice(`deck.${v.vehicle}`) === 'yes').length)
    default:
      return ledger.has(id) ? ledger.input(id) : ledger.get(id)
  }
}

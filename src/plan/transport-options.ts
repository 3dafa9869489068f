import { chargeableUnits } from '../cost/chargeable.js'
import { roadCargo } from '../cost/road-limits.js'
import { costPerM3 } from '../cost/unit-cost.js'
import type { Num } from '../quantity/arithmetic.js'
import { kgFromLb } from '../quantity/units.js'
import { bindingKgPerM3 } from '../stowage/binding-limit.js'
import {
  type CarInside,
  containersNeeded,
  grossMassKg,
  nominalM3,
  usableM3,
} from '../stowage/usable-space.js'
import { vehicleSlack } from '../stowage/vehicle.js'
import { carriageAmount } from './cells/carriage-price.js'
import { type PlanContext, providerOf, type References } from './plan-context.js'

/** A way to carry the household: containers of one type, a share of one, or one container and a share for the rest. */
export interface TransportOption {
  readonly id: string
  readonly container?: string
  readonly groupage: boolean
}

/** The ways to carry a household that every plan works out side by side: rows of containers.csv, and a share. */
export function transportOptions({ containers }: Pick<References, 'containers'>): readonly TransportOption[] {
  return [
    ...containers.map(({ id }) => ({ id, container: id, groupage: false })),
    { id: GROUPAGE, groupage: true },
    ...containers
      .filter(({ with_share }) => with_share)
      .map(({ id }) => ({ id: `${id}+${GROUPAGE}`, container: id, groupage: true })),
  ]
}

/** The word for a share of a container in the choice `transport`. */
export const GROUPAGE = 'groupage'

/** How an option carries this household. */
export interface TransportPlan<N> {
  readonly option: TransportOption
  readonly containers: N
  readonly groupageUnits: N
  readonly teu: N
  /** 1 where every vehicle goes in and a vehicle is not sent as groupage, else 0. */
  readonly fits: N
}

/** Works out one option: containers or chargeable units needed, space, mass, and what its carriage costs. */
export function optionCells<N extends Num<N>>(
  context: PlanContext<N>,
  option: TransportOption,
): TransportPlan<N> {
  const { ledger } = context
  const { m } = ledger
  const packed = ledger.get('volume.packed')
  const goodsKg = ledger.get('mass.goods').plus(ledger.get('mass.packing'))
  const id = `options.${option.id}`
  const label = optionLabel(context.reference, option.id)
  const put = (name: string, what: string, unit: string, value: N) =>
    ledger.put(`${id}.${name}`, `${label}: ${what}`, unit, value)

  const space = option.container === undefined ? undefined : containerSpace(context, option.container)
  const fits = put(
    'fits',
    'vehicles go in (1 yes, 0 no)',
    '1',
    space ? space.vehiclesFit : m.of(context.shipment.vehicles.length === 0 ? 1 : 0),
  )
  const containers = put(
    'containers',
    'containers',
    'container',
    !space
      ? m.of(0)
      : option.groupage
        ? m.of(1)
        : containersNeeded(
            m,
            packed,
            space.firstM3,
            space.nextM3,
            goodsKg.plus(ledger.get('mass.vehicles')),
            space.payload,
          ),
  )
  const shared = option.groupage ? (space ? m.max(m.of(0), packed.minus(space.firstM3)) : packed) : m.of(0)
  const gross = shared.times(ledger.input('groupage.gross-factor'))
  const kg = option.groupage ? m.choose(m.of(0), packed, m.of(0), goodsKg.times(shared).div(packed)) : m.of(0)
  const charged = chargeableUnits(
    m,
    gross,
    kg,
    ledger.input('groupage.kg-per-m3'),
    ledger.input('groupage.minimum-m3'),
  )
  // Nothing left over means nothing sent by groupage: the least charge must not bite then.
  const groupageUnits = put(
    'groupage-units',
    'chargeable units of a shared container',
    'm3',
    option.groupage ? m.choose(m.of(0), shared, m.of(0), charged) : m.of(0),
  )
  const carriage: TransportPlan<N> = {
    option,
    containers,
    groupageUnits,
    teu: space ? containers.times(space.teu) : m.of(0),
    fits,
  }

  const cost = ledger.putStatementLine(
    `${id}.cost`,
    `${label}: carriage cost`,
    m.sum(
      context.reference.services
        .filter((service) => service.carriage)
        .map((service) => carriageAmount(context, service.id, carriage)),
    ),
  )
  const each = (amount: N, m3: N) => m.choose(m.of(0), m3, m.of(0), costPerM3(amount, m3))
  put('cost-per-shipped-m3', 'cost for each packed cubic metre', `${ledger.currency}/m3`, each(cost, packed))
  if (space) {
    const nominal = put('nominal-m3', 'nominal space', 'm3', containers.times(space.nominal))
    const usable = put(
      'usable-m3',
      'usable space',
      'm3',
      space.firstM3.plus(containers.minus(m.of(1)).times(space.nextM3)),
    )
    put(
      'cost-per-nominal-m3',
      'cost for each nominal cubic metre',
      `${ledger.currency}/m3`,
      each(cost, nominal),
    )
    put('cost-per-usable-m3', 'cost for each usable cubic metre', `${ledger.currency}/m3`, each(cost, usable))
    put('first-m3', 'space for goods in the first', 'm3', space.firstM3)
    put(
      'binding-density',
      'density of goods above which mass fills it before space',
      'kg/m3',
      m.choose(m.of(0), space.firstM3, m.of(0), bindingKgPerM3(space.payload, space.firstM3)),
    )
    put('fill', 'share of the usable space filled', '1', each(packed.minus(shared), usable))
    const vgm = grossMassKg(
      containers.times(space.tare),
      goodsKg.minus(kg),
      ledger.get('mass.vehicles'),
      m.of(0),
    )
    put('gross-mass', 'gross mass by calculation', 'kg', vgm)
    put(
      'mass-share',
      'share of the payload used',
      '1',
      goodsKg.minus(kg).plus(ledger.get('mass.vehicles')).div(containers.times(space.payload)),
    )
  }
  return carriage
}

/** What people call an option, by its word in the choice `transport`. */
export function optionLabel({ containers }: Pick<References, 'containers'>, option: string): string {
  const [container, share] = option.split('+')
  if (option === GROUPAGE) return 'Shared container'
  const label = containers.find((c) => c.id === container)?.label ?? option
  return share === GROUPAGE ? `${label} and a shared container` : label
}

/** What a container offers this household: space beside the vehicles, payload by plate and road. */
function containerSpace<N extends Num<N>>(context: PlanContext<N>, container: string) {
  const { ledger, reference } = context
  const { m } = ledger
  const of = (name: string) => ledger.input(`container.${container}.${name}`)
  const inside = { lengthMm: of('length'), widthMm: of('width'), heightMm: of('height') }
  const byHand = providerOf(context, 'loading') !== 'mover'
  const stowed = ledger.input(byHand ? 'stowage.share.owner' : 'stowage.share.professional')
  const pallets = ledger.choice('pallets') === 'yes' ? ledger.input('stowage.pallet-loss') : m.of(0)
  const share = stowed.times(m.of(1).minus(pallets))
  const vehicles = context.shipment.vehicles
  const besideVehicles =
    vehicles.length > 0
      ? m.min(share, ledger.input('stowage.share.with-car').times(m.of(1).minus(pallets)))
      : share
  const side = vehicles.length > 0 ? ledger.input('car.clearance-side-mm') : m.of(0)
  const end = vehicles.length > 0 ? ledger.input('car.clearance-end-mm') : m.of(0)
  const top = vehicles.length > 0 ? ledger.input('car.clearance-top-mm') : m.of(0)
  const cars: CarInside<N>[] = vehicles.map((v) => ({
    lengthMm: ledger.input(`vehicle.${v.vehicle}.length`),
    heightMm: ledger.input(`vehicle.${v.vehicle}.height`),
    endClearanceMm: end,
    topClearanceMm: top,
    deckShare: ledger.choice(`deck.${v.vehicle}`) === 'yes' ? ledger.input('stowage.deck-share') : m.of(0),
  }))
  const row = reference.containers.find((c) => c.id === container)
  const doorWidth = m.of(row?.door_width_mm ?? 0)
  const doorHeight = m.of(row?.door_height_mm ?? 0)
  const none = m.of(0)
  const long = m.sum(cars.map((car) => car.lengthMm.plus(end.times(m.of(2)))))
  // The door is the narrowest place: a car that stands inside the height may still not pass under its header.
  const vehiclesFit = vehicles.reduce(
    (fit, v) => {
      const slack = vehicleSlack(
        m,
        { doorWidthMm: doorWidth, doorHeightMm: doorHeight, insideLengthMm: inside.lengthMm },
        {
          lengthMm: ledger.input(`vehicle.${v.vehicle}.length`),
          widthMm: ledger.input(`vehicle.${v.vehicle}.width`),
          heightMm: ledger.input(`vehicle.${v.vehicle}.height`),
          clearanceEndMm: end,
          clearanceSideMm: side,
          clearanceTopMm: top,
        },
      )
      return m.choose(slack.widthMm, none, m.choose(slack.heightMm, none, fit, none), none)
    },
    m.choose(inside.lengthMm, long, m.of(1), none),
  )
  return {
    nominal: nominalM3(m, inside),
    // Around a car less of the room is used than in an empty box.
    firstM3: packedCapacityM3(context, container, usableM3(m, inside, besideVehicles, cars)),
    nextM3: usableM3(m, inside, share, []),
    tare: of('tare'),
    teu: of('teu'),
    payload: containerPayloadKg(context, container),
    vehiclesFit,
  }
}

/**
 * Room for this household's goods, m³ of packed volume: by the usable share of volume until the goods have been packed
 * piece by piece, then as packing found. Where everything went in, there is room for at least that much; where
 * something stayed out, for what went in.
 */
function packedCapacityM3<N extends Num<N>>({ ledger }: PlanContext<N>, container: string, byVolume: N): N {
  const id = `packed.${container}`
  switch (ledger.choice(id)) {
    case 'everything':
      return ledger.m.max(byVolume, ledger.input(`${id}.m3`))
    case 'not everything':
      return ledger.input(`${id}.m3`)
    default:
      return byVolume
  }
}

/**
 * What a container may carry, kg: by its plate, and by the roads at both ends, of which the lowest limit on the way
 * binds.
 */
export function containerPayloadKg<N extends Num<N>>(context: PlanContext<N>, container: string): N {
  const { ledger } = context
  const of = (name: string) => ledger.input(`container.${container}.${name}`)
  const plate = of('max-gross').minus(of('tare'))
  return roadLimits(context, container).reduce((least, limit) => ledger.m.min(least, limit), plate)
}

/**
 * Cargo limits of the roads at both ends, kg, where the reference tables know them: quoted for the container in the
 * United States, in Europe the lorry's gross mass less tractor, chassis and container.
 */
function roadLimits<N extends Num<N>>({ ledger }: PlanContext<N>, container: string): N[] {
  const { m } = ledger
  const limits: N[] = []
  // Only the roads of this move are inputs.
  const quoted = `road-limit.us.${container}`
  if (ledger.has(quoted)) limits.push(kgFromLb(m, ledger.input(quoted)))
  if (ledger.has('road-limit.eu.gross')) {
    const [gross, empty] = [
      ledger.input('road-limit.eu.gross'),
      ledger.input('road-limit.eu.tractor-and-chassis'),
    ]
    limits.push(roadCargo(m, gross, empty, ledger.input(`container.${container}.tare`)))
  }
  return limits
}

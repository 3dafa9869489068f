import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as cost from '../../src/cost/index.js'
import * as insurance from '../../src/insurance/index.js'
import {
  type Arithmetic,
  Bounded,
  bounded,
  exact,
  kgFromLb,
  kgPerM3FromLbPerFt3,
  m3FromFt3,
  type Num,
  recorded,
} from '../../src/quantity/index.js'
import * as stowage from '../../src/stowage/index.js'
import * as packing from '../../src/stowage/packing/index.js'
import * as loadPlanning from '../../src/stowage/plan/index.js'
import * as time from '../../src/time/index.js'
import * as volume from '../../src/volume/index.js'
import { decimal } from './numbers.js'

/** The next random input of a formula, in the arithmetic at hand, from low to high. */
type Take<N> = (low: number, high: number, digits?: number) => N
type Formula = <N extends Num<N>>(m: Arithmetic<N>, take: Take<N>) => N

const hourShares = <N>(take: Take<N>) => ({ employer: take(1, 2), movers: take(0.4, 1), billing: take(1, 2) })
const money = <N>(take: Take<N>): N => take(0, 200_000)
const worth = <N>(take: Take<N>): N => take(1, 200_000)
const share = <N>(take: Take<N>): N => take(0, 1, 3)

const spread = <N extends Num<N>>(take: Take<N>) => {
  const fromM = take(0, 11)
  return { massKg: take(1, 9000), fromM, toM: fromM.plus(take(0.1, 1)) }
}
const tiers = <N>(take: Take<N>) => [
  { fromDay: 1, untilDay: 3, price: take(0, 300) },
  { fromDay: 4, untilDay: 10, price: take(0, 300) },
  { fromDay: 11, untilDay: undefined, price: take(0, 300) },
]
const day = <N>(take: Take<N>): N => take(46_400, 46_500, 0)
const freeTime = <N>(take: Take<N>, count: time.DayCount) => ({
  freeDays: take(0, 14, 0),
  freeCount: count,
  chargedCount: count,
  start: 'next day' as const,
  holidays: [46_440, 46_443, 46_447, 46_455],
})
const stretches = <N>(take: Take<N>) => ({
  toPort: take(0, 5),
  fill: take(0, 42),
  closing: take(0, 4),
  crossing: take(10, 50),
  clearance: take(0, 10),
  delay: take(0, 30),
  delivery: take(0, 7),
  inspection: take(0, 10),
  emptyReturn: take(0, 3),
})
const inside = <N>(take: Take<N>) => ({
  lengthMm: take(5000, 14_000, 0),
  widthMm: take(2300, 2400, 0),
  heightMm: take(2300, 2700, 0),
})
const car = <N>(take: Take<N>) => ({
  lengthMm: take(3500, 6000, 0),
  heightMm: take(1400, 2000, 0),
  endClearanceMm: take(0, 300, 0),
  topClearanceMm: take(0, 100, 0),
  deckShare: share(take),
})
const access = <N>(take: Take<N>) => ({
  floors: take(0, 12, 0),
  floorSurcharge: share(take),
  liftSurcharge: share(take),
  carryM: take(0, 200),
  carryFreeM: take(0, 50),
  carryStepM: take(1, 50),
  carrySurcharge: share(take),
})
const loss = <N>(take: Take<N>) => ({ loss: money(take), sumInsured: money(take), valueAtRisk: worth(take) })
const cover = <N>(take: Take<N>) => ({
  premium: money(take),
  deductible: money(take),
  forcedServices: money(take),
})
const interest = <N>(take: Take<N>) => ({ saved: worth(take), sacrificed: money(take) })
const repairable = <N>(take: Take<N>) => ({
  repair: money(take),
  forwarding: money(take),
  valueOnArrival: money(take),
  agreedValue: money(take),
})

// Every formula of these folders by its name, so that a new one left out here is found by the test below.
const formulas: Readonly<Record<string, Formula>> = {
  m3FromFt3: (m, take) => m3FromFt3(m, take(0, 3000)),
  kgFromLb: (m, take) => kgFromLb(m, take(0, 60_000)),
  kgPerM3FromLbPerFt3: (m, take) => kgPerM3FromLbPerFt3(m, take(0, 50)),
  boxM3: (m, take) => volume.boxM3(m, take(1, 300), take(1, 300), take(1, 300)),
  packedM3: (_, take) => volume.packedM3(take(0, 90), take(1, 1.4)),
  cartonCount: (m, take) =>
    volume.cartonCount(m, take(0, 20), take(0, 3000), {
      outerM3: take(0.03, 0.2),
      fill: take(0.5, 1),
      contentLimitKg: take(10, 55),
    }),
  nominalM3: (m, take) => stowage.nominalM3(m, inside(take)),
  usableM3: (m, take) => stowage.usableM3(m, inside(take), share(take), [car(take), car(take)]),
  containersNeeded: (m, take) =>
    stowage.containersNeeded(
      m,
      take(0, 200),
      take(0, 70),
      take(10, 80),
      take(0, 40_000),
      take(15_000, 28_000),
    ),
  payloadKg: (m, take) => stowage.payloadKg(m, take(20_000, 36_000), take(2000, 5000), take(15_000, 30_000)),
  grossMassKg: (_, take) => stowage.grossMassKg(take(0, 5000), take(0, 9000), take(0, 3000), take(0, 400)),
  offsetShare: (m, take) => stowage.offsetShare(m, take(0, 12), take(5, 14)),
  frontHalfShare: (m, take) => stowage.frontHalfShare(m, [spread(take), spread(take)], take(12, 14)),
  bindingKgPerM3: (_, take) => stowage.bindingKgPerM3(take(0, 28_000), take(10, 80)),
  blockingForceN: (m, take) =>
    stowage.blockingForceN(
      m,
      { massKg: take(0, 3000), friction: share(take) },
      { horizontal: share(take), vertical: share(take) },
      take(9.7, 9.9),
    ),
  lashingForceN: (m, take) =>
    stowage.lashingForceN(
      m,
      { massKg: take(0, 3000), friction: share(take) },
      { horizontal: share(take), vertical: share(take) },
      take(9.7, 9.9),
      share(take),
    ),
  vehicleSlack: (m, take) => {
    const space = {
      doorWidthMm: take(2286, 2400, 0),
      doorHeightMm: take(2261, 2700, 0),
      insideLengthMm: take(5800, 14_000, 0),
    }
    const slack = stowage.vehicleSlack(m, space, {
      lengthMm: take(3000, 6000, 0),
      widthMm: take(1500, 2200, 0),
      heightMm: take(1200, 2400, 0),
      clearanceEndMm: take(0, 300, 0),
      clearanceSideMm: take(0, 150, 0),
      clearanceTopMm: take(0, 100, 0),
    })
    return slack.heightMm.plus(slack.widthMm).plus(slack.lengthMm)
  },
  chargeableUnits: (m, take) =>
    cost.chargeableUnits(m, take(0, 60), take(0, 20_000), take(300, 1000), take(0, 5)),
  chargeableWeightKg: (m, take) =>
    cost.chargeableWeightKg(m, take(0, 5), take(0, 900), take(0.003, 0.006, 4), take(0.1, 1)),
  accessFactor: (m, take) => cost.accessFactor(m, access(take), false),
  'accessFactor with a lift': (m, take) => cost.accessFactor(m, access(take), true),
  crewHours: (_, take) => cost.crewHours(take(0, 9000), take(100, 900), take(1, 3)),
  escalated: (m, take) => cost.escalated(m, take(5, 60), take(0, 0.1), 4),
  moversLabourCost: (_, take) =>
    cost.moversLabourCost(take(5, 60), { kind: 'wage', who: 'whole economy' }, hourShares(take)),
  moversHour: (_, take) => cost.moversHour(take(5, 60), take(1, 2)),
  packingHours: (_, take) =>
    cost.packingHours(take(0, 400, 0), take(0, 60), {
      cartonsPerHour: take(4, 8),
      wrappedM3PerHour: take(2, 5),
    }),
  crewForTheDay: (m, take) =>
    cost.crewForTheDay(
      m,
      [
        { size: 2, hours: take(5, 20) },
        { size: 4, hours: take(2, 9) },
      ],
      take(7, 9),
    ).hours,
  crewOverhead: (m, take) =>
    cost.crewOverhead(m, take(0, 20), take(7, 9), { perDay: take(50, 300), perJob: take(0, 100) }),
  packersForTheDay: (m, take) =>
    cost.packersForTheDay(m, take(0, 90), take(7, 9), take(1, 3, 0), take(4, 8, 0)),
  sharedHours: (m, take) =>
    cost.sharedHours(m, take(0, 90), [
      { people: take(1, 4, 0), pace: take(0.3, 1) },
      { people: take(0, 4, 0), pace: take(0.3, 1) },
    ]),
  hiredByTheDay: (m, take) => cost.hiredByTheDay(m, take(1, 5, 0), take(0, 30), take(7, 9), take(5, 60)),
  lorryWaits: (m, take) => cost.lorryWaits(m, take(0, 20), take(1, 3, 0), take(0, 4), take(50, 150)),
  containerStands: (_, take) => cost.containerStands(take(1, 3, 0), money(take), take(0, 5), take(30, 90)),
  smallTrucks: (m, take) =>
    cost.smallTrucks(m, take(0, 60), take(10, 50), take(0, 400), share(take), money(take)),
  employerGives: (m, take) =>
    cost.employerGives(m, money(take), { lumpSum: take(0, 9000), share: share(take), cap: take(0, 9000) }),
  splitBundle: (m, take) => cost.splitBundle(m, money(take), [money(take), money(take)])[0] ?? m.of(0),
  crewBill: (m, take) => cost.crewBill(m, take(0, 40), take(0, 4), take(1, 6, 0), take(5, 90)),
  waitingHours: (m, take) => cost.waitingHours(m, take(0, 12), take(0, 4)),
  leastCharge: (m, take) => cost.leastCharge(m, take(0, 900), take(0, 2), take(0, 400)),
  roadCargo: (m, take) => cost.roadCargo(m, take(30_000, 44_000), take(13_000, 16_000), take(2000, 5000)),
  costPerM3: (_, take) => cost.costPerM3(money(take), take(1, 80)),
  priceForVolume: (_, take) => cost.priceForVolume(money(take), take(1, 80), take(1, 80)),
  workingDaysUntil: (m, take) => time.workingDaysUntil(m, take(40_000, 50_000, 0)),
  nthWorkingDay: (m, take) => time.nthWorkingDay(m, take(28_000, 36_000, 0)),
  'lastFreeDay, calendar days': (m, take) => time.lastFreeDay(m, day(take), freeTime(take, 'calendar')),
  lastFreeDay: (m, take) => time.lastFreeDay(m, day(take), freeTime(take, 'working')),
  chargedDaysUntil: (m, take) => time.chargedDaysUntil(m, day(take), day(take), freeTime(take, 'working')),
  consignmentDates: (m, take) => {
    const free = { port: freeTime(take, 'working'), away: freeTime(take, 'calendar') }
    const dates = time.consignmentDates(m, day(take), day(take), stretches(take), free)
    return m.sum(Object.values(dates))
  },
  chargedDays: (m, take) => time.chargedDays(m, take(0, 60, 0), take(0, 14, 0)),
  dayCharges: (m, take) => time.dayCharges(m, take(0, 60, 0), tiers(take)),
  insuredShare: (m, take) => insurance.insuredShare(m, money(take), worth(take)),
  claimPaid: (m, take) => insurance.claimPaid(m, loss(take), money(take), 'after average'),
  'claimPaid, deductible first': (m, take) =>
    insurance.claimPaid(m, loss(take), money(take), 'before average'),
  franchisePaid: (m, take) => insurance.franchisePaid(m, money(take), money(take)),
  damagedGoodsPaid: (_, take) => insurance.damagedGoodsPaid(money(take), worth(take), money(take)),
  partLostPaid: (_, take) => insurance.partLostPaid(money(take), money(take), worth(take)),
  constructiveTotalLossPaid: (m, take) => insurance.constructiveTotalLossPaid(m, repairable(take)),
  actualCashValue: (m, take) => insurance.actualCashValue(m, money(take), take(0, 30), take(1, 30)),
  breakEvenDamage: (m, take) => insurance.breakEvenDamage(m, cover(take), cover(take)),
  breakEvenChance: (_, take) => insurance.breakEvenChance(money(take), money(take), worth(take)),
  carrierLimit: (m, take) =>
    insurance.carrierLimit(m, take(0, 300, 0), take(0, 9000), {
      perPackage: take(0, 900),
      perKg: take(0, 30),
    }),
  removalLimit: (_, take) => insurance.removalLimit(take(0, 90), take(0, 900)),
  contributoryValue: (m, take) => insurance.contributoryValue(m, money(take), money(take)),
  madeGoodValue: (m, take) => insurance.madeGoodValue(m, money(take), money(take)),
  indifferentSum: (_, take) =>
    insurance.indifferentSum(share(take), money(take), take(0.04, 0.06, 3), take(0.01, 0.03, 3)),
  averageSecurity: (_, take) => insurance.averageSecurity(money(take), share(take)),
  contributionPaid: (m, take) => insurance.contributionPaid(m, money(take), money(take), worth(take)),
  generalAverageBalance: (m, take) =>
    m.max(
      m.of(-1_000_000),
      m.sum(
        insurance
          .generalAverageBalance(m, [interest(take), interest(take), interest(take)], money(take))
          .slice(0, 2),
      ),
    ),
  premium: (m, take) => insurance.premium(m, money(take), take(0, 0.1, 4), take(0, 300)),
  sumInsuredCif: (m, take) =>
    insurance.sumInsuredCif(m, money(take), money(take), take(1, 1.2), take(0, 0.1, 4)),
}

/** Runs a formula while noting the limits of each input it takes. */
function inputsOf(formula: Formula): readonly fc.Arbitrary<readonly [Decimal, Decimal, Decimal]>[] {
  const inputs: fc.Arbitrary<readonly [Decimal, Decimal, Decimal]>[] = []
  formula(exact, (low, high, digits = 2) => {
    const one = decimal(low, high, digits)
    inputs.push(
      fc.tuple(one, one, one).map(([a, b, c]) => {
        const [x, y, z] = [a, b, c].sort((p, q) => p.comparedTo(q))
        return [x ?? a, y ?? b, z ?? c] as const
      }),
    )
    return exact.of(high)
  })
  return inputs
}

/** Hands out inputs one after another. */
function dealer<N, T>(inputs: readonly T[], as: (input: T) => N): Take<N> {
  let next = 0
  return () => {
    const input = inputs[next]
    next += 1
    if (input === undefined) throw new RangeError('a formula took more inputs than it did before')
    return as(input)
  }
}

describe.each(Object.entries(formulas))('%s', (_, formula) => {
  const inputs = fc.tuple(...inputsOf(formula))

  test('gives the same in the exact and the recorded arithmetic', () => {
    fc.assert(
      fc.property(inputs, (xs) => {
        const value = formula(
          exact,
          dealer(xs, ([, x]) => x),
        )
        const kept = formula(
          recorded,
          dealer(xs, ([, x]) => recorded.of(x)),
        )
        expect(kept.value.eq(value)).toBe(true)
      }),
      { numRuns: 40 },
    )
  })

  test('stays within its bounds while its inputs stay within theirs', () => {
    fc.assert(
      fc.property(inputs, (xs) => {
        const value = formula(
          exact,
          dealer(xs, ([, x]) => x),
        )
        const range = formula(
          bounded,
          dealer(xs, ([low, , high]) => new Bounded(low, high)),
        )
        expect(range.low.lte(value) && range.high.gte(value)).toBe(true)
      }),
      { numRuns: 40 },
    )
  })
})

test('every formula of volume, stowage, cost, time and insurance is among these', () => {
  // Dates, codes and the load plan are no formulas over numbers; curves over the volume are decimals throughout.
  const notGeneric = [
    'dayNumber',
    'isoDay',
    'DAY_COUNTS',
    'CLOCK_STARTS',
    'checkDigit',
    'checkSum',
    'parseContainerNumber',
  ]
  notGeneric.push(
    'readSizeType',
    'cartonList',
    'Piecewise',
    'piecewiseUpTo',
    'costCurve',
    'costAt',
    'switches',
    'DOOR_WAYS',
    'waysOf',
    'freightOnLane',
    'inForce',
    ...[
      'andThen',
      'chanceBy',
      'dayWithChance',
      'exactly',
      'notBefore',
      'pertDays',
      'theLater',
      'waitingDays',
    ],
    // The cover decision is a convolution of chances, in doubles with guaranteed bounds.
    ...[
      'advisedCover',
      'coverOutcomes',
      'coverRisks',
      'outcomesOf',
      'NO_COVER',
      'safetySteps',
      'transitLoss',
    ],
    ...['retained', 'retainedLoss', 'answeredShare', 'answersFor'],
    ...['dayIn', 'easterSunday', 'holidaysOf', 'isHolidayRule'],
    ...Object.keys(packing),
    ...Object.keys(loadPlanning),
  )
  const all = [volume, stowage, cost, time, insurance].flatMap((folder) => Object.keys(folder))
  expect(all.filter((name) => !(name in formulas) && !notGeneric.includes(name))).toEqual([])
})

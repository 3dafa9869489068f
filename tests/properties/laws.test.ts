import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chargeableUnits, chargeableWeightKg, costPerM3, crewBill, crewHours } from '../../src/cost/index.js'
import {
  carrierLimit,
  claimPaid,
  type DeductibleOrder,
  generalAverageBalance,
  premium,
} from '../../src/insurance/index.js'
import { exact } from '../../src/quantity/index.js'
import { frontHalfShare } from '../../src/stowage/balance.js'
import { checkSum } from '../../src/stowage/container-number.js'
import { blockingForceN, lashingForceN } from '../../src/stowage/lashing.js'
import { containersNeeded, usableM3 } from '../../src/stowage/usable-space.js'
import { dayCharges } from '../../src/time/index.js'
import { cartonCount, packedM3 } from '../../src/volume/index.js'
import { decimal, money, share, TINY } from './numbers.js'

const zero = exact.of(0)

/** Gapless steps of random lengths and prices, the last one open. */
const tiersArb = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 9 }), decimal(0, 400)), { minLength: 1, maxLength: 5 })
  .map((steps) =>
    steps.map(([length, price], i) => {
      const fromDay = 1 + steps.slice(0, i).reduce((sum, [n]) => sum + n, 0)
      return { fromDay, untilDay: i === steps.length - 1 ? undefined : fromDay + length - 1, price }
    }),
  )
const days = fc.integer({ min: 0, max: 90 }).map((n) => exact.of(n))

describe('time', () => {
  it('day charges never fall as days grow', () => {
    fc.assert(
      fc.property(tiersArb, days, days, (tiers, a, more) => {
        expect(dayCharges(exact, a.plus(more), tiers).gte(dayCharges(exact, a, tiers))).toBe(true)
      }),
    )
  })

  it('day charges are the sum of each day at the price of its own step', () => {
    fc.assert(
      fc.property(tiersArb, fc.integer({ min: 0, max: 60 }), (tiers, charged) => {
        const priceOf = (day: number) =>
          tiers.find((tier) => day >= tier.fromDay && (tier.untilDay === undefined || day <= tier.untilDay))
            ?.price ?? zero
        const each = Array.from({ length: charged }, (_, i) => priceOf(i + 1))
        expect(dayCharges(exact, exact.of(charged), tiers).eq(exact.sum(each))).toBe(true)
      }),
    )
  })
})

describe('insurance', () => {
  const order = fc.constantFrom<DeductibleOrder>('after average', 'before average')

  it('pays at most the loss and the sum insured, never less than nothing', () => {
    fc.assert(
      fc.property(
        money,
        money,
        decimal(1, 200_000),
        money,
        order,
        (loss, sumInsured, valueAtRisk, off, by) => {
          const paid = claimPaid(exact, { loss, sumInsured, valueAtRisk }, off, by)
          expect(paid.gte(0) && paid.lte(loss) && paid.lte(sumInsured)).toBe(true)
        },
      ),
    )
  })

  it('pays no less for a greater loss, no more with a greater deductible, and least when average comes first', () => {
    fc.assert(
      fc.property(
        money,
        money,
        money,
        decimal(1, 200_000),
        money,
        order,
        (loss, more, sumInsured, valueAtRisk, off, by) => {
          const pay = (l: typeof loss, d: typeof off, o = by) =>
            claimPaid(exact, { loss: l, sumInsured, valueAtRisk }, d, o)
          expect(pay(loss.plus(more), off).gte(pay(loss, off))).toBe(true)
          expect(pay(loss, off.plus(more)).lte(pay(loss, off))).toBe(true)
          expect(pay(loss, off, 'after average').lte(pay(loss, off, 'before average').plus(TINY))).toBe(true)
        },
      ),
    )
  })

  it('asks no less premium for more insured', () => {
    fc.assert(
      fc.property(money, money, decimal(0, 0.1, 4), decimal(0, 300), (sum, more, rate, least) => {
        expect(premium(exact, sum.plus(more), rate, least).gte(premium(exact, sum, rate, least))).toBe(true)
      }),
    )
  })

  it('general average: what all owe and get comes to the expenses, and nothing when nothing was spent', () => {
    const interests = fc.array(fc.record({ saved: decimal(1, 9_000_000), sacrificed: money }), {
      minLength: 1,
      maxLength: 8,
    })
    fc.assert(
      fc.property(interests, money, (all, expenses) => {
        const balance = generalAverageBalance(exact, all, expenses)
        expect(exact.sum(balance).minus(expenses).abs().lt(TINY)).toBe(true)
        const noExpenses = exact.sum(generalAverageBalance(exact, all, zero))
        expect(noExpenses.abs().lt(TINY)).toBe(true)
      }),
    )
  })

  it('a carrier never owes less for more packages or more mass', () => {
    const limit = { perPackage: exact.of('666.67'), perKg: exact.of(2) }
    fc.assert(
      fc.property(decimal(0, 300, 0), decimal(0, 9000), decimal(0, 300, 0), (packages, kg, more) => {
        const owed = carrierLimit(exact, packages, kg, limit)
        expect(carrierLimit(exact, packages.plus(more), kg, limit).gte(owed)).toBe(true)
        expect(carrierLimit(exact, packages, kg.plus(more), limit).gte(owed)).toBe(true)
      }),
    )
  })
})

describe('volume and stowage', () => {
  const size = fc.record({
    outerM3: decimal(0.03, 0.2, 3),
    fill: decimal(0.5, 1),
    contentLimitKg: decimal(10, 55),
  })

  it('cartons hold the volume and the mass, and one fewer would not', () => {
    fc.assert(
      fc.property(decimal(0, 20, 3), decimal(0, 3000), size, (m3, kg, carton) => {
        const count = cartonCount(exact, m3, kg, carton)
        const holds = (n: typeof count): boolean =>
          n.times(carton.outerM3).times(carton.fill).gte(m3) && n.times(carton.contentLimitKg).gte(kg)
        expect(count.isInteger() && holds(count)).toBe(true)
        expect(count.isZero() || !holds(count.minus(1))).toBe(true)
      }),
    )
  })

  it('containers never get fewer as goods grow, nor more as the containers do', () => {
    fc.assert(
      fc.property(
        decimal(0, 300),
        decimal(0, 70),
        decimal(10, 80),
        decimal(0, 60_000),
        decimal(0, 200),
        (m3, first, next, kg, more) => {
          const need = (v = m3, f = first, n = next, mass = kg) =>
            containersNeeded(exact, v, f, n, mass, exact.of(19_958))
          expect(need().gte(1) && need().isInteger()).toBe(true)
          expect(need(m3.plus(more)).gte(need())).toBe(true)
          expect(need(m3, first, next, kg.plus(more)).gte(need())).toBe(true)
          expect(need(m3, first.plus(more)).lte(need())).toBe(true)
          expect(need(m3, first, next.plus(more)).lte(need())).toBe(true)
        },
      ),
    )
  })

  it('a car never makes more room: a deck above it stays below what the floor had', () => {
    const inside = { lengthMm: exact.of(12_032), widthMm: exact.of(2352), heightMm: exact.of(2698) }
    fc.assert(
      fc.property(
        decimal(3500, 6000, 0),
        decimal(1400, 2000, 0),
        share,
        share,
        (lengthMm, heightMm, usable, deck) => {
          const clearances = { endClearanceMm: exact.of(150), topClearanceMm: exact.of(50) }
          const car = { lengthMm, heightMm, ...clearances, deckShare: exact.min(deck, usable) }
          const without = usableM3(exact, inside, usable, [])
          const withCar = usableM3(exact, inside, usable, [car])
          expect(withCar.gte(0) && withCar.lte(without)).toBe(true)
        },
      ),
    )
  })

  it('packing never makes goods smaller', () => {
    fc.assert(
      fc.property(decimal(0, 90), decimal(1, 1.4), decimal(1, 1.4), (net, wrap, gross) => {
        const packed = packedM3(net, wrap)
        expect(packed.gte(net) && packedM3(packed, gross).gte(packed)).toBe(true)
      }),
    )
  })

  const load = fc
    .tuple(decimal(1, 9000), decimal(0, 11), decimal(0.1, 1))
    .map(([massKg, fromM, length]) => ({ massKg, fromM, toM: fromM.plus(length) }))
  const lengthM = exact.of(12)

  it('balance: what was in front is behind when a stow is turned end for end', () => {
    fc.assert(
      fc.property(fc.array(load, { minLength: 1, maxLength: 6 }), (loads) => {
        const turned = loads.map(({ massKg, fromM, toM }) => ({
          massKg,
          fromM: lengthM.minus(toM),
          toM: lengthM.minus(fromM),
        }))
        const front = frontHalfShare(exact, loads, lengthM).plus(frontHalfShare(exact, turned, lengthM))
        expect(front.minus(1).abs().lt(TINY)).toBe(true)
      }),
    )
  })

  it('securing: more friction never asks for more force, and lashing never for less than blocking', () => {
    const g = exact.of('9.81')
    fc.assert(
      fc.property(
        decimal(1, 3000),
        share,
        share,
        share,
        share,
        (massKg, friction, more, horizontal, vertical) => {
          const pull = { horizontal, vertical }
          const force = blockingForceN(exact, { massKg, friction }, pull, g)
          expect(force.gte(0)).toBe(true)
          expect(blockingForceN(exact, { massKg, friction: friction.plus(more) }, pull, g).lte(force)).toBe(
            true,
          )
          expect(lashingForceN(exact, { massKg, friction }, pull, g, exact.of('0.75')).gte(force)).toBe(true)
        },
      ),
    )
  })

  it('a container number with one wrong digit never leaves the same remainder: ISO 6346', () => {
    const serial = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 6, maxLength: 6 })
    fc.assert(
      fc.property(
        serial,
        fc.integer({ min: 0, max: 5 }),
        fc.integer({ min: 1, max: 9 }),
        (digits, at, by) => {
          const wrong = digits.map((digit, i) => (i === at ? (digit + by) % 10 : digit))
          const rest = (ds: readonly number[]): number => checkSum(`ZZZU${ds.join('')}`) % 11
          expect(rest(wrong)).not.toBe(rest(digits))
        },
      ),
    )
  })
})

describe('cost', () => {
  it('a container costs less for each cubic metre the fuller it is', () => {
    fc.assert(
      fc.property(money, decimal(1, 80), decimal(0, 80), (price, m3, more) => {
        expect(costPerM3(price, m3.plus(more)).lte(costPerM3(price, m3))).toBe(true)
      }),
    )
  })

  it('more volume never costs less labour', () => {
    fc.assert(
      fc.property(
        decimal(0, 90),
        decimal(0, 90),
        decimal(1, 10),
        decimal(1, 3),
        decimal(0, 4),
        (m3, more, perHour, slower, least) => {
          const bill = (v: typeof m3) =>
            crewBill(exact, crewHours(v, perHour, slower), least, exact.of(3), exact.of(40))
          expect(bill(m3.plus(more)).gte(bill(m3))).toBe(true)
        },
      ),
    )
  })

  it('never charges a shared load for less than its volume, its mass or the least', () => {
    fc.assert(
      fc.property(
        decimal(0, 60),
        decimal(0, 20_000),
        decimal(300, 1000, 0),
        decimal(0, 5),
        (m3, kg, per, least) => {
          const units = chargeableUnits(exact, m3, kg, per, least)
          expect(units.gte(m3) && units.times(per).plus(TINY).gte(kg) && units.gte(least)).toBe(true)
        },
      ),
    )
  })

  it('charges air freight in whole steps, never below the gross mass', () => {
    const step = exact.of('0.5')
    fc.assert(
      fc.property(decimal(0, 5, 3), decimal(0, 900, 1), (m3, kg) => {
        const charged = chargeableWeightKg(exact, m3, kg, exact.of('0.006'), step)
        expect(charged.gte(kg) && charged.mod(step).isZero()).toBe(true)
      }),
    )
  })
})

import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import type { Piecewise } from './piecewise.js'

/** Part of a cost curve that is a straight line: above `aboveM3`, up to and with `upToM3`. */
export interface CostStretch {
  readonly aboveM3: Decimal
  readonly upToM3: Decimal
  /** Where the line would meet a volume of zero. */
  readonly fixed: Decimal
  readonly perM3: Decimal
}

/** What one way to carry goods costs, by packed volume: straight lines, with a jump where another box begins. */
export interface CostCurve {
  readonly id: string
  readonly stretches: readonly CostStretch[]
}

/** A volume at which the cheapest way changes: `from` up to and with it, `to` above it. */
export interface Switch {
  readonly m3: Decimal
  readonly from: string
  readonly to: string
  /** What carriage costs there, by the way that is left. */
  readonly cost: Decimal
}

/** The straight lines of a cost that was worked out as a function of volume. Throws where it is no straight line. */
export function costCurve(id: string, cost: Piecewise): CostCurve {
  let aboveM3: Decimal = new Exact(0)
  const stretches = cost.stretches.map(({ upTo, powers }) => {
    if ([...powers.keys()].some((power) => power !== 0 && power !== 1)) {
      throw new Error(`the cost of "${id}" is not a straight line in the volume`)
    }
    const stretch = {
      aboveM3,
      upToM3: upTo,
      fixed: powers.get(0) ?? new Exact(0),
      perM3: powers.get(1) ?? new Exact(0),
    }
    aboveM3 = upTo
    return stretch
  })
  return { id, stretches }
}

/** What a way costs at a volume, not rounded. */
export function costAt(curve: CostCurve, m3: Decimal): Decimal {
  const stretch = curve.stretches.find(({ upToM3 }) => m3.lte(upToM3)) ?? curve.stretches.at(-1)
  return stretch ? stretch.fixed.plus(stretch.perM3.times(m3)) : new Exact(Number.NaN)
}

/**
 * The exact volumes, m³, at which the cheapest way to carry goods changes, in rising order. Of two equally cheap ways
 * the one named first counts.
 *
 * @param curves one for each way, all over the same volumes
 *
 * Example: a share at 140 for each gross m³ and a gross factor of 1.2, against boxes at 3 200 that take 28.22 m³:
 * the share up to 19.048 m³, the box up to 28.22, the share again up to 38.095, then two boxes.
 */
export function switches(curves: readonly CostCurve[]): Switch[] {
  const ends = curves.flatMap((curve) => curve.stretches.map(({ upToM3 }) => upToM3))
  const places = distinct([...ends, ...meetings(curves)])
  const best: { readonly upTo: Decimal; readonly curve: CostCurve }[] = []
  let from: Decimal = new Exact(0)
  for (const upTo of places) {
    const at = from.plus(upTo).div(2)
    const [first, ...rest] = curves
    if (!first) return []
    const curve = rest.reduce((a, b) => (costAt(b, at).lt(costAt(a, at)) ? b : a), first)
    const last = best.at(-1)
    if (last?.curve === curve) best[best.length - 1] = { upTo, curve }
    else best.push({ upTo, curve })
    from = upTo
  }
  return best.slice(1).map(({ curve }, i) => {
    const before = best[i] as (typeof best)[number]
    return { m3: before.upTo, from: before.curve.id, to: curve.id, cost: costAt(before.curve, before.upTo) }
  })
}

/** Volumes at which the lines of two curves meet. */
function meetings(curves: readonly CostCurve[]): Decimal[] {
  return curves.flatMap((a, i) =>
    curves.slice(i + 1).flatMap((b) =>
      a.stretches.flatMap((p) =>
        b.stretches.flatMap((q) => {
          const slope = p.perM3.minus(q.perM3)
          if (slope.isZero()) return []
          const m3 = q.fixed.minus(p.fixed).div(slope)
          const inside = [p, q].every((s) => m3.gt(s.aboveM3) && m3.lt(s.upToM3))
          return inside ? [m3] : []
        }),
      ),
    ),
  )
}

const distinct = (places: readonly Decimal[]): Decimal[] =>
  [...new Map(places.map((x) => [x.toString(), x])).values()].sort((a, b) => a.cmp(b))

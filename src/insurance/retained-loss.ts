import exp from '@stdlib/math-base-special-exp'
import ln from '@stdlib/math-base-special-ln'
import betaCdf from '@stdlib/stats-base-dists-beta-cdf'
import normalCdf from '@stdlib/stats-base-dists-normal-cdf'
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { claimPaid, type DeductibleOrder } from './claim.js'
import { contributionPaid } from './general-average.js'
import { answeredShare, type TransitLoss } from './transit-loss.js'

/**
 * What a household bears itself of a loss and of general average under a cover.
 *
 * @param answers 1 where the cover answers for the peril, else 0
 * @param average whether the deductible comes off after the cut for under-insurance
 * @returns money: loss and contribution less what is paid for both
 */
export function retained<N extends Num<N>>(
  m: Arithmetic<N>,
  amounts: { readonly loss: N; readonly contribution: N; readonly sumInsured: N; readonly valueAtRisk: N },
  cover: { readonly answers: N; readonly paysGeneralAverage: boolean; readonly deductible: N },
  average: DeductibleOrder,
): N {
  const { loss, contribution, sumInsured, valueAtRisk } = amounts
  const paid = claimPaid(m, { loss, sumInsured, valueAtRisk }, cover.deductible, average).times(cover.answers)
  const repaid = cover.paysGeneralAverage
    ? contributionPaid(m, contribution, sumInsured, valueAtRisk)
    : m.of(0)
  return loss.plus(contribution).minus(paid).minus(repaid)
}

/** A cover as the losses meet it. Money in one currency. */
export interface CoverTerms {
  /** Its place in `TransitLoss.covers`; -1 where nothing is bought. */
  readonly place: number
  readonly deductible: number
  readonly sumInsured: number
  readonly valueAtRisk: number
  readonly average: DeductibleOrder
}

/** A chance between two guaranteed bounds. */
export interface ChanceBounds {
  readonly low: number
  readonly high: number
}

/** What a cover leaves to the household, as a distribution. Money. */
export interface RetainedLoss {
  /** Mean over all moves, in closed form. */
  readonly expected: number
  /** The most that a loss of everything leaves, and a share of general average at its high end. */
  readonly worstTotalLoss: number
  readonly worstGeneralAverage: number
  /**
   * The chance that more than an amount is left.
   *
   * Damage and total loss are a mixture in closed form. General average comes on top, independent: its share is put
   * on a lattice of `cells` steps between low and high, once at the lower and once at the upper end of each step, so
   * that the bounds hold. They lie apart by at most the chance of general average times the likeliest step, less
   * than 2.1 × chance ÷ cells for PERT.
   */
  chanceOver(amount: number, cells?: number): ChanceBounds
  /** The amount that is exceeded with this chance only, to a cent (inverse of the middle of the bounds). */
  exceededWith(chance: number): number
}

const z99 = normalQuantile(0.99, 0, 1)
const usualCells = 512
/** Far more than sums of a few hundred doubles below 1 are off by. */
const margin = 1e-12

/**
 * The exact distribution of what one cover leaves. A loss L that the cover answers for leaves min(L, (1 − k) × L + c),
 * where k is the insured share and c the deductible (k × deductible where it comes off before average): `claimPaid`
 * less the loss, in one line.
 */
export function retainedLoss(loss: TransitLoss, terms: CoverTerms): RetainedLoss {
  const { damage, totalLoss, generalAverage } = loss
  const { valueAtRisk: value, place, deductible } = terms
  const insured = value > 0 ? Math.min(1, terms.sumInsured / value) : 0
  const kept = 1 - insured
  const constant = terms.average === 'after average' ? deductible : insured * deductible
  const answered = {
    damage: answeredShare(damage.perils, place),
    totalLoss: answeredShare(totalLoss.perils, place),
  }
  const left = (amount: number): number => Math.min(amount, kept * amount + constant)
  /** The chance that damage exceeds a share of the value. */
  const severity = lognormal(damage.median, damage.oneInHundred)
  /** The greatest answered loss that leaves no more than this. */
  const greatestLoss = (amount: number): number =>
    Math.max(
      amount,
      constant <= amount ? (kept > 0 ? (amount - constant) / kept : Number.POSITIVE_INFINITY) : 0,
    )
  const lossOver = (amount: number): number => {
    if (amount < 0) return 1
    if (value <= 0) return 0
    const damageOver =
      answered.damage * severity.over(greatestLoss(amount) / value) +
      (1 - answered.damage) * severity.over(amount / value)
    const totalOver =
      (left(value) > amount ? answered.totalLoss : 0) + (value > amount ? 1 - answered.totalLoss : 0)
    return damage.chance * damageOver + totalLoss.chance * totalOver
  }
  const owed = value * (generalAverage.answers[place] === true ? kept : 1)
  const meanContribution = (generalAverage.low + 4 * generalAverage.likely + generalAverage.high) / 6
  const bend = insured > 0 ? Math.min(1, constant / insured / value) : 1
  const meanAnswered =
    value > 0
      ? value * severity.meanBelow(bend) +
        kept * value * (severity.mean - severity.meanBelow(bend)) +
        constant * severity.over(bend)
      : 0
  const chanceOver = (amount: number, cells = usualCells): ChanceBounds => {
    const without = (1 - generalAverage.chance) * lossOver(amount)
    const steps = pertSteps(generalAverage, cells)
    const width = (generalAverage.high - generalAverage.low) / cells
    let [low, high] = [without, without]
    for (const [k, weight] of steps.entries()) {
      const from = generalAverage.low + k * width
      low += generalAverage.chance * weight * lossOver(amount - owed * from)
      high += generalAverage.chance * weight * lossOver(amount - owed * (from + width))
    }
    return { low, high: Math.min(1, high) }
  }
  return {
    chanceOver,
    exceededWith(chance) {
      const over = (amount: number): boolean => {
        const { low, high } = chanceOver(amount)
        return (low + high) / 2 > chance
      }
      let [below, above] = [0, value * (1 + generalAverage.high)]
      if (!over(0)) return 0
      // What is over on a coarse lattice is over on a fine one: far from the amount sixteen steps tell.
      const coarse = (amount: number): boolean | undefined => {
        const { low, high } = chanceOver(amount, 16)
        return low > chance + margin ? true : high < chance - margin ? false : undefined
      }
      while (above - below > 0.005) {
        const middle = (below + above) / 2
        if (coarse(middle) ?? over(middle)) below = middle
        else above = middle
      }
      return Math.round(above * 100) / 100
    },
    expected:
      damage.chance * (answered.damage * meanAnswered + (1 - answered.damage) * value * severity.mean) +
      totalLoss.chance * (answered.totalLoss * left(value) + (1 - answered.totalLoss) * value) +
      generalAverage.chance * owed * meanContribution,
    worstTotalLoss: totalLoss.chance === 0 ? 0 : answered.totalLoss < 1 - 1e-12 ? value : left(value),
    worstGeneralAverage: generalAverage.chance === 0 ? 0 : owed * generalAverage.high,
  }
}

/** Shares lost when something is damaged: lognormal by its median and 99th per cent, whatever exceeds 1 being 1. */
function lognormal(median: number, oneInHundred: number) {
  if (median <= 0) return { over: () => 0, mean: 0, meanBelow: () => 0 }
  const middle = ln(median)
  const spread = (ln(oneInHundred) - middle) / z99
  if (spread === 0) {
    const share = Math.min(1, median)
    return {
      over: (x: number) => (share > x ? 1 : 0),
      mean: share,
      meanBelow: (x: number) => (share <= x ? share : 0),
    }
  }
  const over = (x: number): number => (x >= 1 ? 0 : x <= 0 ? 1 : normalCdf((middle - ln(x)) / spread, 0, 1))
  /** Mean of the part below x: the partial expectation of the lognormal distribution. */
  const meanBelow = (x: number): number =>
    x <= 0
      ? 0
      : exp(middle + (spread * spread) / 2) * normalCdf((ln(Math.min(1, x)) - middle) / spread - spread, 0, 1)
  const beyond = normalCdf(middle / spread, 0, 1)
  const mean = meanBelow(1) + beyond
  return { over, mean, meanBelow: (x: number) => (x >= 1 ? mean : meanBelow(x)) }
}

const knownSteps = new Map<string, readonly number[]>()

/** The chance of each of so many even steps from low to high, spread as PERT; all in the first where there is no range. */
function pertSteps(
  { low, likely, high }: { readonly low: number; readonly likely: number; readonly high: number },
  cells: number,
): readonly number[] {
  if (!(high > low)) return [1]
  const mode = (likely - low) / (high - low)
  // Asked for thousands of times while an amount is searched for.
  const key = `${mode} ${cells}`
  const known = knownSteps.get(key)
  if (known) return known
  const below = Array.from({ length: cells + 1 }, (_, k) => betaCdf(k / cells, 1 + 4 * mode, 5 - 4 * mode))
  const steps = below.slice(1).map((p, k) => p - (below[k] ?? 0))
  knownSteps.set(key, steps)
  return steps
}

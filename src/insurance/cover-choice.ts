import type { DeductibleOrder } from './claim.js'
import { type ChanceBounds, type RetainedLoss, retainedLoss } from './retained-loss.js'
import type { TransitLoss } from './transit-loss.js'

/** What a cover costs. Money of the household. */
export interface CoverOffer {
  readonly cover: string
  readonly premium: number
  /** What the services that the cover asks for cost more than the plan pays now. */
  readonly forcedServices: number
  readonly deductible: number
}

/** What the household can bear, and how it weighs what it bears. */
export interface LossTolerance {
  /** The loss it could bear without regret, money. */
  readonly amount: number
  /** The chance of bearing more than that which it accepts, 0.001 for one move in a thousand. */
  readonly chance: number
  /** The loss that would ruin it; without it no single event is looked at. */
  readonly ruin?: number
  /** What a euro of loss to be expected counts in the comparison: over 1, because nobody likes bearing it. */
  readonly loading: number
}

/** A cover, what it comes to and what is left to the household. Money of the household. */
export interface CoverOutcome {
  readonly cover: string
  readonly premium: number
  readonly forcedServices: number
  /** Premium and services the cover forces. */
  readonly certain: number
  readonly expectedRetained: number
  /** Certain plus expected retained loss times the loading: what covers are compared by. */
  readonly cost: number
  /** Chance of bearing more than the household says it could, and guaranteed bounds of it. */
  readonly chanceOverTolerance: number
  readonly chanceBounds: ChanceBounds
  /** The retained loss that is exceeded only with the chance the household accepts. */
  readonly rarelyMore: number
  readonly worstTotalLoss: number
  readonly worstGeneralAverage: number
  readonly withinChance: boolean
  readonly withinRuin: boolean
  /** Both. */
  readonly bearable: boolean
}

/** The goods at risk and how claims on them are settled. */
export interface GoodsAtRisk {
  readonly valueAtRisk: number
  readonly sumInsured: number
  readonly average: DeductibleOrder
}

export const NO_COVER = 'none'

const NOTHING_BOUGHT: CoverOffer = { cover: NO_COVER, premium: 0, forcedServices: 0, deductible: 0 }

/** Lattices of the general average share, finer and finer, until the chance is on one side of what is accepted. */
const lattices = [512, 4096, 32_768]

/** What a cover leaves to the household, whatever it costs. Money of the household. */
export type CoverRisk = Pick<
  CoverOutcome,
  | 'expectedRetained'
  | 'chanceOverTolerance'
  | 'chanceBounds'
  | 'rarelyMore'
  | 'worstTotalLoss'
  | 'worstGeneralAverage'
>

const known = new Map<string, readonly CoverRisk[]>()
const mostKnown = 1000

/**
 * What each cover leaves to the household: the part of the cover decision that no price enters, and the slow one.
 *
 * @param offers one for each cover that can be bought; going without is always looked at as well, first
 */
export function coverRisks(
  loss: TransitLoss,
  goods: GoodsAtRisk,
  offers: readonly Pick<CoverOffer, 'cover' | 'deductible'>[],
  tolerance: LossTolerance,
): readonly CoverRisk[] {
  const bought = offers.map(({ cover, deductible }) => ({ cover, deductible }))
  // The same household is asked about again and again, in what-ifs and studies that move prices alone.
  const key = JSON.stringify([loss, goods, bought, tolerance.amount, tolerance.chance])
  const before = known.get(key)
  if (before) return before
  const risks = [NOTHING_BOUGHT, ...bought].map(({ cover, deductible }) => {
    const place = loss.covers.indexOf(cover)
    const left = retainedLoss(loss, { ...goods, place, deductible })
    const bounds = chanceOf(left, tolerance)
    return {
      expectedRetained: left.expected,
      chanceOverTolerance: (bounds.low + bounds.high) / 2,
      chanceBounds: bounds,
      rarelyMore: left.exceededWith(tolerance.chance),
      worstTotalLoss: left.worstTotalLoss,
      worstGeneralAverage: left.worstGeneralAverage,
    }
  })
  if (known.size >= mostKnown) known.clear()
  known.set(key, risks)
  return risks
}

/**
 * The cover decision, exact: no draws. A cover is bearable if the chance that more than the household's tolerance
 * stays with it is at most the chance it accepts, and no loss of everything and no share of general average leaves
 * more than would ruin it. Among those the least premium + forced services + expected retained loss × loading.
 *
 * @param offers one for each cover that can be bought; going without is always looked at as well
 * @returns bearable ones first, each group by rising cost; where none is bearable, the least bad case first
 */
export function coverOutcomes(
  loss: TransitLoss,
  goods: GoodsAtRisk,
  offers: readonly CoverOffer[],
  tolerance: LossTolerance,
): CoverOutcome[] {
  return outcomesOf(coverRisks(loss, goods, offers, tolerance), offers, tolerance)
}

/**
 * The cover decision, once it is known what each cover leaves.
 *
 * @param risks as `coverRisks` gives them for the same offers and the same tolerance
 */
export function outcomesOf(
  risks: readonly CoverRisk[],
  offers: readonly CoverOffer[],
  tolerance: LossTolerance,
): CoverOutcome[] {
  const outcomes = [NOTHING_BOUGHT, ...offers].flatMap((offer, k): CoverOutcome[] => {
    const risk = risks[k]
    if (!risk) return []
    const certain = offer.premium + offer.forcedServices
    const withinChance = risk.chanceBounds.high <= tolerance.chance
    const withinRuin =
      tolerance.ruin === undefined ||
      (risk.worstTotalLoss <= tolerance.ruin && risk.worstGeneralAverage <= tolerance.ruin)
    return [
      {
        cover: offer.cover,
        premium: offer.premium,
        forcedServices: offer.forcedServices,
        certain,
        ...risk,
        cost: certain + tolerance.loading * risk.expectedRetained,
        withinChance,
        withinRuin,
        bearable: withinChance && withinRuin,
      },
    ]
  })
  const some = outcomes.some((o) => o.bearable)
  /** The bad case that a cover leaves, by the two measures of the tolerance. */
  const badCase = (o: CoverOutcome): number =>
    tolerance.ruin === undefined
      ? o.rarelyMore
      : Math.max(o.rarelyMore, o.worstTotalLoss, o.worstGeneralAverage)
  return outcomes.toSorted(
    (a, b) =>
      Number(b.bearable) - Number(a.bearable) || (some ? 0 : badCase(a) - badCase(b)) || a.cost - b.cost,
  )
}

function chanceOf(left: RetainedLoss, { amount, chance }: LossTolerance): ChanceBounds {
  let bounds: ChanceBounds = { low: 0, high: 1 }
  for (const cells of lattices) {
    bounds = left.chanceOver(amount, cells)
    if (bounds.high <= chance || bounds.low > chance) break
  }
  return bounds
}

/** One step of safety: from one cover to the next safer that is worth looking at. */
export interface SafetyStep {
  readonly cover: string
  /** Chance of bearing more than the household could. */
  readonly chance: number
  readonly cost: number
  /** What the step to it costs more than the one before; 0 for the first. */
  readonly price: number
}

/**
 * The price of each further step of safety: the covers by rising cost, those left out that cost more than another
 * one which is at least as safe.
 */
export function safetySteps(outcomes: readonly CoverOutcome[]): SafetyStep[] {
  const rising = outcomes.toSorted((a, b) => a.cost - b.cost || a.chanceOverTolerance - b.chanceOverTolerance)
  const steps: SafetyStep[] = []
  for (const { cover, cost, chanceOverTolerance: chance } of rising) {
    const before = steps.at(-1)
    if (before && chance >= before.chance) continue
    steps.push({ cover, chance, cost, price: before ? cost - before.cost : 0 })
  }
  return steps
}

import type { Decimal } from 'decimal.js'

/** A peril, how often it is the cause, and which covers answer for it (by their place in the list of covers). */
export interface PerilShare {
  readonly peril: string
  readonly share: number
  readonly answers: readonly boolean[]
}

/** What can happen to the goods on the way, as plain data. Shares are of the value at risk, chances of one move. */
export interface TransitLoss {
  /** Covers by id; `answers` of each peril are in this order. */
  readonly covers: readonly string[]
  readonly damage: {
    readonly chance: number
    /** Share lost: half of the claims are below the median, one in a hundred is above the other (lognormal, cut at 1). */
    readonly median: number
    readonly oneInHundred: number
    readonly perils: readonly PerilShare[]
  }
  readonly totalLoss: { readonly chance: number; readonly perils: readonly PerilShare[] }
  readonly generalAverage: {
    readonly chance: number
    /** Share of the value owed, spread as PERT. */
    readonly low: number
    readonly likely: number
    readonly high: number
    readonly answers: readonly boolean[]
  }
}

/** The peril whose row says who pays the share of general average. */
const CONTRIBUTION = 'general-average-contribution'

/**
 * Does a cover answer for a peril, by the word of the table of perils?
 *
 * `if all lost`, `if named` and `whole container only` hold for a total loss; `check` and `buy back` count as no,
 * because nobody has bought or checked it yet. An unknown word throws one sentence.
 */
export function answersFor(word: string, totalLoss: boolean): boolean {
  switch (word) {
    case 'yes':
    case 'if fortuitous':
      return true
    case 'no':
    case 'check':
    case 'buy back':
      return false
    case 'if all lost':
    case 'if named':
    case 'whole container only':
      return totalLoss
    default:
      throw new Error(
        `perils.csv: found "${word}", expected yes, no, check, buy back, if fortuitous, if named, if all lost or whole container only`,
      )
  }
}

/**
 * Frequency and severity of transit losses from the figures `insurance.*` and `risk.*`, by peril as
 * perils.csv has it. A planning model: the certificate decides what is paid, and it is to be read before anything
 * is decided on these figures.
 *
 * @param covers ids in the order of covers.csv
 * @param figures the plan's inputs, so that a scenario or `--set` that changes one is followed
 */
export function transitLoss(
  covers: readonly string[],
  perils: readonly object[],
  figures: ReadonlyMap<string, { readonly low: Decimal; readonly likely: Decimal; readonly high: Decimal }>,
): TransitLoss {
  const figure = (id: string) => {
    const row = figures.get(id)
    if (!row) throw new Error(`the transit losses need the figure "${id}"; add its row to figures.csv`)
    return row
  }
  const likely = (id: string): number => figure(id).likely.toNumber()
  const word = (peril: string, cover: string): string => {
    const row = perils.find((p) => 'id' in p && p.id === peril)
    if (!row)
      throw new Error(`figures.csv gives peril "${peril}" a share, but perils.csv has no such row; add it`)
    return String(row[cover as keyof typeof row] ?? 'no')
  }
  const shares = (kind: 'partial' | 'total'): PerilShare[] => {
    const ids = [...figures.keys()].filter((id) => id.startsWith('risk.peril.') && id.endsWith(`.${kind}`))
    const sum = ids.reduce((total, id) => total + likely(id), 0)
    return ids.map((id) => {
      const peril = id.slice('risk.peril.'.length, -kind.length - 1)
      return {
        peril,
        share: sum > 0 ? likely(id) / sum : 0,
        answers: covers.map((cover) => answersFor(word(peril, cover), kind === 'total')),
      }
    })
  }
  const contribution = figure('general-average.security-share')
  const median = likely('insurance.loss-share-when-damaged')
  return {
    covers,
    damage: {
      chance: likely('insurance.claim-probability'),
      median,
      oneInHundred: Math.max(median, likely('risk.damage.one-in-hundred')),
      perils: shares('partial'),
    },
    totalLoss: { chance: likely('insurance.total-loss-probability'), perils: shares('total') },
    generalAverage: {
      chance: likely('risk.general-average-probability'),
      low: contribution.low.toNumber(),
      likely: contribution.likely.toNumber(),
      high: contribution.high.toNumber(),
      answers: covers.map((cover) => answersFor(word(CONTRIBUTION, cover), false)),
    },
  }
}

/** The share of the claims or total losses whose peril a cover answers for; a cover that is not listed answers for none. */
export const answeredShare = (perils: readonly PerilShare[], place: number): number =>
  perils.reduce((sum, peril) => sum + (peril.answers[place] === true ? peril.share : 0), 0)

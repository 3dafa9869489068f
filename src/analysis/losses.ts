import { claimPaid, contributionPaid } from '../insurance/index.js'
import type { Move } from '../plan/index.js'
import type { Arithmetic, Num, NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'
import { type Recorded, recorded } from '../quantity/recorded.js'
import { type Distribution, ofRange } from './distributions.js'
import type { Uncertain } from './draws.js'
import { cellOf, type RecordedScenario } from './recorded-scenarios.js'

/** A peril, how often it is the cause, and which covers answer for it (by their place in the table of covers). */
export interface PerilShare {
  readonly peril: string
  readonly share: number
  readonly answers: readonly boolean[]
}

/** What can happen to the goods on the way, as plain data: shares are of the value at risk. */
export interface LossPlan {
  /** Covers by id; `answers` of each peril are in this order. */
  readonly covers: readonly string[]
  readonly damageProbability: number
  readonly totalLossProbability: number
  readonly damage: readonly PerilShare[]
  readonly total: readonly PerilShare[]
  /** Which covers pay the share of general average that goods owe. */
  readonly generalAverageAnswers: readonly boolean[]
  readonly generalAverageProbability: number
  /** The figures to draw, in the order `lossColumns` reads them. */
  readonly uncertain: readonly Uncertain[]
}

export const lossShareId = 'loss.share'
export const generalAverageShareId = 'loss.general-average-share'
export const answersId = (cover: string): string => `answers.${cover}`

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
 */
export function lossPlan(move: Move): LossPlan {
  const covers = move.reference.covers.map((cover) => cover.id)
  const number = (id: string): NumberInput => {
    const row = move.inputs.numbers.get(id)
    if (!row) throw new Error(`the loss simulation needs the figure "${id}"; add its row to figures.csv`)
    return row
  }
  const likely = (id: string): number => number(id).likely.toNumber()
  const word = (peril: string, cover: string): string => {
    const row = move.reference.perils.find((p) => p.id === peril)
    if (!row)
      throw new Error(`figures.csv gives peril "${peril}" a share, but perils.csv has no such row; add it`)
    return String(row[cover as keyof typeof row] ?? 'no')
  }
  const shares = (kind: 'partial' | 'total'): PerilShare[] => {
    const ids = [...move.inputs.numbers.keys()].filter(
      (id) => id.startsWith('risk.peril.') && id.endsWith(`.${kind}`),
    )
    const sum = ids.reduce((total, id) => total + likely(id), 0)
    return ids.map((id) => {
      const peril = id.slice('risk.peril.'.length, -kind.length - 1)
      return {
        peril,
        share: likely(id) / sum,
        answers: covers.map((cover) => answersFor(word(peril, cover), kind === 'total')),
      }
    })
  }
  const severity = number('insurance.loss-share-when-damaged')
  const contribution = number('general-average.security-share')
  const any: Distribution = { kind: 'uniform', low: 0, high: 1 }
  return {
    covers,
    damageProbability: likely('insurance.claim-probability'),
    totalLossProbability: likely('insurance.total-loss-probability'),
    damage: shares('partial'),
    total: shares('total'),
    generalAverageAnswers: covers.map((cover) =>
      answersFor(word('general-average-contribution', cover), false),
    ),
    generalAverageProbability: likely('risk.general-average-probability'),
    uncertain: [
      { id: 'loss: does it happen', distribution: any },
      { id: 'loss: which peril', distribution: any },
      {
        // Claims have a long tail: the likely share is the median, and one claim in ten exceeds the high one.
        id: 'loss: share when damaged',
        distribution: {
          kind: 'lognormal',
          median: severity.likely.toNumber(),
          p90: severity.high.toNumber(),
          most: 1,
        },
      },
      { id: 'general average: is it declared', distribution: any },
      {
        id: 'general average: share',
        distribution: ofRange(
          contribution.low.toNumber(),
          contribution.likely.toNumber(),
          contribution.high.toNumber(),
        ),
      },
    ],
  }
}

/**
 * Turns the drawn figures of a loss plan into the columns its formulas read: the share lost, the share owed to
 * general average, and for each cover 1 where it answers for the peril that struck, else 0.
 */
export function lossColumns(
  plan: LossPlan,
  drawn: readonly Float64Array[],
  count: number,
): Map<string, Float64Array> {
  const [happens, which, severity, declared, contribution] = drawn as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  const share = new Float64Array(count)
  const generalAverage = new Float64Array(count)
  const answers = plan.covers.map(() => new Float64Array(count))
  for (let i = 0; i < count; i++) {
    const u = happens[i] as number
    const total = u < plan.totalLossProbability
    if (total || u < plan.totalLossProbability + plan.damageProbability) {
      share[i] = total ? 1 : (severity[i] as number)
      const peril = struck(total ? plan.total : plan.damage, which[i] as number)
      peril?.answers.forEach((answer, k) => {
        if (answer) (answers[k] as Float64Array)[i] = 1
      })
    }
    if ((declared[i] as number) < plan.generalAverageProbability)
      generalAverage[i] = contribution[i] as number
  }
  return new Map([
    [lossShareId, share],
    [generalAverageShareId, generalAverage],
    ...plan.covers.map((cover, k) => [answersId(cover), answers[k] as Float64Array] as const),
  ])
}

function struck(perils: readonly PerilShare[], probability: number): PerilShare | undefined {
  let below = 0
  for (const peril of perils) {
    below += peril.share
    if (probability < below) return peril
  }
  return perils.at(-1)
}

/** A figure of the loss simulation as an input of the plan: it is drawn, so that its range does not matter. */
const drawnInput = (id: string, label: string): Recorded =>
  recorded.input({
    id,
    label,
    unit: '1',
    low: new Exact(0),
    likely: new Exact(0),
    high: new Exact(1),
    source: 'drawn',
    confirmed: 'common practice',
  })

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
  average: 'after average' | 'before average',
): N {
  const { loss, contribution, sumInsured, valueAtRisk } = amounts
  const paid = claimPaid(m, { loss, sumInsured, valueAtRisk }, cover.deductible, average).times(cover.answers)
  const repaid = cover.paysGeneralAverage
    ? contributionPaid(m, contribution, sumInsured, valueAtRisk)
    : m.of(0)
  return loss.plus(contribution).minus(paid).minus(repaid)
}

/**
 * The cells that a simulation adds to a scenario: the loss, and for each cover and for none what the household
 * bears itself and what the cover comes to in all: premium, services it forces, retained loss.
 * `risk.total` is the whole move with what is retained under the cover chosen.
 */
export function riskCells(move: Move, plan: LossPlan, scenario: RecordedScenario): Map<string, Recorded> {
  const m = recorded
  const cell = (id: string): Recorded => cellOf(scenario, id)
  // A household without anything of value has nothing to lose, and no share of it either.
  const valueAtRisk = m.max(cell('value.replacement'), m.of('0.01'))
  const sumInsured = cell('value.insured')
  const loss = cell('value.replacement').times(drawnInput(lossShareId, 'Share of the value lost'))
  const contribution = cell('value.replacement').times(
    drawnInput(generalAverageShareId, 'Share owed to general average'),
  )
  const after = move.inputs.numbers.get('insurance.deductible-after-average')?.likely.isZero() !== true
  const cells = new Map<string, Recorded>([
    ['risk.loss', loss.plus(contribution)],
    ['risk.cover.none.retained', loss.plus(contribution)],
    ['risk.cover.none.cost', loss.plus(contribution)],
  ])
  plan.covers.forEach((cover, k) => {
    const own = retained(
      m,
      { loss, contribution, sumInsured, valueAtRisk },
      {
        answers: drawnInput(answersId(cover), `${cover} answers for the peril`),
        paysGeneralAverage: plan.generalAverageAnswers[k] ?? false,
        deductible: deductibleOf(scenario, cover),
      },
      after ? 'after average' : 'before average',
    )
    cells.set(`risk.cover.${cover}.retained`, own)
    cells.set(`risk.cover.${cover}.cost`, cell(`cover.${cover}.cost`).plus(own))
  })
  const chosen = scenario.sheet.choices.get('cover') ?? 'none'
  const own = cells.get(`risk.cover.${chosen}.retained`) ?? loss.plus(contribution)
  cells.set('risk.total', cell('cost.total').plus(own))
  return cells
}

/** The deductible in the household's currency, as the plan converted it. */
function deductibleOf(scenario: RecordedScenario, cover: string): Recorded {
  const amount = cellOf(scenario, `cover.${cover}.deductible`)
  const unit = scenario.sheet.cells.get(`cover.${cover}.deductible`)?.unit.slice(0, 3)
  const rate = scenario.sheet.cells.get(`exchange.${unit}`)
  return rate ? amount.times(rate.value) : amount
}

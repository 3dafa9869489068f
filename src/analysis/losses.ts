import normalQuantile from '@stdlib/stats-base-dists-normal-quantile'
import { NO_COVER, type PerilShare, retained, type TransitLoss } from '../insurance/index.js'
import { Exact } from '../quantity/exact.js'
import { type Recorded, recorded } from '../quantity/recorded.js'
import { type Distribution, ofRange, spreadOf } from './distributions.js'
import type { Uncertain } from './draws.js'
import { cellOf, type RecordedScenario } from './recorded-scenarios.js'

export const lossShareId = 'loss.share'
export const generalAverageShareId = 'loss.general-average-share'
export const answersId = (cover: string): string => `answers.${cover}`

const any: Distribution = { kind: 'uniform', low: 0, high: 1 }

/** What is drawn for the losses of a move, in the order `lossColumns` reads it: the same luck for every scenario. */
export const LOSS_DRAWS: readonly Uncertain[] = [
  'loss: does it happen',
  'loss: which peril',
  'loss: share when damaged',
  'general average: is it declared',
  'general average: share',
].map((id) => ({ id, distribution: any }))

const z90over99 = normalQuantile(0.9, 0, 1) / normalQuantile(0.99, 0, 1)

/** How the share lost spreads when something is damaged. */
export const damageShare = ({ median, oneInHundred }: TransitLoss['damage']): Distribution =>
  median > 0
    ? { kind: 'lognormal', median, p90: median * (oneInHundred / median) ** z90over99, most: 1 }
    : { kind: 'fixed', value: 0 }

/**
 * Turns the draws of a move's losses into the columns its formulas read: the share lost, the share owed to general
 * average, and for each cover 1 where it answers for the peril that struck, else 0.
 */
export function lossColumns(
  loss: TransitLoss,
): (drawn: readonly Float64Array[], count: number) => Map<string, Float64Array> {
  const damaged = spreadOf(damageShare(loss.damage))
  const { low, likely, high } = loss.generalAverage
  const owed = spreadOf(ofRange(low, likely, high))
  return (drawn, count) => {
    const [happens, which, severity, declared, contribution] = drawn as [
      Float64Array,
      Float64Array,
      Float64Array,
      Float64Array,
      Float64Array,
    ]
    const share = new Float64Array(count)
    const generalAverage = new Float64Array(count)
    const answers = loss.covers.map(() => new Float64Array(count))
    damaged(severity, count, share)
    owed(contribution, count, generalAverage)
    for (let i = 0; i < count; i++) {
      const u = happens[i] as number
      const total = u < loss.totalLoss.chance
      if (total || u < loss.totalLoss.chance + loss.damage.chance) {
        if (total) share[i] = 1
        const peril = struck(total ? loss.totalLoss.perils : loss.damage.perils, which[i] as number)
        peril?.answers.forEach((answer, k) => {
          if (answer) (answers[k] as Float64Array)[i] = 1
        })
      } else share[i] = 0
      if (!((declared[i] as number) < loss.generalAverage.chance)) generalAverage[i] = 0
    }
    return new Map([
      [lossShareId, share],
      [generalAverageShareId, generalAverage],
      ...loss.covers.map((cover, k) => [answersId(cover), answers[k] as Float64Array] as const),
    ])
  }
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
 * The cells that a simulation adds to a scenario: the loss, and for each cover and for none what the household
 * bears itself and what the cover comes to in all: premium, services it forces, retained loss.
 * `risk.total` is the whole move with what is retained under the cover chosen.
 *
 * @param columnOf what a drawn column is called in the program, where scenarios have losses of their own
 */
export function riskCells(
  loss: TransitLoss,
  scenario: RecordedScenario,
  columnOf: (id: string) => string = (id) => id,
): Map<string, Recorded> {
  const m = recorded
  const cell = (id: string): Recorded => cellOf(scenario, id)
  // A household without anything of value has nothing to lose, and no share of it either.
  const valueAtRisk = m.max(cell('value.replacement'), m.of('0.01'))
  const sumInsured = cell('value.insured')
  const lost = cell('value.replacement').times(drawnInput(columnOf(lossShareId), 'Share of the value lost'))
  const contribution = cell('value.replacement').times(
    drawnInput(columnOf(generalAverageShareId), 'Share owed to general average'),
  )
  const after =
    scenario.plan.inputs.numbers.get('insurance.deductible-after-average')?.likely.isZero() !== true
  const cells = new Map<string, Recorded>([
    ['risk.loss', lost.plus(contribution)],
    ['risk.cover.none.retained', lost.plus(contribution)],
    ['risk.cover.none.cost', lost.plus(contribution)],
  ])
  loss.covers.forEach((cover, k) => {
    const own = retained(
      m,
      { loss: lost, contribution, sumInsured, valueAtRisk },
      {
        answers: drawnInput(columnOf(answersId(cover)), `${cover} answers for the peril`),
        paysGeneralAverage: loss.generalAverage.answers[k] ?? false,
        deductible: deductibleOf(scenario, cover),
      },
      after ? 'after average' : 'before average',
    )
    cells.set(`risk.cover.${cover}.retained`, own)
    cells.set(`risk.cover.${cover}.cost`, cell(`cover.${cover}.cost`).plus(own))
  })
  const chosen = scenario.sheet.choices.get('cover') ?? 'none'
  const own = cells.get(`risk.cover.${chosen}.retained`) ?? lost.plus(contribution)
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

/** The cells of what each cover leaves and comes to, for a simulation that keeps their draws. */
export const coverCells = (covers: readonly string[]): string[] =>
  [NO_COVER, ...covers].flatMap((id) => [`risk.cover.${id}.retained`, `risk.cover.${id}.cost`])

import { compile, type Program, withoutIdleInputs } from '../bulk/index.js'
import type { TransitLoss } from '../insurance/index.js'
import { lossOf } from '../plan/cover-question.js'
import type { Move } from '../plan/index.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import { commonCorrelations, EXAMINATION, isExchange } from './correlations.js'
import { type Distribution, ofRange, type RangeShape } from './distributions.js'
import type { Correlation, DrawPlan, Uncertain } from './draws.js'
import { LOSS_DRAWS, lossColumns, riskCells } from './losses.js'
import { cellOf, outputId, type RecordedScenario, rangedInputs } from './recorded-scenarios.js'

/** Where a column of the program comes from: a drawn figure, or a stated number of days times the drawn tail. */
export type Source =
  | { readonly kind: 'figure'; readonly place: number }
  | {
      readonly kind: 'days'
      readonly days: number
      readonly place: number
      /** Days more where customs examines the goods: the drawn event, and how many. */
      readonly examined?: { readonly place: number; readonly days: number }
    }
  | { readonly kind: 'loss'; readonly model: number; readonly id: string }

/** Everything a simulation needs, as plain data: workers are handed it as it is. */
export interface SimulationPlan {
  readonly program: Program
  readonly draws: DrawPlan
  /** What can happen to the goods; several where scenarios have figures of their own. */
  readonly losses: readonly TransitLoss[]
  /** One for each input of the program, in its order. */
  readonly sources: readonly Source[]
  readonly scenarios: readonly string[]
  readonly cells: readonly string[]
}

/** What may be set about a simulation. */
export interface SimulationOptions {
  /** A whole number; the same one gives the same draws. */
  readonly start?: number
  /** How ranges spread unless `shapes` says otherwise. */
  readonly shape?: RangeShape
  /** How single inputs spread, by id. */
  readonly shapes?: ReadonlyMap<string, RangeShape>
  /** Correlations besides, or instead of, those of the labour rates of one country. */
  readonly correlations?: readonly Correlation[]
}

const tailId = 'delay: long tail'
const delayId = 'delay.days'

/**
 * Prepares a simulation of scenarios side by side. All see the same draws, so that their difference is theirs and
 * not chance's.
 *
 * Ranged inputs spread as PERT; figures with something in common are correlated (`commonCorrelations`). Exchange
 * rates spread around the dated one (`risk.exchange-spread`); an examination by customs happens or does not, and adds
 * its days to the release.
 * Days at the port that are stated as one number are the median of a long tail (figure `risk.port-delay.tail`), in
 * whole days. Losses come from the table of perils. Cells named `risk.*` are those of `riskCells`.
 *
 * @param cells cells to simulate, the first one ranks the scenarios; unknown ones throw
 */
export function simulationPlan(
  move: Move,
  scenarios: readonly RecordedScenario[],
  cells: readonly string[],
  options: SimulationOptions = {},
): SimulationPlan {
  const { losses, modelOf } = lossModels(move, scenarios)
  const outputs = new Map<string, Recorded>()
  for (const scenario of scenarios) {
    const model = modelOf(scenario)
    const risk = riskCells(losses[model] as TransitLoss, scenario, (id) => lossColumnId(model, id))
    for (const id of cells) outputs.set(outputId(scenario.name, id), risk.get(id) ?? cellOf(scenario, id))
  }
  const days = new Map<string, number>()
  const columnOf = (row: NumberInput): string | undefined => {
    if (row.source === 'drawn') return row.id
    if (row.id === delayId && row.low.eq(row.high)) {
      const id = `${delayId} of ${row.likely}`
      days.set(id, row.likely.toNumber())
      return id
    }
    return row === move.inputs.numbers.get(row.id) ? row.id : undefined
  }
  for (const scenario of scenarios) {
    const row = scenario.plan.inputs.numbers.get(delayId)
    if (row) columnOf(row)
  }
  const ranged = [
    ...rangedInputs(move, scenarios).filter(({ id }) => !isExchange({ id }) && id !== EXAMINATION),
    ...[...move.inputs.numbers.values()].filter((row) => isExchange(row) || row.id === EXAMINATION),
  ]
  const nothing = LOSS_DRAWS.map(() => new Float64Array(0))
  const lossSources = new Map(
    losses.flatMap((loss, model) =>
      [...lossColumns(loss)(nothing, 0).keys()].map((id): [string, Source] => [
        lossColumnId(model, id),
        { kind: 'loss', model, id },
      ]),
    ),
  )
  const lossIds = [...lossSources.keys()]
  const all = [...ranged.map((row) => row.id), ...days.keys(), ...lossIds]
  const program = withoutIdleInputs(compile(outputs, all, columnOf))
  const used = new Set(program.inputs)

  const figures = ranged
    .filter((row) => used.has(row.id))
    .map((row): Uncertain => {
      return { id: row.id, distribution: distributionOf(move, row, options) }
    })
  const tail = move.inputs.numbers.get('risk.port-delay.tail')?.likely.toNumber() ?? 1
  // Losses are drawn last and only where a cell asks for them.
  const uncertain: Uncertain[] = [
    ...figures,
    { id: tailId, distribution: { kind: 'lognormal', median: 1, p90: tail } },
    ...(lossIds.some((id) => used.has(id)) ? LOSS_DRAWS : []),
  ]
  const places = new Map(uncertain.map(({ id }, k) => [id, k]))
  const sources = program.inputs.map((id): Source => {
    const stated = days.get(id)
    if (stated !== undefined) {
      const event = places.get(EXAMINATION)
      // Where the inspection is the rule, its days are in the plan already.
      const rule = move.inputs.numbers.get(EXAMINATION)?.likely.gte(1) ?? false
      const longer = rule ? 0 : (move.inputs.numbers.get('time.inspection-days')?.likely.toNumber() ?? 0)
      return {
        kind: 'days',
        days: stated,
        place: places.get(tailId) ?? 0,
        ...(event === undefined || longer === 0 ? {} : { examined: { place: event, days: longer } }),
      }
    }
    return lossSources.get(id) ?? { kind: 'figure', place: places.get(id) ?? 0 }
  })
  const correlations = options.correlations ?? commonCorrelations(move, new Set(figures.map(({ id }) => id)))
  return {
    program,
    draws: { uncertain, correlations, start: options.start ?? 1 },
    losses,
    sources,
    scenarios: scenarios.map(({ name }) => name),
    cells,
  }
}

/**
 * The same simulation with some of its cells alone worked out. It draws the figures of all of them, so that what it
 * finds is to the last digit what the whole finds.
 */
export function onlyCells(plan: SimulationPlan, cells: readonly string[]): SimulationPlan {
  const kept = new Set(plan.scenarios.flatMap((name) => cells.map((cell) => outputId(name, cell))))
  const outputs = plan.program.outputs.filter(({ id }) => kept.has(id))
  return { ...plan, cells, program: { ...plan.program, outputs } }
}

/** What can happen to the goods in each scenario; scenarios with the same figures share one. */
function lossModels(move: Move, scenarios: readonly RecordedScenario[]) {
  const places = new Map<string, number>()
  const losses: TransitLoss[] = []
  const models = scenarios.map(({ plan }) => {
    const loss = lossOf(move.reference, plan.inputs)
    const key = JSON.stringify(loss)
    const known = places.get(key)
    if (known !== undefined) return known
    places.set(key, losses.length)
    return losses.push(loss) - 1
  })
  const modelOf = (scenario: RecordedScenario): number => models[scenarios.indexOf(scenario)] ?? 0
  return { losses, modelOf }
}

const lossColumnId = (model: number, id: string): string =>
  model === 0 ? id : `${id} of losses ${model + 1}`

/** How an input spreads: as asked for, or as its kind does. */
function distributionOf(move: Move, row: NumberInput, options: SimulationOptions): Distribution {
  const [low, likely, high] = [row.low.toNumber(), row.likely.toNumber(), row.high.toNumber()]
  const asked = options.shapes?.get(row.id) ?? options.shape
  if (asked === 'fixed') return { kind: 'fixed', value: likely }
  if (row.id === EXAMINATION) return { kind: 'chance', probability: Math.min(1, likely), value: 1 }
  if (isExchange(row) && low === high) {
    const spread = move.inputs.numbers.get('risk.exchange-spread')?.likely.toNumber() ?? 0
    return spread > 0
      ? { kind: 'lognormal', median: likely, p90: likely * (1 + spread) }
      : { kind: 'fixed', value: likely }
  }
  return ofRange(low, likely, high, asked ?? 'pert')
}

import { quantileSorted } from 'simple-statistics'
import { Columns, compile, type Program, withoutIdleInputs } from '../bulk/index.js'
import { NO_COVER, type TransitLoss } from '../insurance/index.js'
import { lossOf } from '../plan/cover-question.js'
import type { Move } from '../plan/index.js'
import { UnusableInput } from '../plan/refusal.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import { commonCorrelations, EXAMINATION, isExchange } from './correlations.js'
import { type Distribution, ofRange, type RangeShape } from './distributions.js'
import { batchSize, type Correlation, type DrawPlan, drawer, type Uncertain } from './draws.js'
import { LOSS_DRAWS, lossColumns, riskCells } from './losses.js'
import { cellOf, outputId, type RecordedScenario, rangedInputs } from './recorded-scenarios.js'

/** Where a column of the program comes from: a drawn figure, or a stated number of days times the drawn tail. */
type Source =
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

/** Draws worked out together by one worker. */
export interface Stretch {
  readonly from: number
  readonly until: number
}

/**
 * Works out draws `from` to `until`, which are cut from whole batches: whoever works out a batch, and in whatever
 * order, its draws and results are the same to the last bit.
 *
 * @returns a column for each output of the program
 */
export function simulateStretch(plan: SimulationPlan, { from, until }: Stretch): Map<string, Float64Array> {
  const work = worker(plan)
  const draw = drawer(plan.draws)
  const drawn = drawnColumns(plan)
  const results = plan.program.outputs.map(() => new Float64Array(until - from))
  for (let batch = Math.floor(from / batchSize); batch * batchSize < until; batch++) {
    const first = batch * batchSize
    const wanted = Math.min(batchSize, until - first)
    // A batch is drawn whole, so that its draws never change, and worked out as far as it is wanted.
    draw(batch, batchSize, drawn, wanted)
    work(drawn, wanted, (start, count, outputs) => {
      const [low, high] = [Math.max(from, first + start), Math.min(until, first + start + count)]
      if (low >= high) return
      outputs.forEach((column, k) => {
        results[k]?.set(column.subarray(low - first - start, high - first - start), low - from)
      })
    })
  }
  return new Map(plan.program.outputs.map(({ id }, k) => [id, results[k] as Float64Array]))
}

/** Room for one batch of each uncertain figure. */
export const drawnColumns = (plan: SimulationPlan): Float64Array[] =>
  plan.draws.uncertain.map(() => new Float64Array(batchSize))

type Taken = (start: number, count: number, outputs: readonly Float64Array[]) => void

/**
 * Prepares to work out results from drawn figures, up to one batch of them at a time.
 *
 * @returns a function of the drawn columns and how many of their draws are wanted, which hands over the results piece
 *   by piece
 */
export function worker(
  plan: SimulationPlan,
): (drawn: readonly Float64Array[], count: number, take: Taken) => void {
  const columns = new Columns(plan.program)
  const withLosses = plan.sources.some((source) => source.kind === 'loss')
  const lossesOf = plan.losses.map(lossColumns)
  return (drawn, wanted, take) => {
    const lossFigures = drawn.slice(-LOSS_DRAWS.length)
    const losses = withLosses ? lossesOf.map((of) => of(lossFigures, wanted)) : []
    columns.run(
      wanted,
      (start, count, inputs) => {
        plan.sources.forEach((source, k) => {
          const into = inputs[k] as Float64Array
          if (source.kind === 'days') daysInto(into, source, drawn, start, count)
          else {
            const column = source.kind === 'loss' ? losses[source.model]?.get(source.id) : drawn[source.place]
            into.set((column as Float64Array).subarray(start, start + count))
          }
        })
      },
      take,
    )
  }
}

/** Days of a delay: the stated ones times the tail, a day begun being a day, and those of an examination. */
function daysInto(
  into: Float64Array,
  { days, place, examined }: Extract<Source, { kind: 'days' }>,
  drawn: readonly Float64Array[],
  start: number,
  count: number,
): void {
  const tail = drawn[place] as Float64Array
  for (let i = 0; i < count; i++) into[i] = Math.ceil(days * (tail[start + i] as number))
  if (!examined) return
  const happens = drawn[examined.place] as Float64Array
  for (let i = 0; i < count; i++)
    if ((happens[start + i] as number) >= 1) into[i] = (into[i] as number) + examined.days
}

/** One result over all draws. Amounts in the unit of the cell. */
export interface Summary {
  readonly draws: number
  readonly mean: number
  /** What the mean may be off by chance, one standard error. */
  readonly standardError: number
  readonly deviation: number
  readonly p10: number
  readonly p50: number
  readonly p90: number
  /** Bounds that hold the true P90 nineteen times in twenty. */
  readonly p90Between: readonly [number, number]
  readonly least: number
  readonly most: number
  /** Mean of the dearest twentieth. */
  readonly worstTwentieth: number
}

/** Summary of a column of draws. Sorts a copy. */
export function summary(column: Float64Array): Summary {
  const sorted = column.slice().sort()
  const n = sorted.length
  // Summed from the least up, less the middle value: sums of millions of like amounts keep their last digits.
  const centre = sorted[n >> 1] ?? Number.NaN
  let sum = 0
  let squares = 0
  for (const x of sorted) {
    sum += x - centre
    squares += (x - centre) ** 2
  }
  const shift = sum / n
  const variance = n > 1 ? Math.max(0, (squares - n * shift * shift) / (n - 1)) : 0
  const spread = 1.96 * Math.sqrt(n * 0.9 * 0.1)
  const rank = (k: number): number => sorted[Math.min(n - 1, Math.max(0, Math.round(k)))] ?? Number.NaN
  return {
    draws: n,
    mean: centre + shift,
    standardError: Math.sqrt(variance / n),
    deviation: Math.sqrt(variance),
    p10: quantile(sorted, 0.1),
    p50: quantile(sorted, 0.5),
    p90: quantile(sorted, 0.9),
    p90Between: [rank(0.9 * n - spread), rank(0.9 * n + spread)],
    least: sorted[0] ?? Number.NaN,
    most: sorted[n - 1] ?? Number.NaN,
    worstTwentieth: shortfall(sorted, 0.05),
  }
}

/** The quantile of sorted draws, between two of them in proportion (type 7 of Hyndman and Fan 1996). */
export const quantile = (sorted: Float64Array, probability: number): number =>
  quantileSorted(sorted as unknown as number[], probability)

/** Expected shortfall of sorted costs: the mean of the dearest share, a draw that the cut splits counted in part. */
export function shortfall(sorted: Float64Array, share: number): number {
  const take = sorted.length * share
  const whole = Math.floor(take)
  let sum = 0
  for (let i = 1; i <= whole; i++) sum += sorted[sorted.length - i] ?? 0
  const rest = take - whole
  if (rest > 1e-9) sum += rest * (sorted[sorted.length - whole - 1] ?? 0)
  return sum / (whole + (rest > 1e-9 ? rest : 0))
}

/** Share of draws above an amount. */
export function chanceOver(column: Float64Array, budget: number): number {
  let over = 0
  for (const x of column) if (x > budget) over += 1
  return over / column.length
}

/** Share of draws in which the first is less than the second; draws that are level count half. */
export function chanceBeats(first: Float64Array, second: Float64Array): number {
  let wins = 0
  for (let i = 0; i < first.length; i++) {
    const gap = (first[i] as number) - (second[i] as number)
    wins += gap < 0 ? 1 : gap === 0 ? 0.5 : 0
  }
  return wins / first.length
}

/** How results settle as draws are added: the figures after the first draws, twice as many, and so on to all. */
export function convergence(column: Float64Array): Summary[] {
  const stops: number[] = []
  for (let n = column.length; n >= 100; n = Math.ceil(n / 2)) stops.push(n)
  return stops.reverse().map((n) => summary(column.subarray(0, n)))
}

/** Outcome of a simulation. */
export interface Simulation {
  readonly plan: SimulationPlan
  readonly draws: number
  /** Draws of each output, by `outputId`. */
  readonly columns: ReadonlyMap<string, Float64Array>
}

/** Values that a simulation keeps, at most: 240 MB. */
const mostKept = 30_000_000

/** Throws one sentence if so many draws of so many outputs would not fit into memory. */
export function checkRoom(plan: SimulationPlan, draws: number): void {
  const outputs = plan.program.outputs.length
  if (!Number.isSafeInteger(draws) || draws < 1)
    throw new Error(`${draws} draws: give a whole number, 1 or more`)
  if (draws * outputs > mostKept) {
    const most = Math.floor(mostKept / outputs)
    throw new UnusableInput(
      `${draws} draws of ${outputs} outputs do not fit; ask for ${most} draws or fewer, or for fewer cells`,
    )
  }
}

/** Runs a simulation on this thread. */
export function simulate(plan: SimulationPlan, draws: number): Simulation {
  checkRoom(plan, draws)
  return { plan, draws, columns: simulateStretch(plan, { from: 0, until: draws }) }
}

/** The draws of a cell in a scenario. */
export function drawsOf(simulation: Simulation, scenario: string, cell: string): Float64Array {
  const column = simulation.columns.get(outputId(scenario, cell))
  if (column) return column
  throw new Error(
    `"${outputId(scenario, cell)}" was not simulated; there are: ${[...simulation.columns.keys()].join(', ')}`,
  )
}

/** The cells of what each cover leaves and comes to, for a simulation that keeps their draws. */
export const coverCells = (covers: readonly string[]): string[] =>
  [NO_COVER, ...covers].flatMap((id) => [`risk.cover.${id}.retained`, `risk.cover.${id}.cost`])

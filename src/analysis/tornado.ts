import type { Decimal } from 'decimal.js'
import { Columns, compile, held } from '../bulk/index.js'
import type { Move } from '../plan/index.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'
import type { Recorded } from '../quantity/recorded.js'
import { type Crossing, crossings, signChanges } from './crossings.js'
import { cellOf, outputId, type RecordedScenario, rangedInputs } from './recorded-scenarios.js'

/** What one input does to one result when it goes from its low to its high and all others stay likely. */
export interface TornadoBar {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly low: Decimal
  readonly likely: Decimal
  readonly high: Decimal
  readonly atLow: number
  readonly atLikely: number
  readonly atHigh: number
  /** Greatest less least of the three: what the bars are sorted by. */
  readonly effect: number
}

/**
 * What matters most: each ranged input from low to high, the greatest effect on a result first.
 *
 * @param result the recorded result
 * @param rows the inputs with their ranges; those without effect come last, in the order given
 * @returns amounts as the plan would state them, to the cent
 */
export function tornado(
  result: Recorded,
  rows: readonly NumberInput[],
  columnOf: (row: NumberInput) => string | undefined = (row) => row.id,
): TornadoBar[] {
  const program = compile(
    new Map([['result', result]]),
    rows.map((row) => row.id),
    columnOf,
  )
  const found =
    new Columns(program).evaluate(oneAtATime(rows, ['low', 'high'])).get('result') ?? new Float64Array(1)
  const atLikely = found[0] ?? Number.NaN
  const bars = rows.map((row, k): TornadoBar => {
    const [atLow, atHigh] = [found[1 + 2 * k] ?? Number.NaN, found[2 + 2 * k] ?? Number.NaN]
    const { id, label, unit, low, likely, high } = row
    const effect = new Exact(Math.max(atLow, atLikely, atHigh))
      .minus(Math.min(atLow, atLikely, atHigh))
      .toNumber()
    return { id, label, unit, low, likely, high, atLow, atLikely, atHigh, effect }
  })
  return bars.toSorted((a, b) => b.effect - a.effect)
}

/** The tornado of a cell in one scenario, over the inputs that the scenario leaves as ranges. */
export function scenarioTornado(scenario: RecordedScenario, cell: string): TornadoBar[] {
  const rows = [...scenario.plan.inputs.numbers.values()].filter((row) => row.low.lt(row.high))
  return tornado(cellOf(scenario, cell), rows)
}

/** An input that can change which scenario is cheapest, second and so on. */
export interface RankingChange {
  readonly id: string
  readonly label: string
  readonly unit: string
  /** Scenario names by rising result at the input's low, likely and high. */
  readonly atLow: readonly string[]
  readonly atLikely: readonly string[]
  readonly atHigh: readonly string[]
  readonly overtakes: readonly (Crossing & { readonly first: string; readonly second: string })[]
}

/**
 * Which inputs, each alone within its range, can change the order of the scenarios by a cell, and at what value: looked
 * for as `crossings` does.
 */
export function rankingChanges(
  move: Move,
  scenarios: readonly RecordedScenario[],
  cell: string,
): RankingChange[] {
  const rows = rangedInputs(move, scenarios)
  const ids = rows.map((row) => row.id)
  const shared = (row: NumberInput): string | undefined =>
    row === move.inputs.numbers.get(row.id) ? row.id : undefined
  const duels = pairs(scenarios).map(([a, b], k) => ({ a, b, id: `gap ${k}` }))
  const gaps = duels.map(({ a, b, id }) => [id, cellOf(a, cell).minus(cellOf(b, cell))] as const)
  const results = scenarios.map((s) => [outputId(s.name, cell), cellOf(s, cell)] as const)
  const found = new Columns(compile(new Map(results), ids, shared)).evaluate(
    oneAtATime(rows, ['low', 'high']),
  )
  const ranking = (lane: number): string[] =>
    scenarios
      .map((s) => ({ name: s.name, value: found.get(outputId(s.name, cell))?.[lane] ?? Number.NaN }))
      .toSorted((a, b) => a.value - b.value)
      .map(({ name }) => name)
  const atLikely = ranking(0)
  const likely = new Map(rows.map((row) => [row.id, row.likely]))
  const gapsOf = held(compile(new Map(gaps), ids, shared), likely)
  return rows.flatMap((row, k) => {
    const changes = signChanges(gapsOf([row.id]), [row.low, row.high])
    const overtakes = duels.flatMap(({ a, b, id }) =>
      (changes.get(id) ?? []).map((change) => ({ ...change, first: a.name, second: b.name })),
    )
    if (overtakes.length === 0) return []
    const { id, label, unit } = row
    return [{ id, label, unit, atLow: ranking(1 + 2 * k), atLikely, atHigh: ranking(2 + 2 * k), overtakes }]
  })
}

/** A value of an input at which one scenario overtakes another, and the result both have there. */
export interface Overtaking extends Crossing {
  readonly first: string
  readonly second: string
  /** The first scenario's result at that value. */
  readonly result: Decimal
}

/**
 * Every value of an input within a range at which two scenarios change places by a cell, solved, by rising value.
 *
 * @param others further inputs that are held at other values than their likely ones
 */
export function overtakings(
  move: Move,
  scenarios: readonly RecordedScenario[],
  cell: string,
  id: string,
  range: readonly [Decimal.Value, Decimal.Value],
  others: ReadonlyMap<string, Decimal.Value> = new Map(),
): Overtaking[] {
  const shared = (row: NumberInput): string | undefined =>
    row === move.inputs.numbers.get(row.id) ? row.id : undefined
  const held = [...others].map(([name, value]) => [name, new Exact(value)] as const)
  const resultAt = (scenario: RecordedScenario, at: Decimal): Decimal => {
    const columns = new Columns(
      compile(new Map([['result', cellOf(scenario, cell)]]), [id, ...others.keys()], shared),
    )
    return columns.exactly.outputs(new Map([...held, [id, at]])).get('result') ?? new Exact(Number.NaN)
  }
  return pairs(scenarios)
    .flatMap(([a, b]) =>
      crossings(cellOf(a, cell), cellOf(b, cell), id, range, shared, 1, others).map((crossing) => ({
        ...crossing,
        first: a.name,
        second: b.name,
        result: resultAt(a, crossing.at),
      })),
    )
    .toSorted((a, b) => a.at.cmp(b.at))
}

/** Columns for one likely scenario, then two for each input in turn, the others likely. */
function oneAtATime(
  rows: readonly NumberInput[],
  ends: readonly ('low' | 'high')[],
): Map<string, Float64Array> {
  const count = 1 + ends.length * rows.length
  return new Map(
    rows.map((row, k) => {
      const column = new Float64Array(count).fill(row.likely.toNumber())
      ends.forEach((end, e) => {
        column[1 + ends.length * k + e] = row[end].toNumber()
      })
      return [row.id, column]
    }),
  )
}

const pairs = <T>(xs: readonly T[]): (readonly [T, T])[] =>
  xs.flatMap((a, i) => xs.slice(i + 1).map((b) => [a, b] as const))

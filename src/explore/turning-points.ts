import type { PageData, PageInput } from './page-data.js'
import type { Calculator, Moved } from './state.js'

/** A value of one input from which another scenario costs least, the other inputs as they stand. */
export interface TurningPoint {
  readonly input: PageInput
  readonly now: number
  /** To the width of a slider's step or less. */
  readonly at: number
  readonly side: 'below' | 'above'
  /** Position of the scenario that then costs least. */
  readonly scenario: number
  /** Way from now, as a share of the range looked at. */
  readonly way: number
}

const PIECES = 32
const COST = 'cost.total'

/**
 * Which inputs, each alone and inside its range, would make another scenario the cheapest, the nearest first.
 * The range is looked at in 32 pieces and the piece with the change in 32 more, so a change that is undone inside
 * one piece is passed over.
 */
export function turningPoints(calculator: Calculator, moved: Moved): TurningPoint[] {
  const { data } = calculator
  if (data.scenarios.length < 2) return []
  const spans = data.inputs.map((input) => spanOf(data, input, moved))
  const found: TurningPoint[] = []
  for (const { input, now, low, high } of spans) {
    // Input by input, not all in one go: the bounds of the machine are tight while one input varies alone.
    const costs = calculator.trials(
      moved,
      [now, ...range(PIECES + 1).map((k) => low + ((high - low) * k) / PIECES)].map(
        (value) => [input.id, value] as const,
      ),
      COST,
    )
    const first = cheapestAt(costs, 0)
    const point = (k: number): number => low + ((high - low) * k) / PIECES
    const best = (k: number): number => cheapestAt(costs, 1 + k)
    const up = range(PIECES + 1).find((k) => point(k) > now && best(k) !== first)
    const down = range(PIECES + 1).findLast((k) => point(k) < now && best(k) !== first)
    for (const [k, side] of [
      [up, 'above'],
      [down, 'below'],
    ] as const) {
      if (k === undefined) continue
      const from = side === 'above' ? Math.max(now, point(k - 1)) : Math.min(now, point(k + 1))
      const at = refined(calculator, moved, input, from, point(k), first)
      const scenario = cheapestAt(calculator.trials(moved, [[input.id, at]], COST), 0)
      found.push({ input, now, at, side, scenario, way: Math.abs(at - now) / (high - low) })
    }
  }
  return found.toSorted((a, b) => a.way - b.way)
}

const range = (count: number): number[] => Array.from({ length: count }, (_, k) => k)

/** Where an input stands and between which values it is tried: its own range, or the slider's where it has none. */
function spanOf(data: PageData, input: PageInput, moved: Moved) {
  const now = Number(moved.get(input.id) ?? input.planned[data.recommended])
  const own = Number(input.low) < Number(input.high)
  const [low, high] = own ? [input.low, input.high] : [input.min, input.max]
  return { input, now, low: Math.min(now, Number(low)), high: Math.max(now, Number(high)) }
}

function cheapestAt(costs: readonly Float64Array[], at: number): number {
  const values = costs.map((column) => column[at] ?? Number.NaN)
  return values.indexOf(Math.min(...values))
}

/** The first of 32 steps from `from` to `to` at which another scenario than `first` costs least. */
function refined(
  calculator: Calculator,
  moved: Moved,
  input: PageInput,
  from: number,
  to: number,
  first: number,
): number {
  const points = range(PIECES + 1).map((k) => from + ((to - from) * k) / PIECES)
  const costs = calculator.trials(
    moved,
    points.map((value) => [input.id, value] as const),
    COST,
  )
  return points.find((_, k) => k > 0 && cheapestAt(costs, k) !== first) ?? to
}

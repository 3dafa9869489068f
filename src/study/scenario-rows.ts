import { Columns, compile } from '../bulk/index.js'
import { IMPORTER_TAKEN } from '../plan/customs-cells.js'
import { type Change, type Move, type Plan, planOf, recordedSheet, withChanges } from '../plan/index.js'
import { ADVISED_COVER } from '../plan/inputs.js'
import { resolveChoices, TRANSPORT_TAKEN } from '../plan/plan.js'
import { Refusal } from '../plan/refusal.js'
import type { Recorded } from '../quantity/recorded.js'
import { VOLUME_FACTOR } from './study-file.js'

/** The cells of a plan that a study keeps, by the column they fill. A plan without one leaves it empty. */
export const RESULTS = {
  total: 'cost.total',
  own_hours: 'work.own.hours',
  days: 'time.door-to-door',
  volume_m3: 'volume.packed',
} as const
export type Result = keyof typeof RESULTS
const RESULT_NAMES = Object.keys(RESULTS) as readonly Result[]

/** How far customs charges are known: all of them, a part of them, or none. */
export type CustomsStatus = 'determined' | 'partly determined' | 'not determined'

/** What a scenario comes to at each of some points. */
export interface ScenarioRows {
  readonly results: Readonly<Record<Result, Float64Array>>
  readonly containers: readonly string[]
  readonly covers: readonly string[]
  readonly customs: readonly CustomsStatus[]
}

/** The inputs that a number of a study sets. */
export const inputsSetBy = (move: Move, id: string): readonly string[] =>
  id === VOLUME_FACTOR ? [...move.inputs.numbers.keys()].filter((input) => isRoomFactor(input)) : [id]

const isRoomFactor = (id: string): boolean => id.startsWith('survey.room.')

/** One point's numbers as changes, as `--set` states them. */
export function changesAt(
  move: Move,
  numbers: ReadonlyMap<string, Float64Array>,
  point: number,
  placeOf: (id: string) => Change['place'],
): Change[] {
  return [...numbers].flatMap(([id, column]) => {
    const place = placeOf(id)
    const value = String(column[point])
    return inputsSetBy(move, id).map((input) => ({ id: input, value, ...(place ? { place } : {}) }))
  })
}

/**
 * Works out one scenario at many points at once.
 *
 * The plan is recorded once with its formulas and evaluated in columns; container, importer and the waiting at the
 * port are chosen again at every point, inside the formulas. A cover left open (`advised`) decides which formulas a
 * plan has, so it is decided for each point by itself, and the formulas are recorded once for each cover found.
 *
 * @param before the scenario's own changes, what packing found, and the words of these points
 * @returns evaluates points given as a column for each number. Throws a Refusal where a value does not fit
 */
export function scenarioRows(
  move: Move,
  name: string,
  before: readonly Change[],
  placeOf: (id: string) => Change['place'] = () => undefined,
): (numbers: ReadonlyMap<string, Float64Array>, count: number) => ScenarioRows {
  const stated = withChanges(move.inputs, before)
  if (!stated.ok) throw new Refusal(stated.problems)
  const open = stated.value.choices.get('cover')?.value === ADVISED_COVER
  const known = new Map<string, Recording>()
  const recordingAt = (numbers: ReadonlyMap<string, Float64Array>, point: number): Recording => {
    const key = open ? coverKey(move, [...before, ...changesAt(move, numbers, point, placeOf)]) : ''
    const found = known.get(key)
    if (found) return found
    const plan = planned(move, name, [...before, ...changesAt(move, numbers, point, placeOf)])
    const recording = record(move, plan, [...numbers.keys()])
    known.set(key, recording)
    return recording
  }
  return (numbers, count) => {
    const points = new Map<Recording, number[]>()
    for (let point = 0; point < count; point++) {
      const recording = recordingAt(numbers, point)
      const alike = points.get(recording)
      if (alike) alike.push(point)
      else points.set(recording, [point])
    }
    return gathered(points, numbers, count)
  }
}

/** A plan with its formulas as columns, and the words that hang on what they come to. */
interface Recording {
  readonly columns: Columns
  readonly cover: string
  /** The container of each carriage, in the order `transport.taken` counts them, and the customs of each importer. */
  readonly carriages: readonly { readonly option: string; readonly customs: readonly CustomsStatus[] }[]
}

function record(move: Move, plan: Plan, numbers: readonly string[]): Recording {
  const sheet = recordedSheet(move, plan)
  const wanted = [...Object.values(RESULTS), TRANSPORT_TAKEN, IMPORTER_TAKEN]
  const outputs = new Map<string, Recorded>()
  for (const id of wanted) {
    const cell = sheet.cells.get(id)
    if (cell) outputs.set(id, cell.value)
  }
  const factor = numbers.includes(VOLUME_FACTOR)
  const program = compile(outputs, numbers, ({ id }) => (factor && isRoomFactor(id) ? VOLUME_FACTOR : id))
  const charged = sheet.cells.has('cost.customs.total')
  return {
    columns: new Columns(program),
    cover: plan.sheet.choices.get('cover') ?? '',
    carriages: sheet.carriages.map(({ option, customs }) => ({
      option,
      customs: customs.map(({ undetermined }) =>
        charged ? (undetermined.length === 0 ? 'determined' : 'partly determined') : 'not determined',
      ),
    })),
  }
}

function gathered(
  points: ReadonlyMap<Recording, readonly number[]>,
  numbers: ReadonlyMap<string, Float64Array>,
  count: number,
): ScenarioRows {
  const empty = (): Float64Array => new Float64Array(count).fill(Number.NaN)
  const results = { total: empty(), own_hours: empty(), days: empty(), volume_m3: empty() }
  const containers = new Array<string>(count).fill('')
  const covers = new Array<string>(count).fill('')
  const customs = new Array<CustomsStatus>(count).fill('not determined')
  for (const [{ columns, cover, carriages }, at] of points) {
    const inputs = new Map(
      [...numbers].map(([id, column]) => [id, Float64Array.from(at, (point) => column[point] ?? Number.NaN)]),
    )
    const outputs = columns.evaluate(inputs)
    // Without a number that varies there is one point, and its columns hold one value.
    const of = (id: string, k: number): number | undefined => outputs.get(id)?.[k]
    at.forEach((point, k) => {
      for (const name of RESULT_NAMES) results[name][point] = of(RESULTS[name], k) ?? Number.NaN
      const carriage = carriages[(of(TRANSPORT_TAKEN, k) ?? 1) - 1]
      containers[point] = carriage?.option ?? ''
      covers[point] = cover
      customs[point] = carriage?.customs[(of(IMPORTER_TAKEN, k) ?? 1) - 1] ?? 'not determined'
    })
  }
  return { results, containers, covers, customs }
}

/** What an open cover comes to at one point, and who then does the services it asks for. */
function coverKey(move: Move, changes: readonly Change[]): string {
  const stated = withChanges(move.inputs, changes)
  if (!stated.ok) throw new Refusal(stated.problems)
  const decided = resolveChoices(stated.value, move.household, move.reference)
  return [...decided.choices.values()]
    .filter(({ id, value }) => stated.value.choices.get(id)?.value !== value)
    .map(({ id, value }) => `${id}=${value}`)
    .join(' ')
}

function planned(move: Move, name: string, changes: readonly Change[]): Plan {
  const plan = planOf(move, name, changes)
  if (plan.ok) return plan.value
  throw new Refusal(plan.problems)
}

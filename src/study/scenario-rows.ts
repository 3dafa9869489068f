import { Columns, compile } from '../bulk/index.js'
import { IMPORTER_TAKEN } from '../plan/customs-cells.js'
import {
  type Change,
  type InputTable,
  type Move,
  type Plan,
  planOf,
  recordedSheet,
  withChanges,
} from '../plan/index.js'
import { ADVISED_COVER } from '../plan/inputs.js'
import { TRANSPORT_TAKEN } from '../plan/plan.js'
import { Refusal } from '../plan/refusal.js'
import type { Recorded } from '../quantity/recorded.js'
import { type CoverColumns, coverColumns } from './cover-columns.js'
import { VOLUME_FACTOR } from './study-file.js'

/** The cells of a plan that a study keeps, by the column they fill. A plan without one leaves it empty. */
export const RESULTS = {
  total: 'cost.total',
  origin_total: 'cost.origin.total',
  origin_movers_hour: 'work.origin.movers-hour',
  own_hours: 'work.own.hours',
  days: 'time.door-to-door',
  volume_m3: 'volume.packed',
} as const
export type Result = keyof typeof RESULTS
const RESULT_NAMES = Object.keys(RESULTS) as readonly Result[]

/** How far customs charges are known: all of them, a part of them, or none. */
export type CustomsStatus = 'determined' | 'partly determined' | 'not determined'

/** A container's room was found by packing the goods piece by piece, or taken as a share of its volume. */
export type Fit = 'packed' | 'by volume' | ''

/** What a scenario comes to at each of some points. */
export interface ScenarioRows {
  readonly results: Readonly<Record<Result, Float64Array>>
  readonly containers: readonly string[]
  /** By what it was judged whether the goods go into the container taken; empty where none is taken. */
  readonly fits: readonly Fit[]
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
 * plan has, so it is decided first, at each point, and the formulas are recorded once for each cover found.
 *
 * @param before the scenario's own changes, what packing found, and the words of these points
 * @param planned the plan of these changes, if somebody has it
 * @returns evaluates points given as a column for each number. Throws a Refusal where a value does not fit
 */
export function scenarioRows(
  move: Move,
  name: string,
  before: readonly Change[],
  placeOf: (id: string) => Change['place'] = () => undefined,
  planned?: Plan,
): (numbers: ReadonlyMap<string, Float64Array>, count: number) => ScenarioRows {
  const stated = changedBy(move, before)
  const open = stated.choices.get('cover')?.value === ADVISED_COVER
  const known = new Map<string, Recording>()
  const recording = (cover: string, columns: readonly string[], changes: readonly Change[]): Recording => {
    const found = known.get(cover)
    if (found) return found
    const ready = planned && (!open || planned.sheet.choices.get('cover') === cover) ? planned : undefined
    const made = record(move, ready ?? planFor(move, name, [...before, ...changes]), columns)
    known.set(cover, made)
    return made
  }
  let decided: { readonly covers: CoverColumns } | undefined
  return (numbers, count) => {
    const columns = [...numbers.keys()]
    if (known.size === 0) changedBy(move, [...before, ...changesAt(move, numbers, 0, placeOf)])
    const points = new Map<Recording, number[]>()
    const put = (point: number, one: Recording): void => {
      const alike = points.get(one)
      if (alike) alike.push(point)
      else points.set(one, [point])
    }
    if (!open) {
      const one = recording('', columns, [])
      points.set(
        one,
        Array.from({ length: count }, (_, point) => point),
      )
      return gathered(points, numbers, count)
    }
    decided ??= {
      covers: coverColumns(move, before, {
        columns,
        inputs: columns.flatMap((id) => inputsSetBy(move, id)),
        columnOf: columnOf(columns),
      }),
    }
    const { covers } = decided
    for (const [point, cover] of covers.at(numbers, count).entries())
      put(point, recording(cover, columns, covers.changes(cover)))
    return gathered(points, numbers, count)
  }
}

/** The column that fills an input. */
const columnOf = (columns: readonly string[]): ((id: string) => string) => {
  const factor = columns.includes(VOLUME_FACTOR)
  return (id) => (factor && isRoomFactor(id) ? VOLUME_FACTOR : id)
}

/** A plan with its formulas as columns, and the words that hang on what they come to. */
interface Recording {
  readonly columns: Columns
  readonly cover: string
  /** The container of each carriage, in the order `transport.taken` counts them, and the customs of each importer. */
  readonly carriages: readonly {
    readonly option: string
    readonly fit: Fit
    readonly customs: readonly CustomsStatus[]
  }[]
}

function record(move: Move, plan: Plan, numbers: readonly string[]): Recording {
  const sheet = recordedSheet(move, plan)
  const wanted = [...Object.values(RESULTS), TRANSPORT_TAKEN, IMPORTER_TAKEN]
  const outputs = new Map<string, Recorded>()
  for (const id of wanted) {
    const cell = sheet.cells.get(id)
    if (cell) outputs.set(id, cell.value)
  }
  const fills = columnOf(numbers)
  const program = compile(outputs, numbers, ({ id }) => fills(id))
  const charged = sheet.cells.has('cost.customs.total')
  return {
    columns: new Columns(program),
    cover: plan.sheet.choices.get('cover') ?? '',
    carriages: sheet.carriages.map(({ option, customs }) => ({
      option,
      fit: fitOf(plan, option),
      customs: customs.map(({ undetermined }) =>
        charged ? (undetermined.length === 0 ? 'determined' : 'partly determined') : 'not determined',
      ),
    })),
  }
}

function fitOf({ inputs }: Plan, option: string): Fit {
  const packed = inputs.choices.get(`packed.${option.split('+')[0]}`)?.value
  return packed === undefined ? '' : packed === 'by volume' ? 'by volume' : 'packed'
}

function gathered(
  points: ReadonlyMap<Recording, readonly number[]>,
  numbers: ReadonlyMap<string, Float64Array>,
  count: number,
): ScenarioRows {
  const empty = (): Float64Array => new Float64Array(count).fill(Number.NaN)
  const results = Object.fromEntries(RESULT_NAMES.map((name) => [name, empty()])) as Record<
    Result,
    Float64Array
  >
  const containers = new Array<string>(count).fill('')
  const fits = new Array<Fit>(count).fill('')
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
      fits[point] = carriage?.fit ?? ''
      covers[point] = cover
      customs[point] = carriage?.customs[(of(IMPORTER_TAKEN, k) ?? 1) - 1] ?? 'not determined'
    })
  }
  return { results, containers, fits, covers, customs }
}

function changedBy(move: Move, changes: readonly Change[]): InputTable {
  const stated = withChanges(move.inputs, changes)
  if (stated.ok) return stated.value
  throw new Refusal(stated.problems)
}

function planFor(move: Move, name: string, changes: readonly Change[]): Plan {
  const plan = planOf(move, name, changes)
  if (plan.ok) return plan.value
  throw new Refusal(plan.problems)
}

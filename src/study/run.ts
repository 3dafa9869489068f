import { type Part, partRows } from '../analysis/sweep.js'
import { type PackedRooms, packedChanges } from '../load/packed-plans.js'
import { type Change, planOf, withChanges } from '../plan/index.js'
import { scenariosOf } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { refuseUnread } from '../plan/unused.js'
import { csvCell } from '../tables/as-data.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import type { Case } from './cases.js'
import { type Points, pointsOf } from './points.js'
import {
  changesAt,
  inputsSetBy,
  RESULTS,
  type Result,
  type ScenarioRows,
  scenarioRows,
} from './scenario-rows.js'
import { type Study, VOLUME_FACTOR } from './study-file.js'

/** Rows that are worked out together wherever a part begins, so that every part agrees to the last bit. */
const group = 1024
/** Rows after which what is done is kept, at most. */
const pieceRows = 64 * group

/** A stretch of a study's rows: points of one scenario of one case with one combination of words. */
export interface Piece {
  readonly of: Case
  readonly scenario: string
  /** Place of its combination in `points.words`. */
  readonly combination: number
  /** Its first point and how many there are, within the combination. */
  readonly from: number
  readonly count: number
  /** Row of the whole table at which it begins. */
  readonly row: number
}

/** A study that can be worked out: every file read, every value checked. */
export interface ReadyStudy {
  readonly study: Study
  readonly points: Points
  readonly pieces: readonly Piece[]
  readonly rows: number
  /** Columns of the table, in order. */
  readonly columns: readonly StudyColumn[]
  readonly placeOf: (id: string) => Change['place']
}

/** A column of the table, and the unit of its numbers. */
export interface StudyColumn {
  readonly name: string
  readonly kind: 'words' | 'number'
  readonly unit?: string
}

/**
 * Cuts a study into pieces, once it is known that every input exists in every household and takes its values.
 *
 * @returns the study, or every problem with the line of the study's file it comes from
 */
export function readyStudy(study: Study, cases: readonly Case[]): Read<ReadyStudy> {
  const placeOf = (id: string): Change['place'] => {
    const place = study.inputs.find((input) => input.id === id)?.place
    return place ? { file: place.file, line: place.line } : undefined
  }
  const problems = cases.flatMap((one) => [...misfits(study, one), ...unknownScenarios(study, one)])
  if (problems.length > 0) return { ok: false, problems: distinct(problems) }
  const [first] = cases
  const points = pointsOf(study, (id) => first?.move.inputs.choices.has(id) ?? false)
  const pieces: Piece[] = []
  let row = 0
  for (const of of cases) {
    for (const scenario of scenariosAsked(study, of)) {
      for (const combination of points.words.keys()) {
        for (let from = 0; from < points.count; from += pieceRows) {
          const count = Math.min(pieceRows, points.count - from)
          pieces.push({ of, scenario, combination, from, count, row })
          row += count
        }
      }
    }
  }
  return {
    ok: true,
    value: { study, points, pieces, rows: row, columns: columnsOf(study, points, cases), placeOf },
  }
}

/** What keeps a household from taking the values of a study. */
function misfits(study: Study, { household, move }: Case): Problem[] {
  const { inputs } = study
  return inputs.flatMap((input) => {
    const { id, place } = input
    const sets = inputsSetBy(move, id)
    const at = { file: place.file, line: place.line }
    const clash = id === VOLUME_FACTOR ? inputs.find((other) => sets.includes(other.id)) : undefined
    if (clash)
      return [
        {
          ...clash.place,
          column: 'vary',
          found: clash.id,
          expected: `no room factor beside ${VOLUME_FACTOR}, which sets them all`,
          fix: 'Take one of the two rows out.',
        },
      ]
    const unknown = sets.find((each) => !move.inputs.numbers.has(each) && !move.inputs.choices.has(each))
    if (unknown !== undefined || sets.length === 0) {
      const ids = [VOLUME_FACTOR, ...move.inputs.numbers.keys(), ...move.inputs.choices.keys()]
      return [
        {
          ...at,
          column: 'vary',
          found: id,
          expected: `household, scenario, origin_country, destination_country, seed or an input of ${household}`,
          fix: suggestion(id, ids),
        },
      ]
    }
    const word = move.inputs.choices.has(id)
    if (word && input.kind === 'sample')
      return [
        {
          ...at,
          column: 'values',
          found: `lhs ${input.low}..${input.high}:${input.count}`,
          expected: 'a list of words: this input is no number',
          fix: 'Write a|b|c.',
        },
      ]
    const values = input.kind === 'list' ? input.values : [input.low, input.high]
    return values.flatMap((value) => {
      const [one] = sets
      const tried = withChanges(move.inputs, one === undefined ? [] : [{ id: one, value, place: at }])
      // A day that only fits together with another day is judged when both are there.
      const found = tried.ok
        ? []
        : tried.problems.filter((p) => p.column !== 'import-on' || p.found === value)
      return found.map((problem) => ({ ...problem, column: 'values' }))
    })
  })
}

function unknownScenarios(study: Study, { household, move }: Case): Problem[] {
  const names = scenariosOf(move).map(({ name }) => name)
  return study.moves.scenario
    .filter(({ value }) => !names.includes(value))
    .map(({ value, place }) => ({
      ...place,
      column: 'values',
      found: value,
      expected: `a scenario of ${household}: ${names.join(', ')}`,
      fix: suggestion(value, names),
    }))
}

const scenariosAsked = (study: Study, { move }: Case): string[] =>
  scenariosOf(move)
    .map(({ name }) => name)
    .filter((name) => study.moves.scenario.length === 0 || study.moves.scenario.some((s) => s.value === name))

function distinct(problems: readonly Problem[]): Problem[] {
  return [...new Map(problems.map((p) => [JSON.stringify([p.line, p.column, p.found, p.file]), p])).values()]
}

function columnsOf(study: Study, points: Points, cases: readonly Case[]): StudyColumn[] {
  const words = (name: string): StudyColumn => ({ name, kind: 'words' })
  const unitOf = (id: string): string => {
    const units = new Set(
      cases.flatMap(({ move }) =>
        inputsSetBy(move, id).map((each) => move.inputs.numbers.get(each)?.unit ?? '1'),
      ),
    )
    return [...units].join(' or ')
  }
  const units: Readonly<Record<Result, string>> = {
    total: 'currency',
    own_hours: 'h',
    days: 'd',
    volume_m3: 'm3',
  }
  return [
    ...['household', 'origin_country', 'destination_country', 'scenario'].map(words),
    { name: 'point', kind: 'number', unit: '1' },
    ...study.inputs.map(
      ({ id }): StudyColumn =>
        points.numbers.includes(id) ? { name: id, kind: 'number', unit: unitOf(id) } : words(id),
    ),
    // An input may be called `cover`: what was chosen at the point has a name of its own.
    ...['container_taken', 'cover_taken', 'customs'].map(words),
    ...(Object.keys(RESULTS) as Result[]).map(
      (name): StudyColumn => ({ name, kind: 'number', unit: units[name] }),
    ),
    words('currency'),
  ]
}

/** The pieces that have rows in one part, in order, and the rows of the part. */
export function piecesOf(
  ready: ReadyStudy,
  part: Part,
): { pieces: readonly Piece[]; from: number; until: number } {
  const [from, until] = partRows(ready.rows, part)
  return { pieces: ready.pieces.filter(({ row, count }) => row < until && row + count > from), from, until }
}

/** The head line of the table. */
export const headLine = ({ columns }: ReadyStudy): string =>
  `${columns.map(({ name }) => csvCell(name)).join(',')}\n`

/**
 * Works the pieces of a study out, one after the other.
 *
 * @param rooms what packing found before, by household; what is found is added
 * @param tell told before a container is packed, because it may take seconds
 * @returns the rows of one piece as CSV text, those before row `from` and from row `until` on left out. Throws a
 *   Refusal where a value does not fit or where no figure of any plan reads an input
 */
export function pieceWriter(
  ready: ReadyStudy,
  rooms: (household: string) => PackedRooms,
  tell: (text: string) => void = () => {},
): (piece: Piece, from: number, until: number) => string {
  const { points, placeOf } = ready
  let kept: { readonly key: string; readonly evaluate: ReturnType<typeof scenarioRows> } | undefined
  let packed: { readonly of: Case; readonly scenario: string; readonly before: readonly Change[] } | undefined
  const evaluator = (piece: Piece): ReturnType<typeof scenarioRows> => {
    const { of, scenario, combination } = piece
    const key = `${piece.row - piece.from}`
    if (kept?.key === key) return kept.evaluate
    const changes = scenariosOf(of.move).find(({ name }) => name === scenario)?.changes ?? []
    if (packed?.of !== of || packed.scenario !== scenario) {
      const found = packedChanges(of.move, scenario, changes, rooms(of.household), tell)
      packed = { of, scenario, before: [...changes, ...found] }
    }
    const before = [...packed.before, ...wordsOf(ready, combination)]
    const evaluate = scenarioRows(of.move, scenario, before, placeOf)
    kept = { key, evaluate }
    return evaluate
  }
  return (piece, from, until) => {
    const evaluate = evaluator(piece)
    const lines: string[] = []
    const [first, end] = [Math.max(from - piece.row, 0), Math.min(until - piece.row, piece.count)]
    for (let start = first - (first % group); start < end; start += group) {
      const count = Math.min(group, piece.count - start)
      const numbers = points.columns(piece.from + start, count)
      const rows = evaluate(numbers, count)
      for (let i = Math.max(first - start, 0); i < Math.min(end - start, count); i++)
        lines.push(line(ready, piece, piece.from + start + i, numbers, rows, i))
    }
    return lines.join('')
  }
}

const wordsOf = ({ points, placeOf }: ReadyStudy, combination: number): Change[] =>
  (points.words[combination] ?? []).map(({ id, value }) => {
    const place = placeOf(id)
    return { id, value, ...(place ? { place } : {}) }
  })

function line(
  { study, points }: ReadyStudy,
  { of, scenario, combination }: Piece,
  point: number,
  numbers: ReadonlyMap<string, Float64Array>,
  rows: ScenarioRows,
  i: number,
): string {
  const words = new Map((points.words[combination] ?? []).map(({ id, value }) => [id, value]))
  const number = (value: number | undefined): string =>
    value === undefined || Number.isNaN(value) ? '' : String(value)
  const cells = [
    of.household,
    of.origin,
    of.destination,
    scenario,
    String(combination * points.count + point + 1),
    ...study.inputs.map(({ id }) => words.get(id) ?? number(numbers.get(id)?.[i])),
    rows.containers[i] ?? '',
    rows.covers[i] ?? '',
    rows.customs[i] ?? '',
    ...(Object.keys(RESULTS) as Result[]).map((name) => number(rows.results[name][i])),
    of.move.household.facts.currency,
  ]
  return `${cells.map(csvCell).join(',')}\n`
}

/**
 * Refuses an input that no figure of any scenario reads: a column that changes nothing would pass for an answer.
 * One plan of each scenario of each household, at its first point, is asked.
 */
export function refuseIdle(ready: ReadyStudy): void {
  const { points, pieces, placeOf, study } = ready
  const asked = new Map<string, Piece>()
  for (const piece of pieces) {
    const key = JSON.stringify([piece.of.household, piece.scenario])
    if (!asked.has(key)) asked.set(key, piece)
  }
  const plans = [...asked.values()].map(({ of, scenario, combination }) => {
    const changes = scenariosOf(of.move).find(({ name }) => name === scenario)?.changes ?? []
    const now = [...wordsOf(ready, combination), ...changesAt(of.move, points.columns(0, 1), 0, placeOf)]
    const plan = planOf(of.move, scenario, [...changes, ...now])
    if (!plan.ok) throw new Refusal(plan.problems)
    return plan.value
  })
  refuseUnread(
    plans,
    study.inputs.map(({ id }) => id),
  )
}

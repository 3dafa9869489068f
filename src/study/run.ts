import { type Part, partRows } from '../analysis/sweep.js'
import { type PackedRooms, packedPlan } from '../load/packed-plans.js'
import { type Change, type Move, type Plan, planOf, withChanges } from '../plan/index.js'
import { scenariosOf } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { refuseUnread } from '../plan/unused.js'
import { csvCell } from '../tables/as-data.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import { type Case, casesOf, type HouseholdFiles, moveBetween } from './cases.js'
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
/** Rows after which what is done is kept, at most. Long texts pile up in a thread before they are swept: short ones. */
const pieceRows = 2 * group

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

/** What rows are worked out from. */
export interface Ground {
  readonly study: Study
  readonly points: Points
  readonly placeOf: (id: string) => Change['place']
  /** A case's household, read again: only the one in hand is kept. */
  readonly open: (of: Case) => Move
}

/** A study that can be worked out: every file read, every value checked. */
export interface ReadyStudy extends Ground {
  readonly pieces: readonly Piece[]
  readonly rows: number
  /** Columns of the table, in order. */
  readonly columns: readonly StudyColumn[]
  /** Which inputs are words. */
  readonly words: readonly string[]
}

/** A column of the table, and the unit of its numbers. */
export interface StudyColumn {
  readonly name: string
  readonly kind: 'words' | 'number'
  readonly unit?: string
}

/**
 * What rows are worked out from, for whoever knows already that the study is in order.
 *
 * @param words the inputs that are words, not numbers
 */
export function groundOf(
  study: Study,
  households: readonly HouseholdFiles[],
  words: readonly string[],
): Ground {
  let kept: { readonly of: string; readonly move: Move } | undefined
  return {
    study,
    points: pointsOf(study, (id) => words.includes(id)),
    placeOf: (id) => {
      const place = study.inputs.find((input) => input.id === id)?.place
      return place ? { file: place.file, line: place.line } : undefined
    },
    open({ household: name, origin, destination }) {
      const of = JSON.stringify([name, origin, destination])
      if (kept?.of === of) return kept.move
      const household = households.find((h) => h.name === name)
      if (!household) throw new Error(`no household "${name}" in this study`)
      const { moves } = study
      const read = moveBetween(
        household,
        moves.origin_country.length > 0 ? origin : undefined,
        moves.destination_country.length > 0 ? destination : undefined,
      )
      if (!read.ok) throw new Refusal(read.problems)
      kept = { of, move: read.value }
      return read.value
    },
  }
}

/**
 * Cuts a study into pieces, once it is known that every household can be planned between every pair of countries and
 * that every input exists in it and takes its values.
 *
 * @returns the study, or every problem with the file and line it comes from
 */
export function readyStudy(study: Study, households: readonly HouseholdFiles[]): Read<ReadyStudy> {
  const words = new Set<string>()
  const units = new Map<string, Set<string>>()
  const cases = casesOf(study, households, (move, household) => {
    for (const { id } of study.inputs) {
      if (move.inputs.choices.has(id)) words.add(id)
      const unit = units.get(id) ?? new Set<string>()
      for (const each of inputsSetBy(move, id)) unit.add(move.inputs.numbers.get(each)?.unit ?? '1')
      units.set(id, unit)
    }
    return [...misfits(study, household, move), ...unknownScenarios(study, household, move)]
  })
  if (!cases.ok) return { ok: false, problems: distinct(cases.problems) }
  const ground = groundOf(study, households, [...words])
  const { points } = ground
  const pieces: Piece[] = []
  let row = 0
  for (const of of cases.value) {
    for (const scenario of of.scenarios) {
      for (const combination of points.words.keys()) {
        for (let from = 0; from < points.count; from += pieceRows) {
          const count = Math.min(pieceRows, points.count - from)
          pieces.push({ of, scenario, combination, from, count, row })
          row += count
        }
      }
    }
  }
  const unitOf = (id: string): string => [...(units.get(id) ?? [])].join(' or ')
  const columns = columnsOf(study, points, unitOf)
  return { ok: true, value: { ...ground, pieces, rows: row, columns, words: [...words] } }
}

/** What keeps a household from taking the values of a study. */
function misfits(study: Study, household: string, move: Move): Problem[] {
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
          found: `${input.how} ${input.low}..${input.high}:${input.count}`,
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

function unknownScenarios(study: Study, household: string, move: Move): Problem[] {
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

function distinct(problems: readonly Problem[]): Problem[] {
  return [...new Map(problems.map((p) => [JSON.stringify([p.line, p.column, p.found, p.file]), p])).values()]
}

function columnsOf(study: Study, points: Points, unitOf: (id: string) => string): StudyColumn[] {
  const words = (name: string): StudyColumn => ({ name, kind: 'words' })
  const units: Readonly<Record<Result, string>> = {
    total: 'currency',
    origin_total: 'currency',
    origin_movers_hour: 'currency/h',
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
    ...['container_taken', 'fit', 'cover_taken', 'customs'].map(words),
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

/** Pieces that are worked out one after the other by the same thread. */
export type Stretch = readonly Piece[]

/** Consecutive pieces of one case together, as long as they are few rows: what they have in common is found once. */
export function stretchesOf(pieces: readonly Piece[]): Stretch[] {
  const stretches: Piece[][] = []
  let rows = 0
  for (const piece of pieces) {
    const last = stretches.at(-1)
    if (last?.[0]?.of === piece.of && rows + piece.count <= pieceRows) {
      last.push(piece)
      rows += piece.count
    } else {
      stretches.push([piece])
      rows = piece.count
    }
  }
  return stretches
}

/** How the rows of a study are worked out. */
export interface Packing {
  /** What packing found before, by household; what is found is added. Left out, room is taken by volume alone. */
  readonly rooms?: (household: string) => PackedRooms
  /** Told before a container is packed, because it may take seconds. */
  readonly tell?: (text: string) => void
}

/**
 * Works the pieces of a study out, one after the other.
 *
 * @returns the rows of one piece as CSV text, those before row `from` and from row `until` on left out. Throws a
 *   Refusal where a value does not fit
 */
export function pieceWriter(
  ground: Ground,
  { rooms, tell = () => {} }: Packing,
): (piece: Piece, from: number, until: number) => string {
  const { points, placeOf } = ground
  let kept: { readonly key: string; readonly evaluate: ReturnType<typeof scenarioRows> } | undefined
  let begun: { readonly key: string; readonly before: readonly Change[]; readonly plan?: Plan } | undefined
  const keyOf = ({ of, scenario }: Piece): string =>
    JSON.stringify([of.household, of.origin, of.destination, scenario])
  const beginning = (piece: Piece, move: Move): NonNullable<typeof begun> => {
    const key = keyOf(piece)
    if (begun?.key === key) return begun
    const changes = statedChanges(move, piece.scenario)
    const room = rooms?.(piece.of.household)
    if (!room) begun = { key, before: changes }
    else {
      const { found, plan } = packedPlan(move, piece.scenario, changes, room, tell)
      begun = { key, before: [...changes, ...found], plan }
    }
    return begun
  }
  const evaluator = (piece: Piece): ReturnType<typeof scenarioRows> => {
    const key = `${keyOf(piece)} ${piece.combination}`
    if (kept?.key === key) return kept.evaluate
    const move = ground.open(piece.of)
    const { before, plan } = beginning(piece, move)
    const words = wordsOf(ground, piece.combination)
    const planned = words.length === 0 ? plan : undefined
    const evaluate = scenarioRows(move, piece.scenario, [...before, ...words], placeOf, planned)
    kept = { key, evaluate }
    return evaluate
  }
  return (piece, from, until) => {
    const evaluate = evaluator(piece)
    const lineOf = lineWriter(ground, piece)
    const lines: string[] = []
    const [first, end] = [Math.max(from - piece.row, 0), Math.min(until - piece.row, piece.count)]
    for (let start = first - (first % group); start < end; start += group) {
      const count = Math.min(group, piece.count - start)
      const numbers = points.columns(piece.from + start, count)
      const rows = evaluate(numbers, count)
      const line = lineOf(piece.from + start, numbers, rows)
      for (let i = Math.max(first - start, 0); i < Math.min(end - start, count); i++) lines.push(line(i))
    }
    return lines.join('')
  }
}

/** What a scenario changes by itself. */
export const statedChanges = (move: Move, scenario: string): readonly Change[] =>
  scenariosOf(move).find(({ name }) => name === scenario)?.changes ?? []

const wordsOf = ({ points, placeOf }: Ground, combination: number): Change[] =>
  (points.words[combination] ?? []).map(({ id, value }) => {
    const place = placeOf(id)
    return { id, value, ...(place ? { place } : {}) }
  })

/** The lines of a piece; what all of them share is made once. */
function lineWriter(
  { study, points }: Ground,
  { of, scenario, combination }: Piece,
): (
  firstPoint: number,
  numbers: ReadonlyMap<string, Float64Array>,
  rows: ScenarioRows,
) => (i: number) => string {
  const words = new Map((points.words[combination] ?? []).map(({ id, value }) => [id, csvCell(value)]))
  const head = [of.household, of.origin, of.destination, scenario].map(csvCell).join(',')
  const end = csvCell(of.currency)
  const number = (value: number | undefined): string =>
    value === undefined || Number.isNaN(value) ? '' : String(value)
  const results = Object.keys(RESULTS) as Result[]
  return (firstPoint, numbers, rows) => {
    const columns = study.inputs.map(({ id }) => words.get(id) ?? numbers.get(id))
    const found = results.map((name) => rows.results[name])
    return (i) => {
      let text = `${head},${combination * points.count + firstPoint + i + 1}`
      for (const column of columns) text += `,${typeof column === 'string' ? column : number(column?.[i])}`
      text += `,${csvCell(rows.containers[i] ?? '')},${rows.fits[i] ?? ''},${csvCell(rows.covers[i] ?? '')},${rows.customs[i] ?? ''}`
      for (const column of found) text += `,${number(column[i])}`
      return `${text},${end}\n`
    }
  }
}

/**
 * Refuses an input that no figure of any scenario reads: a column that changes nothing would pass for an answer. One
 * plan of each scenario of each household, at its first point, is asked, until each input is read by one of them.
 */
export function refuseIdle(ready: ReadyStudy): void {
  const { points, pieces, placeOf, study } = ready
  const asked = new Set<string>()
  const plans: Plan[] = []
  const inputs = new Map(study.inputs.map(({ id }) => [id, new Set<string>()]))
  const idle = new Set(inputs.keys())
  for (const piece of pieces) {
    if (idle.size === 0) return
    const { of, scenario, combination } = piece
    const key = JSON.stringify([of.household, scenario])
    if (asked.has(key)) continue
    asked.add(key)
    const move = ready.open(of)
    const now = [...wordsOf(ready, combination), ...changesAt(move, points.columns(0, 1), 0, placeOf)]
    const plan = planOf(move, scenario, [...statedChanges(move, scenario), ...now])
    if (!plan.ok) throw new Refusal(plan.problems)
    plans.push(plan.value)
    for (const id of idle) {
      const sets = inputsSetBy(move, id)
      for (const each of sets) inputs.get(id)?.add(each)
      if (sets.some((each) => plan.value.unused.every(({ change }) => change.id !== each))) idle.delete(id)
    }
  }
  refuseUnread(
    plans,
    [...idle].flatMap((id) => [...(inputs.get(id) ?? [])]),
  )
}

import { z } from 'zod'
import { axis } from '../analysis/sweep.js'
import { type CsvFile, type Place, readTable } from '../tables/csv.js'
import { optional, text } from '../tables/fields.js'
import type { Problem, Read } from '../tables/problem.js'
import type { SampleKind } from './sample.js'
import { SOBOL_DIMENSIONS } from './sobol.js'

/** A study's file: what varies, one thing a row. */
export const studyColumns = z.object({
  vary: text({
    description:
      'what varies: household, scenario, origin_country, destination_country, volume_factor, the id of an input; or seed',
    example: 'origin_country',
  }),
  values: text({
    description:
      'a list a|b|c, evenly spaced values low..high:n, a Latin hypercube sample lhs low..high:n, or a Sobol sample sobol low..high:n',
    example: 'CL|PE|AR',
  }),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** One row of the file: what varies, and how. */
export type Varied = { readonly id: string; readonly place: Place } & (
  | { readonly kind: 'list'; readonly values: readonly string[] }
  | {
      readonly kind: 'sample'
      readonly how: SampleKind
      readonly low: string
      readonly high: string
      readonly count: number
    }
)

/** The rows that say which moves are planned; every other row is an input, or the volume factor. */
const OF_THE_MOVE = ['household', 'scenario', 'origin_country', 'destination_country'] as const
type OfTheMove = (typeof OF_THE_MOVE)[number]

/** Multiplies the listed volume of every room: it stands for all inputs `survey.room.*` together. */
export const VOLUME_FACTOR = 'volume_factor'

/** What a study asks for. */
export interface Study {
  readonly file: string
  /** Lists of the file's own words; an empty one leaves the household as it is. */
  readonly moves: Readonly<Record<OfTheMove, readonly { readonly value: string; readonly place: Place }[]>>
  readonly inputs: readonly Varied[]
  readonly seed: number
}

const NUMBER = String.raw`[-+]?\d+(?:\.\d+)?`
const SPACED = new RegExp(String.raw`^(${NUMBER})\s*\.\.\s*(${NUMBER})\s*:\s*(\d+)$`)
/** Points of a sample are made by their index, which is whole numbers of 32 bits; more also take days. */
const mostPoints = 10_000_000

/**
 * Reads a study's file.
 *
 * Evenly spaced values and lists are crossed with each other; all samples of a study are one sample, point by point,
 * and are crossed with the rest.
 *
 * @returns the study, or every problem of the file. Example row: `volume_factor,0.8..1.2:5`
 */
export function readStudy(csv: CsvFile): Read<Study> {
  const table = readTable(csv, studyColumns)
  if (!table.ok) return table
  const problems: Problem[] = []
  const moves: Record<OfTheMove, { value: string; place: Place }[]> = {
    household: [],
    scenario: [],
    origin_country: [],
    destination_country: [],
  }
  const inputs: Varied[] = []
  const seen = new Map<string, number>()
  let seed = 1
  for (const { vary, values, place } of table.value) {
    const wrong = (column: string, found: string, expected: string, fix: string): void => {
      problems.push({ ...place, column, found, expected, fix })
    }
    const before = seen.get(vary)
    if (before !== undefined) {
      wrong(
        'vary',
        vary,
        'each thing that varies once',
        `Put its values into line ${before}, with | between.`,
      )
      continue
    }
    seen.set(vary, place.line)
    if (vary === 'seed') {
      if (/^\d{1,9}$/.test(values)) seed = Number(values)
      else wrong('values', values, 'a whole number of at most nine digits', 'Write for example 1.')
      continue
    }
    const ofTheMove = OF_THE_MOVE.find((word) => word === vary)
    const read = ofTheMove ? listOf(values) : valuesOf(vary, values)
    if ('expected' in read) wrong('values', values, read.expected, read.fix)
    else if (ofTheMove === undefined) inputs.push({ id: vary, place, ...read })
    else if (read.kind === 'list') moves[ofTheMove].push(...read.values.map((value) => ({ value, place })))
  }
  const samples = inputs.flatMap((input) => (input.kind === 'sample' ? [input] : []))
  const [first] = samples
  for (const { id, place, count, how } of samples) {
    if (first && how !== first.how)
      problems.push({
        ...place,
        column: 'values',
        found: `${how} for ${id}`,
        expected: `${first.how}, as in line ${first.place.line}: all samples of a study are one`,
        fix: `Write ${first.how} before the range.`,
      })
    if (first && count !== first.count)
      problems.push({
        ...place,
        column: 'values',
        found: `${count} points of ${id}`,
        expected: `${first.count} points, as in line ${first.place.line}: all samples of a study are one`,
        fix: `Write :${first.count} at the end.`,
      })
  }
  const beyond = first?.how === 'sobol' ? samples[SOBOL_DIMENSIONS] : undefined
  if (beyond)
    problems.push({
      ...beyond.place,
      column: 'values',
      found: `${samples.length} inputs with sobol`,
      expected: `at most ${SOBOL_DIMENSIONS}, for so many dimensions stand in the table of the sequence`,
      fix: 'Write lhs instead of sobol in every line, or sample fewer inputs.',
    })
  const perLine = first?.count ?? 1
  const points = inputs.reduce((n, input) => n * (input.kind === 'list' ? input.values.length : 1), perLine)
  if (points > mostPoints)
    problems.push({
      file: csv.file,
      line: 1,
      column: 'values',
      found: `${points} points for each scenario`,
      expected: `at most ${mostPoints}`,
      fix: 'Take fewer values, or a sample (lhs or sobol low..high:n) instead of a grid.',
    })
  if (moves.household.length === 0 && !seen.has('household'))
    problems.push({
      file: csv.file,
      line: 1,
      column: 'vary',
      found: 'no row for household',
      expected: 'a row that says which household is planned',
      fix: 'Add a row household,FOLDER (several with | between).',
    })
  return problems.length > 0
    ? { ok: false, problems }
    : { ok: true, value: { file: csv.file, moves, inputs, seed } }
}

type Values =
  | { readonly kind: 'list'; readonly values: readonly string[] }
  | Pick<Extract<Varied, { kind: 'sample' }>, 'kind' | 'how' | 'low' | 'high' | 'count'>
interface Wrong {
  readonly expected: string
  readonly fix: string
}

function listOf(text: string): { kind: 'list'; values: readonly string[] } | Wrong {
  const values = text.split('|').map((value) => value.trim())
  if (values.includes('')) return { expected: 'a value on both sides of every |', fix: 'Write a|b|c.' }
  const twice = values.find((value, k) => values.indexOf(value) < k)
  return twice === undefined
    ? { kind: 'list', values }
    : { expected: 'each value once', fix: `Leave the second ${twice} out.` }
}

function valuesOf(id: string, text: string): Values | Wrong {
  const sampled = /^(lhs|sobol)\s+(.*)$/.exec(text)
  if (sampled === null && !text.includes('..')) return listOf(text)
  const found = SPACED.exec(sampled?.[2] ?? text)
  const [, low = '', high = '', n = ''] = found ?? []
  const count = Number(n)
  if (!found || Number(low) >= Number(high) || count < 2 || count > mostPoints)
    return {
      expected: `low..high:n with the lower number first and 2 to ${mostPoints} values`,
      fix: sampled
        ? `Write for example ${sampled[1]} 0.8..1.2:${sampled[1] === 'sobol' ? 128 : 100}.`
        : 'Write for example 0.8..1.2:5.',
    }
  return sampled
    ? { kind: 'sample', how: sampled[1] === 'sobol' ? 'sobol' : 'lhs', low, high, count }
    : { kind: 'list', values: axis(id, low, high, count).values.map(String) }
}

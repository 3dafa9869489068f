/** One thing wrong in a file, told so that it can be put right: where, what stands there, what should, what to type. */
export interface Problem {
  readonly file: string
  readonly line: number
  readonly column: string
  readonly found: string
  readonly expected: string
  readonly fix: string
  /**
   * `wrong`, also where it is left out: nothing is calculated. `unlikely`: possible, but worth a second look; a row
   * of the household's confirmed.csv says that it is meant.
   */
  readonly kind?: 'wrong' | 'unlikely'
  /** How many cells of its column it stands for, where one after the other would be too many to tell. */
  readonly count?: number
  /** The mark of the row (its line, person, id), by which confirmed.csv names it. */
  readonly row?: string
}

/** What reading yields: a value that is wholly good, or every problem that keeps it from being so. */
export type Read<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] }

/** Every problem of several readings, in the order of the readings. */
export function problemsOf(reads: readonly Read<unknown>[]): Problem[] {
  return reads.flatMap((read) => (read.ok ? [] : read.problems))
}

/** How many cells problems are about. */
export const countOf = (problems: readonly Problem[]): number =>
  problems.reduce((sum, { count }) => sum + (count ?? 1), 0)

export const isUnlikely = (p: Problem): boolean => p.kind === 'unlikely'

/** The start of a text, at most `most` characters of it, with … where something is left out. */
export function short(text: string, most = 60): string {
  if (text.length <= most) return text
  // Not between the halves of a character that takes two.
  const cut = /[\uD800-\uDBFF]/.test(text.charAt(most - 2)) ? most - 2 : most - 1
  return `${text.slice(0, cut)}…`
}

/** A problem as one line of text. Example: `inventory.csv:14: volume_m3: found "1,2m", expected …. Write ….` */
export function problemText(p: Problem): string {
  const place = `${short(p.file, 120)}:${p.line}: ${short(p.column, 60)}`
  const word = isUnlikely(p) ? 'unlikely: ' : ''
  return `${place}: ${word}found ${JSON.stringify(short(p.found))}, expected ${short(p.expected, 240)}. ${short(p.fix, 400)}`
}

/** How many problems are told one by one before the rest are only counted. */
const TOLD = 60
/** How many of them may be about one column of one file: the rest are likely the same slip again. */
const TOLD_OF_A_COLUMN = 8

/**
 * Problems as lines of text, short whatever the input: the first of each column of each file, in the order given,
 * then how many more there are.
 */
export function problemLines(problems: readonly Problem[]): string[] {
  const told: string[] = []
  const seen = new Map<string, number>()
  const left = new Map<string, number>()
  for (const p of problems) {
    const column = `${p.file}: ${p.column}`
    const before = seen.get(column) ?? 0
    if (p.count === undefined && told.length < TOLD && before < TOLD_OF_A_COLUMN) {
      told.push(problemText(p))
      seen.set(column, before + 1)
    } else left.set(p.file, (left.get(p.file) ?? 0) + (p.count ?? 1))
  }
  return [...told, ...[...left].map(([file, count]) => `${short(file, 120)}: and ${count} more of the kind.`)]
}

/**
 * Problems in the order of their files, then of their lines; one told twice is told once.
 *
 * @param names file names that come first, in this order
 */
export function inOrder(problems: readonly Problem[], names: readonly string[] = []): Problem[] {
  const files = new Map<string, number>()
  for (const { file } of problems) {
    const known = names.indexOf(file.split('/').at(-1) ?? file)
    if (!files.has(file)) files.set(file, known >= 0 ? known : names.length + files.size)
  }
  const seen = new Set<string>()
  return problems
    .filter((p) => {
      const key = JSON.stringify([p.file, p.line, p.column, p.found, p.expected])
      return seen.has(key) ? false : seen.add(key)
    })
    .sort((a, b) => (files.get(a.file) ?? 0) - (files.get(b.file) ?? 0) || a.line - b.line)
}

/** One thing wrong in a file, told so that it can be put right: where, what stands there, what should, what to type. */
export interface Problem {
  readonly file: string
  readonly line: number
  readonly column: string
  readonly found: string
  readonly expected: string
  readonly fix: string
}

/** What reading yields: a value that is wholly good, or every problem that keeps it from being so. */
export type Read<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] }

/** Every problem of several readings, in the order of the readings. */
export function problemsOf(reads: readonly Read<unknown>[]): Problem[] {
  return reads.flatMap((read) => (read.ok ? [] : read.problems))
}

/** A problem as one line of text. Example: `inventory.csv:14: volume_m3: found "1,2m", expected …. Write ….` */
export function problemText(p: Problem): string {
  return `${p.file}:${p.line}: ${p.column}: found ${JSON.stringify(p.found)}, expected ${p.expected}. ${p.fix}`
}

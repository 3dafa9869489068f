import { parseArgs } from 'node:util'
import { suggestion } from '../tables/nearest.js'

/** One option of a command, as `--help` lists it. */
export interface OptionFacts {
  readonly value?: string
  readonly many?: boolean
  readonly says: string
}

/** The words of a command line once they are known to be right. */
export interface Args {
  readonly words: readonly string[]
  readonly flags: ReadonlySet<string>
  text(name: string): string | undefined
  all(name: string): readonly string[]
}

/** A command line that cannot be carried out; the message says what to type instead. */
export class UsageError extends Error {}

/**
 * Reads the words after a command's name.
 *
 * Throws UsageError for an option the command does not have, naming the nearest, and for one that lacks its value.
 */
export function readArgs(words: readonly string[], options: Readonly<Record<string, OptionFacts>>): Args {
  const known = Object.keys(options)
  const { tokens } = parseArgs({
    args: [...words],
    strict: false,
    tokens: true,
    allowPositionals: true,
    options: Object.fromEntries(
      known.map((name) => [
        name,
        { type: options[name]?.value ? ('string' as const) : ('boolean' as const) },
      ]),
    ),
  })
  const values = new Map<string, string[]>()
  const positional: string[] = []
  for (const token of tokens) {
    if (token.kind === 'positional') positional.push(token.value)
    if (token.kind !== 'option') continue
    const facts = options[token.name]
    if (!facts) throw new UsageError(`unknown option ${token.rawName}. ${suggestion(token.name, known)}`)
    if (facts.value && token.value === undefined) {
      throw new UsageError(`${token.rawName} needs a value: --${token.name} ${facts.value}`)
    }
    if (!facts.value && token.value !== undefined) throw new UsageError(`${token.rawName} takes no value`)
    const before = values.get(token.name) ?? []
    if (before.length > 0 && !facts.many)
      throw new UsageError(`${token.rawName} is given twice; once is enough`)
    values.set(token.name, [...before, token.value ?? ''])
  }
  return {
    words: positional,
    flags: new Set(values.keys()),
    text: (name) => values.get(name)?.[0],
    all: (name) => values.get(name) ?? [],
  }
}

import { distance } from 'fastest-levenshtein'
import { short } from './problem.js'

/** Longer names are no slip of the hand; comparing them letter by letter with every known one takes minutes. */
const LONGEST = 64

/** The names most like `name`, nearest first, at most `count`; what a message about an unknown name suggests. */
export function nearest(name: string, known: Iterable<string>, count = 3): string[] {
  const wanted = name.slice(0, LONGEST).toLowerCase()
  const best: { readonly candidate: string; readonly far: number }[] = []
  const last = () => (best.length < count ? Number.POSITIVE_INFINITY : (best[count - 1]?.far ?? 0))
  for (const candidate of known) {
    // Two names are at least as far apart as their lengths.
    if (Math.abs(candidate.length - wanted.length) > last()) continue
    const far = distance(wanted, candidate.slice(0, LONGEST).toLowerCase())
    if (far > last()) continue
    best.push({ candidate, far })
    best.sort((a, b) => a.far - b.far || (a.candidate < b.candidate ? -1 : 1))
    best.length = Math.min(best.length, count)
  }
  return best.map(({ candidate }) => short(candidate, LONGEST))
}

/**
 * How many letters may differ between a slip of the hand and what was meant: one in three. Codes of two letters are
 * never that near: most pairs of letters mean something, and a wrong country is worse than none.
 */
const slip = (name: string): number => Math.min(3, Math.floor(name.length / 3))

/** The known name that `name` is a slip of, or nothing. */
export function slipOf(name: string, known: Iterable<string>): string | undefined {
  if (name.length > LONGEST) return undefined
  const [best] = nearest(name, known, 1)
  if (best !== undefined && distance(name.toLowerCase(), best.toLowerCase()) <= slip(name)) return best
  return turnedRound(name.toLowerCase(), known)
}

/** Two letters typed the wrong way round are one slip, though two letters differ. */
function turnedRound(name: string, known: Iterable<string>): string | undefined {
  if (name.length < 4) return undefined
  const ways = new Set(
    [...name]
      .map((letter, i) => name.slice(0, i - 1) + letter + name.slice(i - 1, i) + name.slice(i + 1))
      .slice(1),
  )
  for (const candidate of known) if (ways.has(candidate.toLowerCase())) return candidate
  return undefined
}

/** Known names that share a whole word with `name`: `desk` finds `desk-small`. */
function sharingAWord(name: string, known: readonly string[]): readonly string[] {
  const words = (text: string) =>
    text
      .slice(0, LONGEST)
      .toLowerCase()
      .split(/[^\p{L}\p{N}]+/u)
  const said = words(name).filter((word) => word.length >= 3)
  return known.filter((candidate) => words(candidate).some((word) => said.includes(word)))
}

/** `Did you mean X?` where one known name is close, else those of a like name, else what may be written; nothing may: take it away. */
export function suggestion(name: string, all: readonly string[]): string {
  const best = slipOf(name, all)
  if (best !== undefined) return `Did you mean ${best}?`
  const alike = sharingAWord(name, all)
  const known = alike.length > 0 ? alike : all
  if (known.length === 0) return 'Take it away.'
  if (known.length === 1) return `Did you mean ${short(known[0] ?? '', LONGEST)}?`
  if (known.length === 2) return `Write ${known.map((word) => short(word, LONGEST)).join(' or ')}.`
  // Whole names, because they are there to be copied.
  const shown: string[] = []
  let left = 240
  for (const word of known.slice(0, 12)) {
    const whole = short(word, LONGEST)
    left -= whole.length + 2
    if (left < 0) break
    shown.push(whole)
  }
  return `Use one of: ${shown.join(', ')}${shown.length < known.length ? ', …' : '.'}`
}

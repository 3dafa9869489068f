import { distance } from 'fastest-levenshtein'

/** The names most like `name`, nearest first, at most `count`; what a message about an unknown name suggests. */
export function nearest(name: string, known: Iterable<string>, count = 3): string[] {
  return [...known]
    .map((candidate) => ({ candidate, far: distance(name.toLowerCase(), candidate.toLowerCase()) }))
    .sort((a, b) => a.far - b.far || (a.candidate < b.candidate ? -1 : 1))
    .slice(0, count)
    .map(({ candidate }) => candidate)
}

/** `Did you mean X?` where one known name is close, else the list of names. */
export function suggestion(name: string, known: readonly string[]): string {
  const [best] = nearest(name, known, 1)
  if (
    best !== undefined &&
    distance(name.toLowerCase(), best.toLowerCase()) <= Math.max(2, name.length / 3)
  ) {
    return `Did you mean ${best}?`
  }
  const shown = known.slice(0, 12).join(', ')
  return known.length > 12 ? `Use one of: ${shown}, …` : `Use one of: ${shown}.`
}

/** Where a paper and its charts keep what people read. */
const READ = new Set(['title', 'caption', 'label', 'text', 'small', 'items', 'alt', 'what', 'domain'])

/** Every text of a paper, or of a part of it, that people read. */
export function textsOf(value: unknown, key = ''): string[] {
  if (typeof value === 'string') return READ.has(key) ? [value] : []
  if (Array.isArray(value)) return value.flatMap((each) => textsOf(each, key))
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([name, inner]) => textsOf(inner, name))
}

/** The texts with words in them that one version of a paper shares with another. */
export const sharedTexts = (one: unknown, other: unknown): string[] => {
  const known = new Set(textsOf(other))
  return [...new Set(textsOf(one))].filter((text) => /\p{L}{3}/u.test(text) && known.has(text))
}

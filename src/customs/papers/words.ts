const patterns = new Map<string, RegExp>()

/** Text in lower case, its words separated by single blanks, with a blank at either end. */
export const plainWords = (text: string): string =>
  ` ${text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()} `

/** Does a description say a word or phrase, in singular or plural? */
export function saysWord(text: string, word: string): boolean {
  return wordIn(plainWords(text), word)
}

/** The same for a text that `plainWords` has made plain. */
export function wordIn(plain: string, word: string): boolean {
  const pattern = patterns.get(word) ?? new RegExp(` ${plainWords(word).trim()}(s|es)? `)
  patterns.set(word, pattern)
  return pattern.test(plain)
}

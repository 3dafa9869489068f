// Text from a household's files is data wherever it is shown: never markup, never a formula.

/** Text as it must stand in HTML, XML or SVG, in an element or a quoted attribute. */
export const escapeHtml = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`)

/**
 * A text as the cell of a CSV file that a spreadsheet program will open: quoted where it must be, and with a mark
 * in front where the program would take it for a formula. Numbers stay as they are.
 */
export function csvCell(text: string): string {
  const plain = /^-?\d+(\.\d+)?$/.test(text)
  const safe = !plain && /^[\s]*[=+\-@\t\r]/.test(text) ? `'${text}` : text
  return /[",\n\r;\t]/.test(safe) || safe !== text ? `"${safe.replace(/"/g, '""')}"` : safe
}

/**
 * A built script as it may stand inside a script element: nothing in it ends the element. Only `</script` does, and
 * in a script's text it stands in strings alone; touching every `</` would break regular expressions.
 */
export const scriptText = (script: string): string => script.replace(/<\/(script)/gi, '<\\/$1')

/**
 * Text as it may be printed on a terminal: characters that would move the cursor, change colours or turn the
 * direction of writing are shown by their number, which in a JSON text stays the same character. Line ends and tabs
 * stay.
 */
export const terminalText = (text: string): string =>
  text.replace(TERMINAL, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`)

// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const TERMINAL = /[\u0000-\u0008\u000B-\u001F\u007F-\u009F\u200E\u200F\u202A-\u202E\u2066-\u2069]/g

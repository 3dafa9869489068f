/** Longest text a cell may hold in the open spreadsheet format's common programs. */
const LONGEST_CELL_TEXT = 32_767

/** Whether a spreadsheet program would take a typed text for a formula. */
export const startsLikeFormula = (text: string): boolean => /^[=+\-@\t\r]/.test(text)

// Code points outside the Char production of XML 1.0, and halves of surrogate pairs standing alone.
const notXml =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to drop
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g

/** Text fit for an XML element or attribute: characters that XML 1.0 forbids dropped, the five marks escaped. */
export const xmlText = (text: string): string =>
  text
    .replace(notXml, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&apos;')

/**
 * Text of a cell, line ends as XML has them. Besides escaping, an underscore that opens something like `_x0041_` is itself written as
 * `_x005F_`, because ECMA-376 (ST_Xstring) reads such a run as one character by its number.
 */
export const cellText = (text: string): string =>
  xmlText(text.replace(/\r\n?/g, '\n').slice(0, LONGEST_CELL_TEXT)).replace(
    /_(?=x[0-9A-Fa-f]{4}_)/g,
    '_x005F_',
  )

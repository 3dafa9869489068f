/** A text and, where it was not UTF-8, how its bytes were read. */
export interface DecodedText {
  readonly text: string
  readonly encoding?: string
}

type Decoded =
  | { readonly ok: true; readonly value: DecodedText }
  | { readonly ok: false; readonly found: string; readonly expected: string; readonly fix: string }

/**
 * The text of a CSV file: UTF-8; UTF-16 with its mark, or without where every other byte is 0; Windows-1252 where
 * its bytes mean the same letters in the code page of Central Europe too. Other bytes are no text that anybody could
 * be sure of.
 */
export function textOf(bytes: Uint8Array): Decoded {
  const utf16 = utf16Of(bytes)
  if (utf16) {
    const text = new TextDecoder(utf16).decode(bytes)
    return { ok: true, value: { text, encoding: utf16 === 'utf-16le' ? 'UTF-16' : 'UTF-16, big end first' } }
  }
  try {
    return { ok: true, value: { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) } }
  } catch {
    return windowsText(bytes)
  }
}

function utf16Of(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | undefined {
  if (bytes.length < 2) return undefined
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be'
  // Commas, line ends and digits have a zero beside them: in a table that is at least a tenth of all characters.
  const sample = bytes.subarray(0, 4000)
  let even = 0
  let odd = 0
  for (let at = sample.indexOf(0); at >= 0; at = sample.indexOf(0, at + 1)) {
    if (at % 2 === 0) even += 1
    else odd += 1
  }
  const some = sample.length / 20
  if (odd > some && even === 0) return 'utf-16le'
  if (even > some && odd === 0) return 'utf-16be'
  return undefined
}

const WORD = /[^\s,;"]*[^\p{ASCII}][^\s,;"]*/u

function windowsText(bytes: Uint8Array): Decoded {
  const western = new TextDecoder('windows-1252').decode(bytes)
  const central = new TextDecoder('windows-1250').decode(bytes)
  const expected = 'a text file in UTF-8'
  const fix = 'Save it again from the spreadsheet program as "CSV UTF-8".'
  if (UNLIKE_TEXT.some((pattern) => pattern.test(western)))
    return { ok: false, found: 'bytes that are not UTF-8', expected, fix }
  let at = 0
  while (at < western.length && western[at] === central[at]) at += 1
  if (at === western.length) return { ok: true, value: { text: western, encoding: 'Windows-1252' } }
  const from = Math.max(western.lastIndexOf('\n', at) + 1, at - 30)
  const word = (text: string) => WORD.exec(text.slice(from, at + 30))?.[0] ?? ''
  return {
    ok: false,
    found: `bytes that may be "${word(western)}" or "${word(central)}"`,
    expected,
    fix,
  }
}

/** Signs that bytes are not Windows-1252 at all. */
const UNLIKE_TEXT: readonly RegExp[] = [
  // biome-ignore lint/suspicious/noControlCharactersInRegex: places of the code page that hold no character
  /[\u0000-\u0008\u000E-\u001F\u0080-\u009F]/,
  // Cyrillic, Greek or another script read as Western letters gives words of accented letters alone.
  /[\u00A0-\u00FF]{3}/,
  // The letters of two older code pages stand where this one has quotation marks and rare letters.
  /\p{L}[‚„“”†‡ˆ‰‹]\p{L}|[ŠŽšžŒœŸƒ]/u,
]

/** A container's own number, as painted on its doors: CSQU 305438 3. */
export interface ContainerNumber {
  /** Three letters of the owner or operator. */
  readonly owner: string
  /** U a freight container, J gear that belongs to one, Z a chassis or trailer. */
  readonly category: 'U' | 'J' | 'Z'
  /** Six digits. */
  readonly serial: string
  readonly checkDigit: number
}

/** What a four-character size and type code says of the outside of a container. */
export interface SizeType {
  readonly lengthMm: number
  /** Outside height; undefined where the code only says "more than" or "less than". */
  readonly heightMm: number | undefined
  /** Wider than the 2438 mm of the standard, as pallet-wide boxes are. */
  readonly wide: boolean
  readonly kind: string
  /** The last two characters, as G1. */
  readonly typeCode: string
}

/** A code read, or what is wrong with it and how to put it right. */
export type CodeReading<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly found: string; readonly expected: string; readonly fix: string }

const refuse = (found: string, expected: string, fix: string): CodeReading<never> => ({
  ok: false,
  found,
  expected,
  fix,
})

/** A is 10; counting on from there skips every multiple of 11, so that one wrong letter never cancels out. */
const letterValues: Readonly<Record<string, number>> = Object.fromEntries(
  Array.from({ length: 29 }, (_, i) => i + 10)
    .filter((value) => value % 11 !== 0)
    .map((value, i) => [String.fromCharCode(65 + i), value]),
)

/**
 * Weighted sum of the first ten characters of a container number; weights double from the left, 1 to 512.
 *
 * @param code four letters and six digits
 * @returns a whole number; throws a sentence when the code has another form
 *
 * Source: ISO 6346 annex A. Example: CSQU305438 → 6185.
 */
export function checkSum(code: string): number {
  if (!/^[A-Z]{4}\d{6}$/.test(code)) {
    throw new RangeError(`container number "${code}": expected four capital letters and six digits`)
  }
  return [...code].reduce((sum, char, i) => sum + (letterValues[char] ?? Number(char)) * 2 ** i, 0)
}

/**
 * Check digit of a container number: the weighted sum modulo 11, a remainder of 10 written 0. As 0 and 10 look
 * alike the check is weaker there.
 *
 * @param code four letters and six digits
 *
 * Source: ISO 6346 annex A. Example: CSQU305438 → 3.
 */
export const checkDigit = (code: string): number => (checkSum(code) % 11) % 10

const form = 'three owner letters, U, J or Z, six digits and the check digit, as in CSQU3054383'

/**
 * Reads a container number; spaces, hyphens and small letters are let pass, as papers print them.
 *
 * Source: ISO 6346. Example: "csqu 305438-3" → owner CSQ, category U, serial 305438, check digit 3.
 */
export function parseContainerNumber(text: string): CodeReading<ContainerNumber> {
  const code = text.replace(/[\s-]/g, '').toUpperCase()
  const parts = /^([A-Z]{3})([UJZ])(\d{6})(\d)$/.exec(code)
  const [, owner, category, serial, digit] = parts ?? []
  if (owner === undefined || category === undefined || serial === undefined || digit === undefined) {
    return refuse(text, form, 'Copy all eleven characters from the door or the bill of lading.')
  }
  const due = checkDigit(owner + category + serial)
  if (due !== Number(digit)) {
    return refuse(
      text,
      `check digit ${due}, not ${digit}`,
      'One character is wrong or two are swapped: compare with the door.',
    )
  }
  return { ok: true, value: { owner, category: category as 'U' | 'J' | 'Z', serial, checkDigit: due } }
}

// Code letters of ISO 6346 annex D: definitions, not figures that change.
const lengthsMm: Readonly<Record<string, number>> = {
  1: 2991,
  2: 6058,
  3: 9125,
  4: 12_192,
  L: 13_716,
  M: 14_630,
}
const heightsMm: Readonly<Record<string, number | undefined>> = {
  0: 2438,
  2: 2591,
  4: 2743,
  5: 2896,
  6: undefined,
  8: 1295,
  9: undefined,
}
const wideHeightsMm: Readonly<Record<string, number | undefined>> = {
  C: 2591,
  D: 2743,
  E: 2896,
  F: undefined,
}
const kinds: Readonly<Record<string, string>> = {
  G: 'general purpose',
  V: 'ventilated',
  B: 'dry bulk',
  S: 'named cargo',
  R: 'refrigerated',
  H: 'refrigerated, removable equipment',
  U: 'open top',
  P: 'platform',
  T: 'tank',
  A: 'air and surface',
}

/**
 * Reads a size and type code: length, height and width, kind.
 *
 * Source: ISO 6346:1995 annexes D and E; letters beyond those in everyday use from memory.
 * Example: 45G1 → 12 192 mm long, 2 896 mm high, general purpose. Codes of before 1995, all digits, are refused.
 */
export function readSizeType(text: string): CodeReading<SizeType> {
  const code = text.trim().toUpperCase()
  const expected = 'an ISO 6346 size and type code, as in 22G1, 42G1, 45G1 or L5G1'
  if (/^\d{4}$/.test(code)) {
    return refuse(
      text,
      expected,
      'Codes of four digits are older than 1995: ask the carrier for the new one.',
    )
  }
  const [size = '', height = '', kind = ''] = code
  const lengthMm = lengthsMm[size]
  const wide = Object.hasOwn(wideHeightsMm, height)
  if (code.length !== 4 || lengthMm === undefined || !(wide || Object.hasOwn(heightsMm, height))) {
    return refuse(text, expected, 'Copy the four characters painted below the container number.')
  }
  const kindName = kinds[kind]
  if (kindName === undefined) {
    return refuse(text, expected, `Third character ${kind}: one of ${Object.keys(kinds).join(', ')}.`)
  }
  const heightMm = wide ? wideHeightsMm[height] : heightsMm[height]
  return { ok: true, value: { lengthMm, heightMm, wide, kind: kindName, typeCode: code.slice(2) } }
}

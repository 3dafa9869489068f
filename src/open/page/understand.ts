// Numbers, sizes, money and days as people type them: understood in one way, or refused with a word. Never guessed.

/** What a text means, or why it is not taken. `note` says how it was read where that is not plain from the text. */
export type Understood<T> =
  | { readonly ok: true; readonly value: T; readonly note?: string }
  | { readonly ok: false; readonly why: string }

const refused = (why: string) => ({ ok: false, why }) as const

const GROUPED = /^[+-]?\d{1,3}([.,'\u2019 \u00a0\u2009\u202f])\d{3}(?:\1\d{3})*$/

/**
 * A number with a decimal point or a decimal comma, with or without marks between the thousands.
 *
 * @returns the number with a decimal point and nothing else. `1.200` and `1,200` may be either of two numbers: both
 * are named and neither is taken
 */
export function understoodNumber(typed: string): Understood<string> {
  const text = typed.trim().replaceAll('\u2212', '-')
  if (text === '') return refused('Write a number.')
  if (/^[+-]?\d+$/.test(text)) return taken(text, typed)
  if (/^[+-]?(\d+([.,]\d*)?|[.,]\d+)[eE][+-]?\d{1,2}$/.test(text)) {
    const value = Number(text.replace(',', '.'))
    if (!Number.isFinite(value) || Math.abs(value) >= 1e15) return refused('That number is too large.')
    return noted(plain(value), typed)
  }
  // Blanks and apostrophes part thousands everywhere; a point or comma before three digits may be either sign.
  const spaced = GROUPED.exec(text)
  if (spaced && !/[.,]/.test(spaced[1] ?? '')) return noted(text.replace(/[^\d+-]/g, ''), typed)
  const digits = text.replace(/[\s'\u2019]/g, '')
  if (/^[+-]?\d{1,3}([.,]\d{3}){2,}$/.test(digits)) return sameMark(digits, typed)
  if (/^[+-]?[1-9]\d{0,2}[.,]\d{3}$/.test(digits)) {
    const small = digits.replace(',', '.').replace(/0+$/, '').replace(/\.$/, '')
    return refused(`That may be ${small} or ${digits.replace(/[.,]/, '')}. Write the one you mean.`)
  }
  const mixed = /^([+-]?\d{1,3}(?:([.,])\d{3})+)([.,])(\d+)$/.exec(digits)
  if (mixed && mixed[2] !== mixed[3])
    return noted(`${(mixed[1] ?? '').replace(/[.,]/g, '')}.${mixed[4]}`, typed)
  if (/^[+-]?(\d+[.,]\d*|[.,]\d+)$/.test(digits)) return taken(digits.replace(',', '.'), typed)
  return refused('Write a number alone, such as 2.5 or 2,5.')
}

function sameMark(digits: string, typed: string): Understood<string> {
  const marks = new Set(digits.replace(/[^.,]/g, ''))
  return marks.size === 1
    ? noted(digits.replace(/[.,]/g, ''), typed)
    : refused('Write the number without marks between the thousands.')
}

const plain = (value: number): string => {
  const text = String(value)
  return text.includes('e') ? value.toFixed(12).replace(/\.?0+$/, '') : text
}

function taken(text: string, typed: string): Understood<string> {
  const sign = text.startsWith('-') ? '-' : ''
  const [whole = '', part = ''] = text.replace(/^[+-]/, '').split('.')
  const value = `${sign}${whole.replace(/^0+(?=\d)/, '') || '0'}${part === '' ? '' : `.${part}`}`
  return value === typed.trim().replace(',', '.') ? { ok: true, value } : noted(value, typed)
}

const noted = (value: string, typed: string): Understood<string> =>
  value === typed.trim() ? { ok: true, value } : { ok: true, value, note: `understood as ${value}` }

/** A number between two bounds, in the words of the field. */
export function understoodWithin(typed: string, min: number, max: number, what: string): Understood<string> {
  const read = understoodNumber(typed)
  if (!read.ok) return read
  const value = Number(read.value)
  if (value < min || value > max) return refused(`${what} is from ${min} to ${max}; this is ${read.value}.`)
  return read
}

/** Centimetres in one of a unit of length. Source: the inch is 2.54 cm, the foot 12 inches (international yard, 1959). */
const CM: Readonly<Record<string, number>> = { mm: 0.1, cm: 1, m: 100, in: 2.54, ft: 30.48 }

const UNIT_WORDS: readonly (readonly [RegExp, string])[] = [
  [/^(mm|millimet(?:re|er)s?)$/, 'mm'],
  [/^(cm|centimet(?:re|er)s?)$/, 'cm'],
  [/^(m|met(?:re|er)s?)$/, 'm'],
  [/^(in|inch|inches|"|\u2033|\u201d)$/, 'in'],
  [/^(ft|foot|feet|'|\u2032|\u2019)$/, 'ft'],
]

const unitOf = (word: string): string | undefined => UNIT_WORDS.find(([words]) => words.test(word))?.[1]

/** What a size comes to: three sides, or a volume. Texts as the files hold them. */
export type Size =
  | {
      readonly kind: 'sides'
      readonly length_cm: string
      readonly width_cm: string
      readonly height_cm: string
    }
  | { readonly kind: 'm3'; readonly volume_m3: string }
  | { readonly kind: 'ft3'; readonly volume_ft3: string }

/**
 * A size: three sides in any unit of length (`2 m x 1 m x 40 cm`, `90 x 30 x 180`, `6 ft 7 in × 3 ft × 3 ft`), or a
 * volume (`0.4 m3`, `12 ft³`, `400 l`).
 */
export function understoodSize(typed: string): Understood<Size> {
  const text = typed.trim().toLowerCase()
  if (text === '') return refused('Write three sides, such as 90 x 30 x 180 cm, or a volume, such as 0.4 m3.')
  const volume =
    /^(.*?)\s*(m3|m\u00b3|cbm|cubic met(?:re|er)s?|ft3|ft\u00b3|cu\.? ?ft|cubic feet|l|lit(?:re|er)s?)$/.exec(
      text,
    )
  if (volume) return volumeOf(volume[1] ?? '', volume[2] ?? '')
  const sides = text.split(/\s*(?:[x\u00d7*]|\bby\b)\s*/)
  if (sides.length !== 3) {
    const found = sides.length === 1 ? 'one number' : `${sides.length} sides`
    return refused(
      `That is ${found}. Write length x width x height, such as 2 m x 1 m x 40 cm, or a volume with its unit.`,
    )
  }
  const last = unitOf((/([a-z"'\u2019\u2032\u2033\u201d]+)$/.exec(sides[2] ?? '') ?? [])[1] ?? '')
  const noUnits = !sides.some((side) => /[a-z"'\u2019\u2032\u2033\u201d]/.test(side))
  const lengths = sides.map((side) => lengthCm(side, noUnits ? 'cm' : last))
  const wrong = lengths.find((one) => !one.ok)
  if (wrong && !wrong.ok) return wrong
  const [length_cm = '', width_cm = '', height_cm = ''] = lengths.map((one) => (one.ok ? one.value : ''))
  const value = { kind: 'sides', length_cm, width_cm, height_cm } as const
  return { ok: true, value, note: `understood as ${length_cm} × ${width_cm} × ${height_cm} cm` }
}

function volumeOf(amount: string, unit: string): Understood<Size> {
  const read = understoodNumber(amount)
  if (!read.ok) return read
  if (Number(read.value) <= 0) return refused('A volume is more than 0.')
  if (unit.startsWith('l')) {
    const litres = plain(Number((Number(read.value) / 1000).toPrecision(12)))
    return { ok: true, value: { kind: 'm3', volume_m3: litres }, note: `understood as ${litres} m³` }
  }
  if (/f/.test(unit)) return { ok: true, value: { kind: 'ft3', volume_ft3: read.value } }
  return { ok: true, value: { kind: 'm3', volume_m3: read.value } }
}

/** A length in cm: one number and unit, or feet and inches. */
function lengthCm(side: string, usual: string | undefined): Understood<string> {
  const parts = [...side.trim().matchAll(/([\d.,]+)\s*([a-z"'\u2019\u2032\u2033\u201d]*)\s*/g)]
  if (parts.length === 0 || parts.map(([whole]) => whole).join('') !== side.trim().replace(/\s+$/, ''))
    return refused(`“${side.trim()}” is no length. Write a number and a unit: mm, cm, m, in or ft.`)
  let sum = 0
  for (const [, amount = '', word = ''] of parts) {
    const unit = word === '' ? usual : unitOf(word)
    if (unit === undefined)
      return refused(`“${word || side.trim()}” is no unit of length. Write mm, cm, m, in or ft.`)
    const read = understoodNumber(amount)
    if (!read.ok) return read
    sum += Number(read.value) * (CM[unit] ?? 1)
  }
  if (!(sum > 0)) return refused('A side is longer than 0.')
  if (sum > 1400)
    return refused(`${plain(sum)} cm is longer than any container: 1400 cm at most. Check the unit.`)
  return { ok: true, value: plain(Number(sum.toFixed(4))) }
}

/** Kilograms in one of a unit of mass. Source: the pound is 0.45359237 kg (international yard and pound, 1959). */
const KG: Readonly<Record<string, number>> = {
  kg: 1,
  g: 0.001,
  lb: 0.45359237,
  lbs: 0.45359237,
  oz: 0.028349523125,
  st: 6.35029318,
}

/** A mass in kg: a number alone is kilograms. */
export function understoodMass(typed: string): Understood<string> {
  const match = /^(.*?)\s*(kg|g|lbs?|oz|st)?$/i.exec(typed.trim())
  const unit = (match?.[2] ?? 'kg').toLowerCase()
  const read = understoodNumber(match?.[1] ?? '')
  if (!read.ok) return read
  const kg = plain(Number((Number(read.value) * (KG[unit] ?? 1)).toFixed(4)))
  if (Number(kg) < 0 || Number(kg) > 5000) return refused(`A mass is from 0 to 5000 kg; this is ${kg}.`)
  return unit === 'kg' ? read : { ok: true, value: kg, note: `understood as ${kg} kg` }
}

/** Money: an amount, with a currency where it is not the household's. */
export interface Amount {
  readonly amount: string
  readonly currency?: string
}

const SIGNS: Readonly<Record<string, string>> = { '\u20ac': 'EUR', '\u00a3': 'GBP', z\u0142: 'PLN' }

export function understoodMoney(typed: string): Understood<Amount> {
  const text = typed.trim()
  if (/[$\u00a5]/.test(text))
    return refused('Several countries use that sign. Write the code, such as USD 40.')
  const match = /^([A-Za-z]{3}|\u20ac|\u00a3|z\u0142)?\s*(.*?)\s*([A-Za-z]{3}|\u20ac|\u00a3|z\u0142)?$/.exec(
    text,
  )
  const mark = match?.[1] ?? match?.[3]
  const read = understoodNumber(match?.[2] ?? '')
  if (!read.ok) return read
  if (Number(read.value) < 0) return refused('An amount is 0 or more.')
  const currency = mark === undefined ? undefined : (SIGNS[mark] ?? mark.toUpperCase())
  const value = { amount: read.value, ...(currency === undefined ? {} : { currency }) }
  return read.note === undefined ? { ok: true, value } : { ok: true, value, note: read.note }
}

/** A day as year-month-day from what people type; a date that may be two days is refused with both. */
export function understoodDay(typed: string): Understood<string> {
  const text = typed.trim()
  const iso = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(text)
  if (iso) return dayOf(Number(iso[1]), Number(iso[2]), Number(iso[3]), text)
  const other = /^(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4})$/.exec(text)
  if (!other) return refused('Write the day as year-month-day, such as 2027-02-24.')
  const [a, b, year] = [Number(other[1]), Number(other[2]), Number(other[3])]
  if (a <= 12 && b <= 12 && a !== b) {
    return refused(`That may be ${isoDay(year, b, a)} or ${isoDay(year, a, b)}. Write the one you mean.`)
  }
  return b <= 12 ? dayOf(year, b, a, text) : dayOf(year, a, b, text)
}

const isoDay = (year: number, month: number, day: number): string =>
  `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`

function dayOf(year: number, month: number, day: number, typed: string): Understood<string> {
  const date = new Date(Date.UTC(year, month - 1, day))
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day)
    return refused('The calendar has no such day.')
  const value = isoDay(year, month, day)
  return value === typed ? { ok: true, value } : { ok: true, value, note: `understood as ${value}` }
}

/** Free text as it may stand in a table that a spreadsheet program opens. */
export function understoodText(typed: string): Understood<string> {
  const text = typed.trim()
  if (/^[=@]/.test(text) || /^[+-](?!\d)/.test(text))
    return refused('Begin with a letter or a digit: a spreadsheet program would take this for a formula.')
  if (text.length > 500) return refused('That is longer than 500 characters.')
  return { ok: true, value: text }
}

import { Temporal } from 'temporal-polyfill'

// Numbers and dates as people and their spreadsheet programs write them. Where a cell can be read in one way only it
// is read; where it can be read in two ways both are named and nobody guesses.

/** A calendar date as ISO 8601 writes it, `2026-03-31`; such texts sort as the days do. */
export type IsoDate = string

const PLAIN = /^[+-]?(\d+(\.\d*)?|\.\d+)$/
/** No figure of a household is longer; patterns are not tried on what is. */
const LONGEST = 40

export const isPlainNumber = (text: string): boolean => text.length <= LONGEST && PLAIN.test(text)

/**
 * Every number a cell may mean, as plain text with a decimal point: none if it is no number, two where the one mark
 * in it may be a decimal mark or part thousands.
 *
 * @param decimalComma does the file say that its decimal mark is the comma
 *
 * Examples: `2 800,00` → 2800.00; `1.234,50` → 1234.50; `1,234` → 1234 and 1.234; `0,125` → 0.125.
 */
export function numberReadings(cell: string, decimalComma: boolean): readonly string[] {
  if (cell.length > LONGEST) return []
  const text = cell.replace('\u2212', '-')
  if (/^[+-]?[1-9]\d{0,2}\.\d{3}$/.test(text) && decimalComma) return [text.replace('.', ''), text]
  if (PLAIN.test(text)) return [text]
  if (/^[+-]?\d*,\d+$/.test(text)) {
    const decimal = text.replace(',', '.')
    const thousands = /^[+-]?[1-9]\d{0,2},\d{3}$/.test(text)
    return thousands && !decimalComma ? [text.replace(',', ''), decimal] : [decimal]
  }
  // With a mark between thousands, what follows the other one is the fraction.
  for (const [mark, grouped] of [
    [
      /[ \u00A0\u2009\u202F'\u2019]/g,
      /^[+-]?\d{1,3}([ \u00A0\u2009\u202F'\u2019])\d{3}(\1\d{3})*([.,]\d+)?$/,
    ],
    [/\./g, /^[+-]?\d{1,3}(\.\d{3})+,\d+$|^[+-]?\d{1,3}(\.\d{3}){2,}$/],
    [/,/g, /^[+-]?\d{1,3}(,\d{3})+\.\d+$|^[+-]?\d{1,3}(,\d{3}){2,}$/],
  ] as const) {
    if (grouped.test(text)) return [text.replace(mark, '').replace(',', '.')]
  }
  return []
}

/** Could this number of a file whose lists are separated by semicolons be thousands? There `1.100` is often 1100. */
export const mayBeThousands = (cell: string): boolean => /^[+-]?[1-9]\d{0,2}\.\d{3}$/.test(cell)

/** Whether a text is a day that the calendar has, written year-month-day. */
export function isDay(text: string): text is IsoDate {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false
  try {
    return Temporal.PlainDate.from(text).toString() === text
  } catch {
    return false
  }
}

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']

function day(year: string, month: string | number, date: string): readonly IsoDate[] {
  const text = `${year}-${String(month).padStart(2, '0')}-${date.padStart(2, '0')}`
  return isDay(text) ? [text] : []
}

/**
 * Every day a cell may mean, as year-month-day: none if it is no day, two where day and month may change places.
 *
 * Examples: `27/02/2027` → 2027-02-27; `02/03/2027` → 2027-03-02 and 2027-02-03; `2.3.2027` → 2027-03-02, as
 * points are only used with the day first; `2 March 2027`.
 */
export function dateReadings(cell: string): readonly IsoDate[] {
  if (cell.length > LONGEST) return []
  const text = cell.replace(/[T ]00:00(:00(\.0+)?)?Z?$/, '')
  const iso = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})$/.exec(text)
  if (iso) return day(iso[1] ?? '', iso[3] ?? '', iso[4] ?? '')
  const points = /^(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})$/.exec(text)
  if (points) return day(points[3] ?? '', points[2] ?? '', points[1] ?? '')
  const strokes = /^(\d{1,2})([-/])(\d{1,2})\2(\d{4})$/.exec(text)
  if (strokes) {
    const [, first = '', , second = '', year = ''] = strokes
    return [...new Set([...day(year, second, first), ...day(year, first, second)])]
  }
  const named =
    /^(?<date>\d{1,2})(?:st|nd|rd|th)?[-. ]+(?<month>[a-z]{3,9})[-.,]? *(?<year>\d{4})$/i.exec(text) ??
    /^(?<month>[a-z]{3,9})[. ]+(?<date>\d{1,2})(?:st|nd|rd|th)?,? +(?<year>\d{4})$/i.exec(text)
  const { date = '', month = '', year = '' } = named?.groups ?? {}
  const number = MONTHS.indexOf(month.slice(0, 3).toLowerCase()) + 1
  return number > 0 && isMonthName(month, number) ? day(year, number, date) : []
}

const FULL = 'january february march april may june july august september october november december'.split(
  ' ',
)
const isMonthName = (word: string, number: number): boolean =>
  word.length === 3 || (FULL[number - 1] ?? '').startsWith(word.toLowerCase())

/** The day a spreadsheet program keeps as a bare number, where a cell looks like one (1970 to 2070). */
export function serialDay(cell: string): IsoDate | undefined {
  if (!/^\d{5}$/.test(cell)) return undefined
  const days = Number(cell)
  if (days < 25_569 || days > 62_000) return undefined
  return Temporal.PlainDate.from('1899-12-30').add({ days }).toString()
}

import type { Decimal } from 'decimal.js'
import { z } from 'zod'
import { Exact } from '../quantity/exact.js'
import { suggestion } from './nearest.js'
import { short } from './problem.js'
import { dateReadings, type IsoDate, isPlainNumber, numberReadings, serialDay } from './written.js'

export { type IsoDate, isDay } from './written.js'

/** What a column holds, for the template, the description of the files and the messages. */
export interface FieldFacts {
  readonly description: string
  readonly example: string
  readonly unit?: string
  readonly required?: boolean
  readonly kind?: 'number' | 'text' | 'date' | 'choice' | 'list' | 'yes-no'
  readonly allowed?: readonly string[]
  /** The least and the greatest number it may be, both included. */
  readonly min?: Decimal.Value
  readonly max?: Decimal.Value
}

export type Field<T> = z.ZodType<T, string>

/** Reads the text of one cell; a text answer says what was expected and what to type instead. */
type Reading<T> = { readonly value: T } | { readonly expected: string; readonly fix: string }

function field<T>(facts: FieldFacts, read: (text: string) => Reading<T>): Field<T> {
  return z
    .string()
    .transform((text, ctx) => {
      const reading = text === '' ? blank(facts) : read(text)
      if ('value' in reading) return reading.value
      ctx.issues.push({
        code: 'custom',
        input: text,
        message: reading.expected,
        params: { fix: reading.fix },
      })
      return z.NEVER
    })
    .meta({ required: true, ...facts })
}

const blank = (facts: FieldFacts) => ({
  expected: `${facts.description}, which must be given`,
  fix: `Write for example ${facts.example}.`,
})

/** The same field where a blank cell means "not known" or "as usual". */
export function optional<T>(inner: Field<T>): Field<T | undefined> {
  return z
    .string()
    .transform((text, ctx) => {
      if (text === '') return undefined
      const read = inner.safeParse(text)
      if (read.success) return read.data
      for (const issue of read.error.issues) ctx.issues.push({ ...issue, input: text } as never)
      return z.NEVER
    })
    .meta({ ...inner.meta(), required: false })
}

/** What a description of a field's facts is for readers outside this folder. */
export const factsOf = (schema: z.ZodType): FieldFacts => schema.meta() as unknown as FieldFacts

/** No figure of a move is greater; what is, is a slip, and would drown every total it gets into. */
export const GREATEST = 1e12

/** A decimal number, read exactly as written. Bounds are inclusive. */
export function number(facts: FieldFacts & { whole?: boolean }): Field<Decimal> {
  const { whole, ...shown } = facts
  const { min, max } = facts
  const wanted = [
    whole ? 'a whole number' : 'a number',
    facts.unit && facts.unit !== '1' ? `of ${facts.unit}` : '',
    min !== undefined && max !== undefined
      ? `from ${min} to ${max}`
      : min !== undefined
        ? `, ${min} or more`
        : '',
  ]
  const expected = wanted.filter(Boolean).join(' ').replace(' ,', ',')
  return field({ ...shown, kind: 'number' }, (text) => {
    const wrong = (fix: string): Reading<Decimal> => ({ expected, fix })
    if (!isPlainNumber(text)) return wrong(numberFix(text, facts))
    const value = new Exact(text)
    if (whole && !value.isInteger()) return wrong(`Write a whole number, as in ${facts.example}.`)
    if ((min !== undefined && value.lt(min)) || (max !== undefined && value.gt(max))) {
      return wrong(`Write a number inside that range, as in ${facts.example}.`)
    }
    if (value.abs().gt(GREATEST)) {
      return { expected: `${expected}, and no more than a million million`, fix: `As in ${facts.example}.` }
    }
    return { value }
  })
}

/** What to type instead of a cell that is no number. */
function numberFix(text: string, facts: FieldFacts): string {
  if (text.length > 40) return `Write a number of fewer digits, as in ${facts.example}.`
  if (/\d *(m|cm|mm|ft|in)? *[x×*] *\d/i.test(text)) {
    return 'Sizes like 2 m x 1 m go into length_cm, width_cm and height_cm: one number in each, as in 200.'
  }
  const percent = /^([\d.,]+) *%$/.exec(text)
  const share = percent && numberReadings(percent[1] ?? '', false)
  if (share?.length === 1) return `Write the share of one: ${new Exact(share[0] ?? 0).div(100)}.`
  // What is left when the unit or the currency is taken away; a lone comma in it is a decimal comma.
  const rest = text
    .replace(/^[^\d.,+-]+|[^\d.,]+$/g, '')
    .trim()
    .replace(/^([+-]?\d*),(\d+)$/, '$1.$2')
  return `Write the number alone, as in ${isPlainNumber(rest) ? rest : facts.example}.`
}

/**
 * Codes one after another, separated by |, each as an open standard writes it.
 *
 * @param read says of one code how it is written, or what is wrong with it
 */
export function codes(
  read: (code: string) => { readonly code: string } | { readonly expected: string; readonly fix: string },
  facts: FieldFacts,
): Field<readonly string[]> {
  return z
    .string()
    .transform((value, ctx): readonly string[] => {
      const found: string[] = []
      for (const part of value.split('|').filter((each) => each.trim() !== '')) {
        const reading = read(part.trim())
        if ('code' in reading) {
          found.push(reading.code)
          continue
        }
        const fix = `${short(part.trim(), 24)}: ${reading.fix}`
        ctx.issues.push({ code: 'custom', input: value, message: reading.expected, params: { fix } })
        return z.NEVER
      }
      return found
    })
    .meta({ ...facts, required: false, kind: 'list' })
}

/** A whole number small enough to count with. */
export function count(facts: FieldFacts & { min?: number; max?: number }): Field<number> {
  return number({ ...facts, whole: true, max: facts.max ?? 1_000_000 })
    .transform((value) => value.toNumber())
    .meta({ required: true, ...facts, kind: 'number' }) as Field<number>
}

/** A whole number, or the one word that stands where no number does. */
export function countOr<const W extends string>(
  word: W,
  facts: FieldFacts & { min?: number; max?: number },
): Field<number | W> {
  const whole = count(facts)
  return field<number | W>({ ...facts, kind: 'text' }, (text) => {
    if (text === word) return { value: word }
    const read = whole.safeParse(text)
    if (read.success) return { value: read.data }
    return { expected: `a whole number, or the words ${word}`, fix: `Write for example ${facts.example}.` }
  })
}

/** Control characters but for tab and new line: no spreadsheet, page or terminal shows what they do. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const CONTROL = /[\u0000-\u0008\u000B-\u001F\u007F-\u009F]/

/** Free text of at most `longest` characters; it is data everywhere it is shown. */
export function text(facts: FieldFacts, longest = 2000): Field<string> {
  return field({ ...facts, kind: 'text' }, (value) => {
    if (CONTROL.test(value)) {
      return { expected: 'text without control characters', fix: 'Type the cell again.' }
    }
    return value.length <= longest
      ? { value }
      : { expected: `at most ${longest} characters`, fix: `Found ${value.length}: shorten it.` }
  })
}

/** The short name of a row or of a room, by which other files and every list call it: one line. */
export function mark(facts: FieldFacts): Field<string> {
  return field({ ...facts, kind: 'text' }, (value) =>
    value.length <= LONGEST_MARK && !CONTROL.test(value) && !value.includes('\n')
      ? { value }
      : {
          expected: `a name of at most ${LONGEST_MARK} characters on one line`,
          fix: `Write for example ${facts.example}.`,
        },
  )
}
const LONGEST_MARK = 80

/** The word of a list, whichever letters of it are capitals. */
export const wordOf = <W extends string>(allowed: readonly W[], value: string): W | undefined =>
  allowed.find((word) => word === value) ?? allowed.find((word) => word.toLowerCase() === value.toLowerCase())

/** One of a fixed list of words. */
export function oneOf<const T extends readonly [string, ...string[]]>(
  allowed: T,
  facts: FieldFacts,
): Field<T[number]> {
  return field<T[number]>({ ...facts, kind: 'choice', allowed }, (value) => {
    const word = wordOf(allowed, value)
    return word === undefined
      ? { expected: `one of ${allowed.join(', ')}`, fix: suggestion(value, allowed) }
      : { value: word }
  })
}

/** Several words of a fixed list, separated by `|`. A blank cell is an empty list. */
export function someOf<const T extends readonly [string, ...string[]]>(
  allowed: T,
  facts: FieldFacts,
): Field<readonly T[number][]> {
  return z
    .string()
    .transform((value, ctx): readonly T[number][] => {
      const words: T[number][] = []
      for (const word of value.split('|').map((part) => part.trim())) {
        if (word === '') continue
        const known = wordOf<T[number]>(allowed, word)
        if (known !== undefined) {
          if (!words.includes(known)) words.push(known)
          continue
        }
        const message = `words of the list ${allowed.join(', ')}, separated by |`
        const fix = `${short(word, 24)}: ${suggestion(word, allowed)}`
        ctx.issues.push({ code: 'custom', input: value, message, params: { fix } })
        return z.NEVER
      }
      return words
    })
    .meta({ ...facts, required: false, kind: 'list', allowed })
}

/** `yes` or `no`. */
export function yesNo(facts: FieldFacts): Field<boolean> {
  return oneOf(['yes', 'no'], facts)
    .transform((word) => word === 'yes')
    .meta({ required: true, ...facts, kind: 'yes-no' }) as Field<boolean>
}

/** A day of the calendar, as ISO 8601 writes it, or as a spreadsheet program shows it where that has one reading. */
export function date(facts: FieldFacts): Field<IsoDate> {
  return field({ ...facts, kind: 'date' }, (value) => {
    const [one, other] = dateReadings(value)
    if (one !== undefined && other === undefined) return { value: one }
    const expected = 'a date as year-month-day'
    if (one !== undefined) return { expected, fix: `Write ${one} or ${other}, whichever is meant.` }
    const serial = serialDay(value)
    if (serial !== undefined) {
      return { expected, fix: `It is how a spreadsheet keeps a day, perhaps ${serial}: write that.` }
    }
    return /^\d{4}-\d{2}-\d{2}$/.test(value)
      ? { expected: 'a day that the calendar has', fix: `Write for example ${facts.example}.` }
      : { expected, fix: `Write for example ${facts.example}.` }
  })
}

/** A code such as ISO 4217's currencies: capital letters and digits in a fixed pattern. */
export function code(pattern: RegExp, what: string, facts: FieldFacts): Field<string> {
  return field({ ...facts, kind: 'text' }, (value) => {
    const capitals = value.length < 20 ? value.toUpperCase() : value
    return pattern.test(capitals)
      ? { value: capitals }
      : { expected: what, fix: `Write for example ${facts.example}.` }
  })
}

import type { Decimal } from 'decimal.js'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { Exact } from '../quantity/exact.js'
import { suggestion } from './nearest.js'

/** A calendar date as ISO 8601 writes it, `2026-03-31`; such texts sort as the days do. */
export type IsoDate = string

/** What a column holds, for the template, the description of the files and the messages. */
export interface FieldFacts {
  readonly description: string
  readonly example: string
  readonly unit?: string
  readonly required?: boolean
  readonly kind?: 'number' | 'text' | 'date' | 'choice' | 'list' | 'yes-no'
  readonly allowed?: readonly string[]
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

const plainNumber = /^[+-]?(\d+(\.\d*)?|\.\d+)$/

/** A decimal number, read exactly as written. Bounds are inclusive. */
export function number(
  facts: FieldFacts & { min?: Decimal.Value; max?: Decimal.Value; whole?: boolean },
): Field<Decimal> {
  const { min, max, whole, ...shown } = facts
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
    if (!plainNumber.test(text)) {
      // A lone comma is a decimal comma here: dropping it would suggest ten times the figure or more.
      const digits = text.replace(/^([^.,]*),([^.,]*)$/, '$1.$2').replace(/[^\d.]/g, '')
      if (/^[\d.]*,\d+$/.test(text)) {
        return wrong(
          `Write ${text.replace(/\./g, '').replace(',', '.')}, or put "# decimal: comma" in the first line of the file.`,
        )
      }
      return wrong(`Write the number alone, as in ${plainNumber.test(digits) ? digits : facts.example}.`)
    }
    const value = new Exact(text)
    if (whole && !value.isInteger()) return wrong(`Write a whole number, as in ${facts.example}.`)
    if ((min !== undefined && value.lt(min)) || (max !== undefined && value.gt(max))) {
      return wrong(`Write a number inside that range, as in ${facts.example}.`)
    }
    return { value }
  })
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

/** Free text; it is data everywhere it is shown. */
export function text(facts: FieldFacts): Field<string> {
  return field({ ...facts, kind: 'text' }, (value) => ({ value }))
}

/** One of a fixed list of words. */
export function oneOf<const T extends readonly [string, ...string[]]>(
  allowed: T,
  facts: FieldFacts,
): Field<T[number]> {
  return field<T[number]>({ ...facts, kind: 'choice', allowed }, (value) =>
    (allowed as readonly string[]).includes(value)
      ? { value }
      : { expected: `one of ${allowed.join(', ')}`, fix: suggestion(value, allowed) },
  )
}

/** Several words of a fixed list, separated by `|`. A blank cell is an empty list. */
export function someOf<const T extends readonly [string, ...string[]]>(
  allowed: T,
  facts: FieldFacts,
): Field<readonly T[number][]> {
  return z
    .string()
    .transform((value, ctx): readonly T[number][] => {
      const words = value.split('|').flatMap((word) => (word.trim() === '' ? [] : [word.trim()]))
      for (const word of words) {
        if ((allowed as readonly string[]).includes(word)) continue
        const message = `words of the list ${allowed.join(', ')}, separated by |`
        ctx.issues.push({ code: 'custom', input: value, message, params: { fix: suggestion(word, allowed) } })
        return z.NEVER
      }
      return words as T[number][]
    })
    .meta({ ...facts, required: false, kind: 'list', allowed })
}

/** `yes` or `no`. */
export function yesNo(facts: FieldFacts): Field<boolean> {
  return oneOf(['yes', 'no'], facts)
    .transform((word) => word === 'yes')
    .meta({ required: true, ...facts, kind: 'yes-no' }) as Field<boolean>
}

/** Whether a text is a day that the calendar has, written year-month-day. */
export function isDay(text: string): text is IsoDate {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false
  try {
    return Temporal.PlainDate.from(text).toString() === text
  } catch {
    return false
  }
}

/** A day of the calendar, as ISO 8601 writes it. */
export function date(facts: FieldFacts): Field<IsoDate> {
  return field({ ...facts, kind: 'date' }, (value) => {
    const wrong = { expected: 'a date as year-month-day', fix: `Write for example ${facts.example}.` }
    if (isDay(value)) return { value }
    return /^\d{4}-\d{2}-\d{2}$/.test(value) ? { ...wrong, expected: 'a day that the calendar has' } : wrong
  })
}

/** A code such as ISO 4217's currencies: capital letters and digits in a fixed pattern. */
export function code(pattern: RegExp, what: string, facts: FieldFacts): Field<string> {
  return field({ ...facts, kind: 'text' }, (value) =>
    pattern.test(value) ? { value } : { expected: what, fix: `Write for example ${facts.example}.` },
  )
}

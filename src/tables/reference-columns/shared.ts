/** Columns and kinds of cell that several reference tables have. */
import { code, count, date, number, oneOf, optional, text } from '../fields.js'

/** How a figure or a rule was confirmed, the surest way first. */
export const CONFIRMED = ['looked up', 'secondary', 'from memory', 'common practice'] as const

/** What every reference row ends with: where it is from, how sure we are, when somebody last looked. */
export const provenance = {
  source: text({ description: 'where the row comes from', example: 'ISO 668' }),
  confirmed: oneOf(CONFIRMED, {
    description: 'how sure we are',
    example: 'looked up',
  }),
  still_true_on: optional(
    date({
      description: 'the last day somebody looked at the row; from memory: the day it was written down',
      example: '2026-11-25',
    }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
}

/** A price's time: the days it holds, and how long after somebody looked it is still to be trusted. */
export const dated = {
  from: optional(date({ description: 'the first day it holds; blank: not known', example: '2026-01-01' })),
  until: optional(date({ description: 'the last day it holds; blank: still', example: '2026-12-31' })),
}
export const goodForDays = {
  good_for_days: optional(
    count({ description: 'days after still_true_on for which it may be relied on', example: '90', min: 0 }),
  ),
}

export const id = text({ description: 'stable id', example: 'labour.packing' })
export const label = text({ description: 'name for people', example: 'Packing' })
export const positive = (description: string, unit: string) =>
  number({ description, unit, example: '1', min: 0 })
export const range = {
  low: optional(number({ description: 'the least it may be', example: '1' })),
  likely: number({ description: 'what it most likely is', example: '2' }),
  high: optional(number({ description: 'the most it may be', example: '3' })),
}
export const optionalRange = { ...range, likely: optional(range.likely) }
export const currency = code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', {
  description: 'currency',
  example: 'USD',
})

export const where = optional(
  text({
    description: 'countries it is for: to:US, from:GB, not-to:AU, separated by |; blank: everywhere',
    example: 'to:US',
  }),
)

/** What columns of several customs tables have in common: words, and kinds of cell. */
import { z } from 'zod'
import { date, number, oneOf, optional, text } from '../tables/fields.js'
import { CONFIRMED } from '../tables/reference-columns/shared.js'

/** What can be levied on import, each with its own relief. */
export const LEVIES = ['duty', 'excise', 'tax', 'fee'] as const
export type Levy = (typeof LEVIES)[number]

/** What a relief row is about: household goods, or a vehicle by its kind. */
export const KINDS = ['goods', 'car', 'motorcycle', 'trailer', 'boat'] as const
export type Kind = (typeof KINDS)[number]

/** What every row ends with: where the rule is published, how sure we are, when somebody last looked. */
export const provenance = {
  source: text({ description: 'where the rule is published', example: 'Regulation (EC) 1186/2009 art. 4' }),
  confirmed: oneOf(CONFIRMED, {
    description: 'how the row was confirmed',
    example: 'looked up',
  }),
  still_true_on: optional(
    date({
      description: 'the last day somebody looked; from memory: the day it was written down',
      example: '2026-11-25',
    }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
}

/** The days a rule holds. */
export const dated = {
  from: optional(
    date({ description: 'first day the rule holds; blank: start not known', example: '2026-02-02' }),
  ),
  until: optional(
    date({ description: 'last day the rule holds; blank: still in force', example: '2026-02-01' }),
  ),
}

/** Words separated by |. */
export const words = (description: string, example: string) =>
  z
    .string()
    .transform((cell): readonly string[] =>
      cell.split('|').flatMap((word) => (word.trim() === '' ? [] : [word.trim()])),
    )
    .meta({ description, example, required: false, kind: 'list' })

export const maybe = (description: string, example: string) => optional(text({ description, example }))
export const id = (description: string, example: string) => text({ description, example })
export const share = (description: string, example: string) =>
  number({ description, example, min: 0, max: 10, unit: '1' })

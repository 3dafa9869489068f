/** Single figures by id: what plans read, what backs them, what a load plan assumes, what `check` questions. */
import { z } from 'zod'
import { date, number, oneOf, optional, text } from '../fields.js'
import { goodForDays, id, label, positive, provenance, range, where } from './shared.js'

export const figureColumns = z.object({
  id,
  label,
  ...range,
  unit: text({ description: 'unit', example: 'm3' }),
  where,
  from: optional(date({ description: 'the day it became true', example: '2007-07-01' })),
  until: optional(date({ description: 'the last day it was true', example: '2007-07-01' })),
  ...goodForDays,
  only_for: optional(
    oneOf(['vehicles', 'quotes', 'unweighed goods', 'roads of Europe'], {
      description: 'the households it can matter to; blank: all',
      example: 'vehicles',
    }),
  ),
  ...provenance,
})

/** Figures that no plan reads: formulas of their own take them, and they back the figures that plans do read. */
export const backgroundColumns = figureColumns.omit({ where: true, only_for: true })

/** What a load plan assumes of pieces, cartons and vehicles: a row a figure, named by id. */
export const stowageColumns = z.object({
  id,
  label,
  value: positive('the figure', 'as in the column unit'),
  unit: text({ description: 'unit', example: 'kg' }),
  ...provenance,
})

/** Between which figures nobody asks again; outside them `check` questions the cell, and confirmed.csv answers. */
export const likelyColumns = z.object({
  id,
  label,
  low: number({ description: 'below this it is questioned', example: '0.01' }),
  high: number({ description: 'above this it is questioned', example: '400' }),
  unit: text({ description: 'unit', example: 'kg' }),
  ...provenance,
})

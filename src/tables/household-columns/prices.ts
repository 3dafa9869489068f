import { z } from 'zod'
import { count, date, mark, number, oneOf, optional, text } from '../fields.js'
import { currency } from './money-and-places.js'

/** Who carries out or pays for a service. */
export const PROVIDERS = ['mover', 'self', 'friends', 'hired', 'employer', 'none'] as const
export type Provider = (typeof PROVIDERS)[number]

/** services.csv: who does each service when service_level is `own`, and prices already quoted. */
export const serviceColumns = z.object({
  service: mark({ description: 'a service of data/reference/services.csv', example: 'packing' }),
  provider: oneOf(PROVIDERS, { description: 'who does it', example: 'self' }),
  friends: optional(
    count({
      description: 'friends who help with this job, where they do it; blank: 3',
      example: '4',
      min: 1,
    }),
  ),
  hired: optional(
    count({ description: 'hands hired by the day for it, where they do it; blank: 3', example: '2', min: 1 }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** rates.csv: the household's own figures, instead of the reference ones. */
export const rateColumns = z.object({
  id: mark({
    description: 'the input this figure replaces (quaybook compare --inputs lists them)',
    example: 'price.freight.45G1',
  }),
  low: optional(number({ description: 'the least it may be', example: '3400' })),
  likely: number({ description: 'what it most likely is', example: '3700' }),
  high: optional(number({ description: 'the most it may be', example: '4000' })),
  currency: optional(currency('currency of an amount of money; blank: the household currency')),
  source: optional(
    text({ description: 'where the figure comes from', example: 'carrier quote of 3 November' }),
  ),
})

/** exchange.csv: dated exchange rates. */
export const exchangeColumns = z.object({
  from: currency('one unit of this currency'),
  to: currency('is worth so many of this'),
  rate: number({ description: 'units of the second for one of the first', example: '0.0861', min: 0.000001 }),
  on: date({ description: 'the day the rate stood', example: '2026-11-20' }),
  source: optional(text({ description: 'whose rate', example: 'central bank reference rate' })),
})

/** quotes.csv: movers' quotes, a row a price. A price for several services together names them all. */
export const quoteColumns = z.object({
  quote: mark({ description: 'a short mark for the quote', example: 'Q1' }),
  volume_m3: number({
    description: 'the volume the quote is made for; the same in all its rows',
    example: '46',
    min: 0.1,
    max: 1000,
    unit: 'm3',
  }),
  services: text({
    description: 'the services the price is for: rows of data/reference/services.csv, separated by |',
    example: 'packing|materials',
  }),
  price: number({ description: 'the price', example: '2400', min: 0 }),
  currency: optional(currency('currency of the price; blank: the household currency')),
  note: optional(
    text({
      description: 'what the quote says in small print',
      example: 'stairs above the first floor extra',
    }),
  ),
})

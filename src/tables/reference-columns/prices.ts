/** What work, carriage and waiting cost, and who does what at which service level. */
import { z } from 'zod'
import { code, count, number, oneOf, optional, someOf, text, yesNo } from '../fields.js'
import { PROVIDERS } from '../household-columns/prices.js'
import {
  currency,
  dated,
  goodForDays,
  id,
  label,
  optionalRange,
  positive,
  provenance,
  range,
  where,
} from './shared.js'

export const wageColumns = z.object({
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'PL' }),
  label,
  who: oneOf(['movers', 'whole economy'], {
    description: 'whose pay it is: of movers where a statistic has it',
    example: 'whole economy',
  }),
  ...range,
  currency,
  year: count({ description: 'year of the figure', example: '2024', min: 1990 }),
  kind: oneOf(['labour cost', 'wage'], {
    description: 'with or without the employer contribution',
    example: 'labour cost',
  }),
  growth: positive('yearly rise from then to the year of the move, a share of one', '1'),
  ...provenance,
})

export const DRIVERS = [
  'fixed',
  'consignment',
  'm3',
  'crew-hour',
  'hour',
  'container',
  'container-day',
  'teu',
  'day',
  'door',
  'percentage',
  'event',
  'm3-month',
  'each',
] as const
export const PHASES = ['origin', 'crossing', 'destination'] as const

export const serviceColumns = z.object({
  id,
  label,
  phase: oneOf(PHASES, { description: 'part of the move', example: 'origin' }),
  driver: oneOf(DRIVERS, { description: 'what the price is multiplied with', example: 'container' }),
  ...optionalRange,
  currency: optional(currency),
  per: optional(text({ description: 'unit of the price', example: 'container' })),
  groupage_driver: optional(oneOf(DRIVERS, { description: 'driver in a shared container', example: 'm3' })),
  groupage_low: optionalRange.low,
  groupage_likely: optionalRange.likely,
  groupage_high: optionalRange.high,
  minimum: optional(positive('least charge', '1')),
  counts: optional(
    text({
      description:
        'what the driver counts, where it is not the usual: a cell or an input of the plan; for a percentage the services, or the phase, that it is a share of',
      example: 'volume.crated',
    }),
  ),
  where,
  in_all_in: yesNo({
    description: 'is it inside a freight price that is all-in, so that it is not charged again',
    example: 'no',
  }),
  in_every_quote: yesNo({
    description: "is it inside every mover's price, so that a quote which does not name it has it",
    example: 'no',
  }),
  self_pays: optional(
    number({
      description: 'share of the price left to pay when the household does it',
      example: '0',
      min: 0,
      max: 1,
      unit: '1',
    }),
  ),
  providers: someOf(PROVIDERS, { description: 'who may do it', example: 'mover|self' }),
  carriage: yesNo({
    description:
      'does the price hang on how the goods are carried: a part of the carriage cost of each option',
    example: 'no',
  }),
  customs_value: oneOf(['border', 'inland', 'none'], {
    description: 'carriage to the place of entry, from there to the door, or no part of the customs value',
    example: 'none',
  }),
  ...dated,
  ...goodForDays,
  meaning: text({ description: 'what is done', example: 'declares the goods for export' }),
  ...provenance,
})

export const serviceLevelColumns = z.object({
  service: id,
  diy: oneOf(PROVIDERS, { description: 'provider when the household does it itself', example: 'self' }),
  part: oneOf(PROVIDERS, { description: 'provider under part service', example: 'mover' }),
  full: oneOf(PROVIDERS, { description: 'provider under full service', example: 'mover' }),
  ...provenance,
})

/** Freight from port to port by lane and time: a row a container size type, and one for a shared container. */
export const freightColumns = z.object({
  id: text({ description: 'ISO 6346 size type, or groupage', example: '45G1' }),
  label,
  from_region: text({
    description: 'regions of countries.csv it leaves from, separated by |',
    example: 'Europe',
  }),
  to_region: text({ description: 'regions of countries.csv it goes to, separated by |', example: 'Oceania' }),
  ...dated,
  basis: oneOf(['all-in', 'base'], {
    description: 'with the surcharges that services.csv marks in_all_in, or before them',
    example: 'all-in',
  }),
  ...range,
  currency,
  per: text({ description: 'unit of the price', example: 'container' }),
  ...goodForDays,
  ...provenance,
})

export const portChargeColumns = z.object({
  id,
  charge: oneOf(['demurrage', 'detention'], {
    description: 'inside or outside the terminal',
    example: 'demurrage',
  }),
  container: text({ description: 'ISO 6346 size types, separated by |', example: '22G1' }),
  from_day: positive('first charged day after free time', 'day'),
  until_day: optional(positive('last charged day of the tier', 'day')),
  price: positive('price a day', '1'),
  currency,
  ...provenance,
})

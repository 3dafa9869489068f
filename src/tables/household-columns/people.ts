import { z } from 'zod'
import { countOr, date, mark, oneOf, optional, someOf, text, yesNo } from '../fields.js'
import { country } from './money-and-places.js'

/** Why a person may bring a home: the words customs laws use, in short. */
export const STATUSES = [
  'settler',
  'returning',
  'permit-worker',
  'student',
  'diplomat',
  'marriage',
  'inheritance',
  'second-home',
  'visitor',
] as const
export type Status = (typeof STATUSES)[number]

/** people.csv */
export const personColumns = z.object({
  person: mark({ description: 'a short name or initials', example: 'A' }),
  status: oneOf(STATUSES, { description: 'in what capacity the person moves', example: 'settler' }),
  adult: yesNo({ description: 'of age at the destination', example: 'yes' }),
  abroad_since: date({
    description: 'the day residence outside the destination began',
    example: '2019-08-01',
  }),
  leaves_on: date({ description: 'the day residence at the origin ends', example: '2027-03-01' }),
  arrives_on: date({
    description: 'the day residence at the destination is established',
    example: '2027-03-05',
  }),
  first_arrival_on: optional(
    date({ description: 'first entry to the destination, if earlier than that', example: '2027-02-10' }),
  ),
  also: someOf(STATUSES, {
    description: 'further grounds for relief beside the status; the best one is taken',
    example: 'marriage',
  }),
  permit_months: optional(
    countOr('no end', {
      description: 'months the residence or work permit runs, or no end',
      example: '24',
      min: 0,
    }),
  ),
  nationality: optional(country('nationality, where the law of the destination asks for it')),
  married_on: optional(
    date({ description: 'the wedding day, for relief on marriage', example: '2026-12-05' }),
  ),
  inherited_on: optional(
    date({ description: 'the day the inheritance was settled, for relief on it', example: '2026-02-20' }),
  ),
  relief_used_on: optional(
    date({ description: 'the day of an earlier relief on moving there', example: '2019-04-11' }),
  ),
  lived_there_before: optional(
    yesNo({ description: 'has the person lived at the destination before', example: 'no' }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

export type Person = z.output<typeof personColumns>

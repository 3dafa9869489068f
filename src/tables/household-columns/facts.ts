import { z } from 'zod'
import { parseContainerNumber } from '../../stowage/container-number.js'
import { code, codes, date, number, oneOf, optional, text, yesNo } from '../fields.js'
import { currency } from './money-and-places.js'

/** A country at either end; a name is taken as well here, so that the check of countries.csv can tell its code. */
const endCountry = (description: string, example: string) =>
  code(/^\S.{1,60}$/, 'a country of countries.csv', { description, example })

/** A container's number as its doors show it, without the blanks and hyphens that papers print. */
function containerCode(text: string) {
  const read = parseContainerNumber(text)
  if (!read.ok) return { expected: read.expected, fix: read.fix }
  const { owner, category, serial, checkDigit } = read.value
  return { code: `${owner}${category} ${serial} ${checkDigit}` }
}

/** What a street allows, each word including what the ones after it allow. */
export const STREETS = ['stand', 'wait', 'small'] as const
const street = (home: string) =>
  oneOf(STREETS, {
    description: `what the street at the ${home} home allows: a container may stand there (stand), its lorry may wait (wait), only small trucks get there (small); blank: wait`,
    example: 'wait',
  })

/** household.csv: one fact a row. These are the facts, each read as a column is. */
export const householdFacts = z.object({
  name: text({
    description: 'what to call this household in the brief',
    example: 'The Harbour Street household',
  }),
  currency: currency('the currency every total is shown in'),
  as_of: date({ description: 'the day the prices and rules are looked up for', example: '2026-11-25' }),
  origin_country: endCountry('the country they move from', 'NO'),
  origin_place: text({ description: 'the town they move from', example: 'Bergen' }),
  destination_country: endCountry('the country they move to', 'PT'),
  destination_place: text({ description: 'the town they move to', example: 'Lisbon' }),
  origin_floor: number({
    description: 'floors between the street and the old home',
    example: '2',
    min: 0,
    max: 60,
    unit: '1',
  }),
  origin_lift: yesNo({
    description: 'is there a lift at the old home that furniture fits in',
    example: 'no',
  }),
  origin_carry_m: number({
    description: 'metres from the door of the old home to the truck',
    example: '20',
    min: 0,
    max: 2000,
    unit: 'm',
  }),
  destination_floor: number({
    description: 'floors between the street and the new home',
    example: '0',
    min: 0,
    max: 60,
    unit: '1',
  }),
  destination_lift: yesNo({
    description: 'is there a lift at the new home that furniture fits in',
    example: 'no',
  }),
  destination_carry_m: number({
    description: 'metres from the truck to the door of the new home',
    example: '15',
    min: 0,
    max: 2000,
    unit: 'm',
  }),
  load_on: date({ description: 'the day the container is loaded', example: '2027-03-02' }),
  import_on: date({
    description: 'the day the goods are expected to be declared for import',
    example: '2027-04-20',
  }),
  goods_wanted_on: optional(
    date({ description: 'the day by which the goods are wanted at the new door', example: '' }),
  ),
  home_wanted_on: optional(
    date({ description: 'the day by which the new home is to be unpacked and lived in', example: '' }),
  ),
  transport: oneOf(
    ['cheapest', '22G1', '42G1', '45G1', 'L5G1', 'groupage', '45G1+groupage', '22G1+groupage'],
    {
      description:
        'the container (ISO 6346 size type), a share of one, both, or the cheapest that holds everything',
      example: 'cheapest',
    },
  ),
  service_level: oneOf(['diy', 'part', 'full', 'own'], {
    description: 'who does the work: one of the three usual levels, or own = as services.csv says',
    example: 'part',
  }),
  cover: oneOf(['none', 'advised', 'total-loss', 'named-narrow', 'named-wide', 'all-risks'], {
    description: 'the transit cover, or advised: the least-cost one that the household can bear',
    example: 'all-risks',
  }),
  pallets: yesNo({ description: 'are the goods stowed on pallets', example: 'no' }),
  loss_tolerance: number({
    description: 'the loss the household could bear without regret, in its currency',
    example: '3000',
    min: 0,
  }),
  loss_chance: optional(
    number({
      description:
        'the chance of bearing more than loss_tolerance that the household accepts; 0.001, one move in a thousand, where it says nothing',
      example: '0.001',
      max: 1,
      unit: '1',
    }),
  ),
  loss_ruin: optional(
    number({
      description:
        'the loss that would ruin the household, in its currency; covers that leave more of a total loss or of general average are not advised',
      example: '20000',
    }),
  ),
  own_people: number({
    description: 'how many of the household pack and carry',
    example: '2',
    min: 1,
    max: 20,
    unit: '1',
  }),
  own_hour_value: number({
    description: 'what an hour of own work is worth to them, 0 if nothing',
    example: '0',
    min: 0,
  }),
  storage_months: number({
    description: 'months in storage at the destination',
    example: '0',
    min: 0,
    max: 120,
    unit: 'month',
  }),
  origin_street: optional(street('old')),
  origin_permit: optional(
    yesNo({
      description: 'does the town ask for a permit to stand at the old door; blank: yes',
      example: 'yes',
    }),
  ),
  destination_street: optional(street('new')),
  destination_permit: optional(
    yesNo({
      description: 'does the town ask for a permit to stand at the new door; blank: yes',
      example: 'no',
    }),
  ),
  route_risk: optional(
    oneOf(['peaceful', 'war'], {
      description: 'does the route touch waters that underwriters list for war; blank: peaceful',
      example: 'peaceful',
    }),
  ),
  container_numbers: codes(containerCode, {
    description:
      'the numbers of the containers once they stand at the door, separated by |; they go on the papers',
    example: '',
  }),
  employer_lump_sum: optional(
    number({
      description: 'a sum the employer gives for the move, whatever it costs',
      example: '5000',
      min: 0,
    }),
  ),
  employer_share: optional(
    number({
      description: 'share of the bill the employer pays back',
      example: '0.5',
      min: 0,
      max: 1,
      unit: '1',
    }),
  ),
  employer_cap: optional(
    number({ description: 'the most that share may come to; blank: no cap', example: '8000', min: 0 }),
  ),
  employer_currency: optional(currency("currency of the employer's money; blank: the household currency")),
  delay_days: number({
    description:
      'days that customs, an examination or congestion is expected to hold up the release, on top of clearance',
    example: '5',
    min: 0,
    max: 400,
    unit: 'day',
  }),
})

export type HouseholdFacts = z.output<typeof householdFacts>

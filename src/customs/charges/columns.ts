/** The tables of what is paid: rates, the base they are taken of, fees, surcharges, charges on vehicles. */
import { z } from 'zod'
import type { Row } from '../../tables/csv.js'
import { code, count, number, oneOf, optional, someOf, yesNo } from '../../tables/fields.js'
import { dated, id, KINDS, provenance, share, words } from '../shared-columns.js'

export const dutyRateColumns = z.object({
  jurisdiction: id('row of jurisdictions.csv', 'eu'),
  class: id('row or group of classes.csv, or any', 'furniture'),
  low: optional(share('least rate in the class', '0')),
  likely: share('duty, share of the customs value', '0.12'),
  high: optional(share('highest rate in the class', '0.17')),
  excise: optional(share('excise or purchase tax, share of customs value and duty', '0.2')),
  ...dated,
  ...provenance,
})

export const importTaxColumns = z.object({
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'DE' }),
  label: id('name of the tax', 'import VAT'),
  rate: optional(share('share of the base; blank: not determined', '0.19')),
  ...dated,
  ...provenance,
})

export const valueBaseColumns = z.object({
  jurisdiction: id('row of jurisdictions.csv', 'eu'),
  base: oneOf(['cif', 'fob'], {
    description: 'is carriage to the border in the customs value',
    example: 'cif',
  }),
  tax_adds: someOf(['freight', 'inland'], {
    description: 'what the import tax adds to customs value and duty',
    example: 'inland',
  }),
  tax_uplift: share('what the customs value is multiplied by for the tax', '1'),
  duty_base_decimals: count({
    description: 'decimals of the value that duty is taken of',
    example: '2',
    min: 0,
    max: 4,
  }),
  decimals: count({ description: 'decimals of an amount charged', example: '2', min: 0, max: 4 }),
  rounding: oneOf(['half-up', 'half-even', 'down'], {
    description: 'how a half is rounded',
    example: 'half-up',
  }),
  ...dated,
  ...provenance,
})

export const feeColumns = z.object({
  id: id('name of the fee', 'us.merchandise-processing'),
  jurisdiction: id('row of jurisdictions.csv', 'us'),
  label: id('what it is called', 'merchandise processing fee'),
  rate: optional(share('share of its base; blank: a fixed amount', '0.003464')),
  fixed: optional(number({ description: 'fixed amount', example: '27', min: 0 })),
  on: oneOf(['charged', 'freed', 'all'], {
    description: 'base: the customs value of what is not freed, of what is, or of the whole consignment',
    example: 'charged',
  }),
  above: optional(number({ description: 'only where the base is more than this', example: '2500', min: 0 })),
  up_to: optional(number({ description: 'only where the base is this or less', example: '2500', min: 0 })),
  floor: optional(number({ description: 'least amount', example: '33.58', min: 0 })),
  cap: optional(number({ description: 'greatest amount', example: '651.50', min: 0 })),
  ...dated,
  ...provenance,
})

export const surchargeColumns = z.object({
  id: id('name of the measure', 'us.autos'),
  jurisdiction: id('row of jurisdictions.csv', 'us'),
  label: id('what it is called', 'additional duty on passenger vehicles'),
  classes: words('classes and groups it is charged on', 'car'),
  keywords: words('only where the item or its note has one of these words; blank: all', 'sofa|armchair'),
  exempt_age_years: optional(
    count({
      description: 'vehicles made so many calendar years ago or more are exempt',
      example: '25',
      min: 0,
      max: 100,
    }),
  ),
  gives_way_to: words(
    'measures that stand instead: where a thing bears one of them, this one is not charged',
    'us.autos',
  ),
  low: optional(share('least rate', '0')),
  likely: share('rate on top of the duty, share of the customs value', '0.25'),
  high: optional(share('highest rate', '0.25')),
  ...dated,
  ...provenance,
})

export const vehicleChargeColumns = z.object({
  id: id('name of the charge', 'ie.registration-tax'),
  country: id('ISO 3166-1 code of the country, or any', 'IE'),
  label: id('what it is', 'vehicle registration tax'),
  what: oneOf(['registration-tax', 'type-approval', 'roadworthiness', 'conversion'], {
    description: 'kind of charge',
    example: 'registration-tax',
  }),
  kinds: someOf(KINDS, { description: 'vehicles it is charged on', example: 'car|motorcycle' }),
  rate: optional(share('share of the customs value; blank with a blank amount: not determined', '0.2')),
  fixed: optional(number({ description: 'fixed amount', example: '55', min: 0 })),
  currency: optional(
    code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description: 'its currency', example: 'GBP' }),
  ),
  freed: yesNo({ description: 'does relief on moving house free from it too', example: 'no' }),
  ask: id('whom to ask', 'the revenue commissioners'),
  ...dated,
  ...provenance,
})

export type DutyRateRow = Row<typeof dutyRateColumns>
export type ImportTaxRow = Row<typeof importTaxColumns>
export type ValueBaseRow = Row<typeof valueBaseColumns>
export type SurchargeRow = Row<typeof surchargeColumns>
export type VehicleChargeRow = Row<typeof vehicleChargeColumns>
export type FeeRow = Row<typeof feeColumns>

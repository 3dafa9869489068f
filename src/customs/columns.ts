/** The columns of the customs tables, as data/reference/customs/README.md describes them. */
import { z } from 'zod'
import type { Row } from '../tables/csv.js'
import { code, count, date, factsOf, number, oneOf, optional, someOf, text, yesNo } from '../tables/fields.js'
import { HELD, inventoryColumns, STATUSES } from '../tables/household-columns.js'

/** What can be levied on import, each with its own relief. */
export const LEVIES = ['duty', 'excise', 'tax', 'fee'] as const
export type Levy = (typeof LEVIES)[number]

/**
 * The days from which laws count. `ship` is the day the goods are handed over, if that is before leaving; `abroad`
 * the day on which living abroad began.
 */
export const ANCHORS = [
  'abroad',
  'leave',
  'ship',
  'arrive',
  'first-arrival',
  'import',
  'wedding',
  'inheritance',
] as const
export type Anchor = (typeof ANCHORS)[number]

/** What a relief row is about: household goods, or a vehicle by its kind. */
export const KINDS = ['goods', 'car', 'motorcycle', 'trailer', 'boat'] as const
export type Kind = (typeof KINDS)[number]

/**
 * A length the law may set. `none`: the law has no such test. `none-found`: the sources read give no figure,
 * so the test is left out and said to be. `unknown`: there is a figure, and we do not have it.
 */
export type Length = number | 'none' | 'none-found' | 'unknown'

/** A time the law asks for: at least so many months, or more than so many (`over`). */
export interface Span {
  readonly months: number
  readonly over: boolean
}

/** The same where a law asks for it, or what else a cell may say; see `Length`. */
export type LeastTime = Span | 'none' | 'none-found' | 'unknown'

const provenance = {
  source: text({ description: 'where the rule is published', example: 'Regulation (EC) 1186/2009 art. 4' }),
  confirmed: oneOf(['looked up', 'secondary', 'from memory', 'common practice'], {
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
const dated = {
  from: optional(
    date({ description: 'first day the rule holds; blank: start not known', example: '2026-02-02' }),
  ),
  until: optional(
    date({ description: 'last day the rule holds; blank: still in force', example: '2026-02-01' }),
  ),
}

const words = (description: string, example: string) =>
  z
    .string()
    .transform((cell): readonly string[] =>
      cell.split('|').flatMap((word) => (word.trim() === '' ? [] : [word.trim()])),
    )
    .meta({ description, example, required: false, kind: 'list' })

const length = (description: string) =>
  z
    .string()
    .transform((cell, ctx): Length => {
      if (cell === '') return 'none'
      if (cell === 'unknown' || cell === 'none-found') return cell
      if (/^\d{1,4}$/.test(cell)) return Number(cell)
      const message = `${description}: a whole number, blank, none-found or unknown`
      ctx.issues.push({ code: 'custom', input: cell, message, params: { fix: 'Write for example 12.' } })
      return z.NEVER
    })
    .meta({ description, example: '12', required: false, kind: 'text' })

const leastTime = (description: string) =>
  z
    .string()
    .transform((cell, ctx): LeastTime => {
      if (cell === '') return 'none'
      if (cell === 'unknown' || cell === 'none-found') return cell
      const [, over, months] = /^(over )?(\d{1,4})$/.exec(cell) ?? []
      if (months !== undefined) return { months: Number(months), over: over !== undefined }
      const message = `${description}: a whole number for at least so many, "over" before it for more than so many, blank, none-found or unknown`
      ctx.issues.push({
        code: 'custom',
        input: cell,
        message,
        params: { fix: 'Write for example 12, or over 12.' },
      })
      return z.NEVER
    })
    .meta({ description, example: '12', required: false, kind: 'text' })

export const MATERIALS = factsOf(inventoryColumns.shape.material).allowed ?? []

const maybe = (description: string, example: string) => optional(text({ description, example }))
const id = (description: string, example: string) => text({ description, example })
const anchor = (description: string) => optional(oneOf(ANCHORS, { description, example: 'leave' }))
const share = (description: string, example: string) =>
  number({ description, example, min: 0, max: 10, unit: '1' })

const jurisdictionColumns = z.object({
  id: id('short name of the customs territory', 'eu'),
  label: id('its name', 'European Union'),
  countries: words('ISO 3166-1 codes of the countries in it', 'DE|FR'),
  currency: code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', {
    description: 'currency of its charges',
    example: 'EUR',
  }),
  authority: id('whom to ask', 'the customs authority of the member state'),
  caveats: maybe('what everyone who ships there should know', ''),
  ...provenance,
})

const classColumns = z.object({
  id: id('goods class, as the column class of inventory.csv names it', 'furniture'),
  label: id('what it covers', 'furniture'),
  group: id('group of classes', 'home'),
  serial: yesNo({ description: 'do customs lists want a serial number', example: 'no' }),
  excisable: yesNo({
    description: 'does it bear excise nearly everywhere, so that duty alone is not the charge',
    example: 'no',
  }),
  general: yesNo({
    description: 'does a rate of duty given for any goods hold for it',
    example: 'yes',
  }),
  ...provenance,
})

const vehicleTerms = {
  max_age_years: optional(count({ description: 'vehicles older than this', example: '8', min: 0, max: 100 })),
  min_age_years: optional(
    count({ description: 'vehicles younger than this', example: '25', min: 0, max: 100 }),
  ),
  age_by: optional(
    oneOf(['day', 'year'], {
      description: 'age from day to day, or by the year made alone; blank: by the day',
      example: 'year',
    }),
  ),
  steering: optional(
    oneOf(['left', 'right'], { description: 'vehicles steered on this side', example: 'left' }),
  ),
  made_from: optional(date({ description: 'vehicles made on this day or later', example: '2000-01-01' })),
  made_before: optional(date({ description: 'vehicles made before this day', example: '1996-01-01' })),
  min_euro: optional(
    count({ description: 'vehicles of a lower Euro emission class', example: '4', min: 0, max: 9 }),
  ),
}

const reliefColumns = z.object({
  id: id('name of the route to relief', 'eu.transfer-of-residence'),
  jurisdiction: id('row of jurisdictions.csv, or any', 'eu'),
  label: id('what the law calls it', 'transfer of residence'),
  effect: oneOf(['free', 'temporary', 'none'], {
    description: 'free, temporary where the goods must leave again, or none where the law rules relief out',
    example: 'free',
  }),
  kinds: someOf(KINDS, { description: 'what the row is about', example: 'goods|car' }),
  only: words('only these classes and groups; blank: all', 'clothing|jewellery'),
  statuses: someOf(STATUSES, {
    description: 'in what capacity the person moves',
    example: 'settler|returning',
  }),
  frees: someOf(LEVIES, { description: 'the levies it frees from', example: 'duty|tax' }),
  ...dated,
  national: optional(oneOf(['yes', 'no'], { description: 'must the person be a national', example: 'no' })),
  adult_only: yesNo({ description: 'only for adults', example: 'no' }),
  first_time: yesNo({ description: 'only the first time the person comes to live there', example: 'no' }),
  again_months: length('months after an earlier relief before the next'),
  permit_months: leastTime('months the permit must run'),
  stay_months: leastTime('months the person will stay, which serve instead of months abroad'),
  abroad_months: leastTime('months lived abroad'),
  abroad_under: length('the row ends where so many months abroad are reached'),
  abroad_to: anchor('the day to which months abroad are counted'),
  owned_months: leastTime('months of ownership and use'),
  owned_to: anchor('the day to which they are counted'),
  owned_early_to: anchor('the same where the goods enter before the day the window is counted from'),
  owned_how: oneOf(['continuous', 'total', 'pro-rata'], {
    description: 'in one stretch, added up, or short ownership charged by the day',
    example: 'continuous',
  }),
  owned_waived_abroad: leastTime('months abroad after which ownership is not tested'),
  acquired: optional(
    oneOf(['before-abroad'], {
      description: 'only things the person already had on moving abroad, taken along then',
      example: 'before-abroad',
    }),
  ),
  tax_free_months: length('months of ownership for goods that were bought free of tax under a privilege'),
  before: length('how long before the anchor goods may enter'),
  after: length('how long after the anchor goods may enter'),
  window_unit: oneOf(['day', 'month', 'year'], { description: 'unit of the window', example: 'month' }),
  window_from: anchor('the day the window is counted from'),
  roll: yesNo({
    description: 'does a period that ends on a weekend run on to the next working day',
    example: 'yes',
  }),
  no_disposal: length('months after import in which nothing may be sold, lent or hired out'),
  ceiling: oneOf(['none', 'per-item', 'per-item-limit', 'total', 'quantity-list', 'reasonable', 'unknown'], {
    description: 'kind of ceiling',
    example: 'none',
  }),
  ceiling_amount: optional(number({ description: 'amount of the ceiling', example: '10000', min: 0 })),
  ceiling_currency: optional(
    code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description: 'its currency', example: 'CAD' }),
  ),
  ceiling_minor_share: optional(share('what a minor adds to the ceiling, as a share of an adult', '0.5')),
  excluded: words('classes and groups that are left out', 'alcohol|tobacco'),
  held_excluded: someOf(HELD, { description: 'ways of holding that are left out', example: 'business' }),
  used_only: yesNo({ description: 'only used goods', example: 'yes' }),
  listed: yesNo({ description: 'only goods on the list given at first arrival', example: 'no' }),
  max_age_years: optional(
    count({ description: 'only vehicles of this age or younger', example: '5', min: 0, max: 100 }),
  ),
  steering: optional(
    oneOf(['left', 'right'], { description: 'only vehicles steered on this side', example: 'right' }),
  ),
  min_euro: optional(
    count({
      description: 'only vehicles of this Euro emission class or better',
      example: '4',
      min: 0,
      max: 9,
    }),
  ),
  max_length_m: optional(number({ description: 'longest boat', example: '15', min: 0, max: 100, unit: 'm' })),
  waivable: someOf(['abroad', 'owned', 'window', 'residence'], {
    description: 'tests the authority may set aside',
    example: 'abroad',
  }),
  on_application: yesNo({ description: 'is relief granted only on application', example: 'no' }),
  discretion: maybe('when it may set them aside', 'where twelve months were clearly intended'),
  refusal: maybe('why, where the law rules relief out', 'second homes never qualify'),
  ...provenance,
})

const dutyRateColumns = z.object({
  jurisdiction: id('row of jurisdictions.csv', 'eu'),
  class: id('row or group of classes.csv, or any', 'furniture'),
  low: optional(share('least rate in the class', '0')),
  likely: share('duty, share of the customs value', '0.12'),
  high: optional(share('highest rate in the class', '0.17')),
  excise: optional(share('excise or purchase tax, share of customs value and duty', '0.2')),
  ...dated,
  ...provenance,
})

const importTaxColumns = z.object({
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'DE' }),
  label: id('name of the tax', 'import VAT'),
  rate: optional(share('share of the base; blank: not determined', '0.19')),
  ...dated,
  ...provenance,
})

const valueBaseColumns = z.object({
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

const feeColumns = z.object({
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

const surchargeColumns = z.object({
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

const vehicleChargeColumns = z.object({
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

const RULE_KINDS = ['prohibited', 'restricted', 'permit', 'quarantine', 'declare', 'taxed'] as const
const goodsRuleColumns = z.object({
  id: id('name of the rule', 'au.garden-tools'),
  jurisdiction: id('row of jurisdictions.csv, or any', 'au'),
  role: someOf(['destination', 'origin', 'transit'], {
    description: 'where on the way it applies',
    example: 'destination',
  }),
  kind: oneOf(RULE_KINDS, { description: 'kind of rule', example: 'quarantine' }),
  classes: words('classes and groups it matches', 'garden|sports'),
  materials: words('materials it matches', 'cane|straw'),
  keywords: words('words it matches in the item and its note', 'lawn mower|tent'),
  ...vehicleTerms,
  ...dated,
  reason: id('why', 'soil and seeds carry pests'),
  action: oneOf(['leave', 'permit', 'declare', 'clean', 'use up', 'treat', 'ask'], {
    description: 'what to do, in a word',
    example: 'clean',
  }),
  what_to_do: id('what to do, in a sentence', 'Scrub off all soil, dry, and list it on the declaration.'),
  ...provenance,
})

const documentColumns = z.object({
  id: id('name of the document', 'uk.tor1'),
  jurisdiction: id('row of jurisdictions.csv, or any', 'uk'),
  side: oneOf(['destination', 'origin'], {
    description: 'for which end of the move',
    example: 'destination',
  }),
  kinds: someOf(KINDS, {
    description: 'only where the move has one of these; blank: always',
    example: 'car',
  }),
  statuses: someOf(STATUSES, { description: 'only for these; blank: everyone', example: 'returning' }),
  goods: words(
    'only where a line is of one of these classes, groups or materials; blank: always',
    'ivory|weapon',
  ),
  label: id('what it is', 'application for transfer of residence relief'),
  form: maybe('form name', 'ToR1'),
  anchor: optional(
    oneOf(['load', 'leave', 'arrive', 'first-arrival', 'import'], {
      description: 'the day the deadline is counted from',
      example: 'load',
    }),
  ),
  offset_days: optional(
    number({ description: 'days after it, negative before', example: '-28', whole: true }),
  ),
  offset_months: optional(
    number({ description: 'months after it, negative before', example: '6', whole: true }),
  ),
  why: id('what it is for', 'the reference number goes on the import entry'),
  ...provenance,
})

const headingColumns = z.object({
  id: id('name of the heading', 'description'),
  en: id('English', 'Description'),
  es: id('Spanish', 'Descripción'),
  fr: id('French', 'Description'),
  de: id('German', 'Beschreibung'),
  ...provenance,
})

const figureColumns = z.object({
  id: id('name of the figure', 'wood.regulated-above'),
  label: id('what it is', 'raw wood thicker than this is regulated'),
  likely: number({ description: 'the figure', example: '6', min: 0 }),
  unit: id('its unit', 'mm'),
  ...provenance,
})

export type Jurisdiction = Row<typeof jurisdictionColumns>
export type GoodsClass = Row<typeof classColumns>
export type ReliefRow = Row<typeof reliefColumns>
export type DutyRateRow = Row<typeof dutyRateColumns>
export type ImportTaxRow = Row<typeof importTaxColumns>
export type ValueBaseRow = Row<typeof valueBaseColumns>
export type SurchargeRow = Row<typeof surchargeColumns>
export type VehicleChargeRow = Row<typeof vehicleChargeColumns>
export type FeeRow = Row<typeof feeColumns>
export type GoodsRule = Row<typeof goodsRuleColumns>
export type DocumentRow = Row<typeof documentColumns>
export type HeadingRow = Row<typeof headingColumns>
export type CustomsFigure = Row<typeof figureColumns>
export type Language = 'en' | 'es' | 'fr' | 'de'

/** The description of each file's rows, for the validator and the description of the files. */
export const customsColumns = {
  'jurisdictions.csv': jurisdictionColumns,
  'classes.csv': classColumns,
  'relief.csv': reliefColumns,
  'duty-rates.csv': dutyRateColumns,
  'import-tax.csv': importTaxColumns,
  'value-base.csv': valueBaseColumns,
  'fees.csv': feeColumns,
  'surcharges.csv': surchargeColumns,
  'vehicle-charges.csv': vehicleChargeColumns,
  'goods-rules.csv': goodsRuleColumns,
  'documents.csv': documentColumns,
  'strings.csv': headingColumns,
  'customs-figures.csv': figureColumns,
} as const

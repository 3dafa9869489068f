/** The tables of what must be in hand: rules about goods, documents, headings of the list for customs. */
import { z } from 'zod'
import type { Row } from '../../tables/csv.js'
import { count, date, number, oneOf, optional, someOf } from '../../tables/fields.js'
import { STATUSES } from '../../tables/household-columns.js'
import { dated, id, KINDS, maybe, provenance, words } from '../shared-columns.js'

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

const RULE_KINDS = ['prohibited', 'restricted', 'permit', 'quarantine', 'declare', 'taxed'] as const
export const goodsRuleColumns = z.object({
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

export const documentColumns = z.object({
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

export const headingColumns = z.object({
  id: id('name of the heading', 'description'),
  en: id('English', 'Description'),
  es: id('Spanish', 'Descripción'),
  fr: id('French', 'Description'),
  de: id('German', 'Beschreibung'),
  ...provenance,
})

export type GoodsRule = Row<typeof goodsRuleColumns>
export type DocumentRow = Row<typeof documentColumns>
export type HeadingRow = Row<typeof headingColumns>
export type Language = 'en' | 'es' | 'fr' | 'de'

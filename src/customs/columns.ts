/** The columns of the customs tables, as data/reference/customs/README.md describes them. */
import { z } from 'zod'
import type { Row } from '../tables/csv.js'
import { code, number, yesNo } from '../tables/fields.js'
import {
  dutyRateColumns,
  feeColumns,
  importTaxColumns,
  surchargeColumns,
  valueBaseColumns,
  vehicleChargeColumns,
} from './charges/columns.js'
import { documentColumns, goodsRuleColumns, headingColumns } from './papers/columns.js'
import { reliefColumns } from './relief/columns.js'
import { id, maybe, provenance, words } from './shared-columns.js'

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

const figureColumns = z.object({
  id: id('name of the figure', 'wood.regulated-above'),
  label: id('what it is', 'raw wood thicker than this is regulated'),
  likely: number({ description: 'the figure', example: '6', min: 0 }),
  unit: id('its unit', 'mm'),
  ...provenance,
})

export type Jurisdiction = Row<typeof jurisdictionColumns>
export type GoodsClass = Row<typeof classColumns>
export type CustomsFigure = Row<typeof figureColumns>

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

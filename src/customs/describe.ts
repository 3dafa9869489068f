import { columnTable } from '../tables/describe.js'
import { customsColumns } from './columns.js'
import { ownCustomsColumns } from './own-rows.js'
import type { CustomsTables } from './tables.js'

const SAYS: Readonly<Record<keyof typeof customsColumns, string>> = {
  'jurisdictions.csv': 'One customs territory a row, with the countries in it and whom to ask.',
  'classes.csv':
    'The goods classes that the column `class` of an inventory names, each in a group. Other tables may name either.',
  'relief.csv':
    'One rule a row: who, what, how long abroad, how long owned and counted to which day, when the goods must enter. `frees` says which levies it frees; where duty and import tax have rules of their own they have rows of their own. A row with `effect` none says that the law rules relief out. A row with `effect` temporary frees goods that must leave again. In the columns of least times `12` asks for at least twelve months, `over 12` for more. In the columns of lengths a blank cell means the law has no such test, `none-found` that the sources read give no figure (the test is left out and said to be), `unknown` that there is a figure we do not have (nothing is decided).',
  'duty-rates.csv':
    'Duty and excise by class; a class without a row takes that of its group, then that of `any`, else the duty is not determined.',
  'import-tax.csv': 'The tax on import by country. A blank rate is not determined, never zero.',
  'value-base.csv':
    'What the customs value and the base of the import tax hold, and how amounts are rounded.',
  'fees.csv':
    'Fees with rate, floor and cap. `on` charged takes what is not freed, `freed` what is (a single tax in place of duty), `all` the whole consignment.',
  'surcharges.csv':
    'Extra duties on some goods for a time, on top of the tariff: each a rate with its first and last day. Several add up, unless one says that it gives way to another.',
  'vehicle-charges.csv':
    'What a vehicle costs after customs: tax on registration, approval, inspection, conversion. A row without rate and amount is not determined, and says whom to ask. They stand in no customs total.',
  'goods-rules.csv':
    'Prohibited, restricted, permit, quarantine and taxed goods. A line is hit by its class or group, a material, or a word of its description; a vehicle only where age and steering side fit too.',
  'documents.csv':
    'Papers for both ends with the day they are due, counted from loading, leaving, arriving or import.',
  'strings.csv': 'Headings of the inventory for customs. A language is a column.',
  'customs-figures.csv':
    'Single figures: wood packing, and how far a declared value may lie below the insured one.',
}

/** The description of the customs tables, as data/reference/customs/README.md prints it. */
export function describeCustomsFiles(): string {
  const files = Object.entries(customsColumns).map(
    ([file, columns]) =>
      `## ${file}\n\n${SAYS[file as keyof typeof customsColumns]}\n\n${columnTable(columns)}`,
  )
  return [
    '# The customs tables',
    'Rules are rows with sources, read by one small engine (`src/customs`). They are planning data, not advice: relief is granted by the customs authority.',
    'A changed rule gets a new row with `from`, the old one gets `until`; two rows for one day are an error. Lists in a cell are separated by `|`. A new territory takes a row in `jurisdictions.csv`, its rules in `relief.csv`, a `value-base.csv` row, a rate for each country in `import-tax.csv`, duty rates by class, goods rules and papers: no code.',
    ...files,
    `## customs.csv of a household\n\nA household states in its own folder what an authority confirmed: one changed cell a row, who confirmed it, when, and by what answer. The tables here stay as they are.\n\n${columnTable(ownCustomsColumns)}`,
    '',
  ].join('\n\n')
}

/** How sure the rows of one territory are. */
export interface Sureness {
  readonly id: string
  readonly label: string
  readonly rows: number
  readonly lookedUp: number
  readonly secondary: number
  /** From memory, or common practice without a source. */
  readonly rest: number
}

/** For each territory, how many of its rows were looked up in the source, in a text that quotes it, or not at all. */
export function surenessOf(tables: CustomsTables): Sureness[] {
  return [...tables.jurisdictions.values()].map((territory) => {
    const { id, label, countries } = territory
    const rates = [...tables.dutyRates.values()].flat().filter((row) => row.jurisdiction === id)
    const rows = [
      territory,
      ...(tables.relief.get(id) ?? []),
      ...rates,
      ...countries.flatMap((country) => tables.importTax.get(country) ?? []),
      ...(tables.valueBase.get(id) ?? []),
      ...(tables.fees.get(id) ?? []),
      ...(tables.surcharges.get(id) ?? []),
      ...tables.vehicleCharges.filter((row) => countries.includes(row.country)),
      ...(tables.goodsRules.get(id) ?? []),
      ...(tables.documents.get(id) ?? []),
    ]
    const count = (confirmed: string) => rows.filter((row) => row.confirmed === confirmed).length
    const lookedUp = count('looked up')
    const secondary = count('secondary')
    return { id, label, rows: rows.length, lookedUp, secondary, rest: rows.length - lookedUp - secondary }
  })
}

/** The same as a table of the README, counted from the rows themselves. */
export function describeSureness(tables: CustomsTables): string {
  const rows = surenessOf(tables).map(({ label, rows, lookedUp, secondary, rest }) => {
    const share = Math.round((100 * lookedUp) / rows)
    return `| ${label} | ${rows} | ${lookedUp} | ${secondary} | ${rest} | ${share} % |`
  })
  return [
    '## How sure each territory is',
    'Looked up: read in the law or on the authority’s own page, in a stored copy. Secondary: in a text that quotes it. The rest is from memory or common practice. Duty rates by class weigh as many rows; a territory whose rates are from memory can have its relief looked up.',
    [
      '| territory | rows | looked up | secondary | from memory | share looked up |',
      '| --- | --- | --- | --- | --- | --- |',
      ...rows,
    ].join('\n'),
    '',
  ].join('\n\n')
}

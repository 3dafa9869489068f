import type { z } from 'zod'
import { factsOf } from './fields.js'
import { confirmedColumns } from './household/confirmed.js'
import {
  consignmentColumns,
  exchangeColumns,
  householdFacts,
  inventoryColumns,
  personColumns,
  quoteColumns,
  rateColumns,
  serviceColumns,
  vehicleColumns,
} from './household-columns.js'
import { REFERENCE_TABLES } from './reference.js'

const households: readonly { file: string; says: string; columns: z.ZodObject }[] = [
  {
    file: 'household.csv',
    says: 'One fact a row: `fact,value,note`. Every fact must be there.',
    columns: householdFacts,
  },
  {
    file: 'people.csv',
    says: 'One person a row; the first one owns whatever names no owner.',
    columns: personColumns,
  },
  {
    file: 'inventory.csv',
    says: 'One line a thing, or several alike. Give its size in one way.',
    columns: inventoryColumns,
  },
  {
    file: 'vehicles.csv',
    says: 'One vehicle a row; leave the file out if there is none.',
    columns: vehicleColumns,
  },
  {
    file: 'services.csv',
    says: 'Who does each service, where `service_level` is `own`.',
    columns: serviceColumns,
  },
  {
    file: 'rates.csv',
    says: 'Your own figures instead of the reference ones, quotes above all.',
    columns: rateColumns,
  },
  {
    file: 'exchange.csv',
    says: 'Dated rates from every currency you use into the household’s.',
    columns: exchangeColumns,
  },
  {
    file: 'quotes.csv',
    says: 'Movers’ quotes, a row a price; leave the file out while there are none.',
    columns: quoteColumns,
  },
  {
    file: 'consignments.csv',
    says: 'What goes apart from the container: by air, as a parcel, in baggage that is declared. Each is an entry of its own on its own day, with its own carriage; relief that is given once is used up once. Its things take no room in the container and are not under its cover.',
    columns: consignmentColumns,
  },
  {
    file: 'confirmed.csv',
    says: 'What `check` calls unlikely and is meant all the same; it prints the row to add.',
    columns: confirmedColumns,
  },
]

/** The columns of a table as a Markdown table. */
export function columnTable(columns: z.ZodObject): string {
  const rows = Object.entries(columns.shape).map(([name, schema]) => {
    const facts = factsOf(schema as z.ZodType)
    const words = facts.allowed ? ` (${facts.allowed.join(', ')})` : ''
    const unit = facts.unit && facts.unit !== '1' ? facts.unit : ''
    const must = facts.required ? 'yes' : ''
    return `| \`${name}\` | ${`${facts.description}${words}`.replaceAll('|', '\\|')} | ${unit} | ${must} | ${facts.example.replaceAll('|', '\\|')} |`
  })
  return [
    '| column | what it holds | unit | must be given | example |',
    '| --- | --- | --- | --- | --- |',
    ...rows,
  ].join('\n')
}

/** The description of every input file and reference table, as data/README.md prints it: one source for both. */
export function describeFiles(): string {
  const own = households.map(({ file, says, columns }) => `### ${file}\n\n${says}\n\n${columnTable(columns)}`)
  const reference = Object.values(REFERENCE_TABLES).map(
    ({ file, columns }) => `### ${file}\n\n${columnTable(columns)}`,
  )
  return [
    '# The data',
    'Plain CSV in UTF-8 that any spreadsheet program opens. Comma, semicolon or tab part the cells; a byte order mark and Windows line ends do no harm; a cell with a line break stands in quotation marks. A blank cell means "not known" or "as usual", where that is allowed.',
    'Numbers have a decimal point, unless the first line of the file is `# decimal: comma`; dates are written year-month-day. Both are also read as spreadsheet programs show them where they can be read in one way only (`2 800,00`, `27/02/2027`, `2 March 2027`); where there are two ways (`1,234`, `02/03/2027`) the message names both, unless `# dates: day first` or `# dates: month first` stands above the header. Capitals do not matter in words of a list and in the names of columns.',
    '`quaybook check DIR` reads a folder and says everything that is wrong in it and everything that is possible but unlikely, each with its line, what is expected and what to type. What is unlikely keeps nobody from going on; a row of `confirmed.csv` answers it. `quaybook new DIR` makes a folder with a template of each file.',
    '## A household’s files: `households/NAME/`',
    ...own,
    '### scenarios.csv\n\nThe first column is `id`: an input to change, as `quaybook compare --inputs` lists them (a number such as `cost.origin.wage`, or a choice such as `transport`, `cover`, `service-level`, `provider.packing`, `take.L-05`). Each further column is a scenario under its own name; a blank cell leaves the input as it is.',
    '## The reference tables: `reference/`',
    'Every row says where it is from (`source`), how sure we are (`confirmed`: looked up, secondary, from memory, common practice) and the last day somebody looked (`still_true_on`). A figure that changes gets a new row with `from`, the old one gets `until`; nothing is overwritten. The customs tables are described in `reference/customs/`.',
    ...reference,
    '',
  ].join('\n\n')
}

import { existsSync } from 'node:fs'
import { type DecidingRate, decidingRates } from '../analysis/index.js'
import { inputText, numberText } from '../paper/format.js'
import { replaceFile } from '../paper/replace-file.js'
import { exact } from '../quantity/index.js'
import { csvSheet, rowText } from '../tables/csv-edit.js'
import { UsageError } from './args.js'
import { type Command, namedPlan, openPlans, planOptions } from './command.js'
import { textTable } from './text-table.js'

/** Figures shown; the rest move the bill by little. */
const shown = 25

export const ratesCommand: Command = {
  name: 'rates',
  words: '[DIR]',
  says: 'which figures of the tables decide this move’s bill, by money at stake, with age and how sure; a form to fill in',
  options: {
    ...planOptions,
    scenario: { value: 'NAME', says: 'the scenario; the first one otherwise' },
    cell: { value: 'ID', says: 'the result wanted; cost.total otherwise' },
    form: { value: 'FILE', says: 'writes a form of these figures: fill it in and keep it as rates.csv' },
    json: { says: 'print JSON, with every figure' },
  },
  async run(args, io) {
    const form = args.text('form')
    if (form !== undefined && existsSync(form))
      throw new UsageError(`--form ${form}: the file is there already; name another, so that nothing is lost`)
    const { move, plans } = await openPlans(args)
    const plan = namedPlan(plans, args.text('scenario'))
    const rates = decidingRates(move, plan, args.text('cell') ?? 'cost.total')
    if (form !== undefined) await replaceFile(form, formText(rates))
    io.out(
      args.flags.has('json')
        ? JSON.stringify(
            rates.map(({ input, ...rest }) => ({ ...input, ...rest })),
            null,
            2,
          )
        : listText(rates, plan.name, move.household.facts.currency),
    )
    if (form !== undefined) io.out(form)
    return 0
  },
}

function listText(rates: readonly DecidingRate[], scenario: string, currency: string): string {
  const heads = [
    'figure',
    'low',
    'likely',
    'high',
    'unit',
    `at stake, ${currency}`,
    'looked on',
    'days',
    'how sure',
  ]
  const rows = rates
    .slice(0, shown)
    .map(({ input, atStake, ageDays, stale }) => [
      input.id,
      inputText(input.low, ''),
      inputText(input.likely, ''),
      inputText(input.high, ''),
      input.unit,
      numberText(exact.of(atStake), 0),
      input.lookedOn ?? '',
      `${ageDays ?? ''}${stale ? ' too old' : ''}`,
      input.confirmed,
    ])
  const rest = rates.length - rows.length
  return [
    `What the bill of “${scenario}” hangs on; your own figures are not listed:`,
    textTable(heads, rows),
    ...(rest > 0 ? [`and ${rest} that matter less; --json lists all`] : []),
  ].join('\n')
}

const FORM_HEADER = 'id,low,likely,high,currency,source\n'

/** A rates.csv with the figures that decide the bill, their numbers left for the household's own offers. */
function formText(rates: readonly DecidingRate[]): string {
  const sheet = csvSheet(FORM_HEADER)
  if (!sheet) throw new Error('the header of the form is not read')
  const rows = rates.slice(0, shown).map(({ input: { id, label, likely, unit } }) =>
    rowText(sheet, {
      id,
      currency: /^[A-Z]{3}(\/|$)/.test(unit) ? unit.slice(0, 3) : '',
      source: `${label}: so far ${likely} ${unit}`,
    }),
  )
  return `${FORM_HEADER}${rows.map((row) => row.trimEnd()).join('\n')}\n`
}

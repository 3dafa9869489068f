import { existsSync } from 'node:fs'
import { basename, extname } from 'node:path'
import { recommend, summaryCells } from '../analysis/index.js'
import { warnings } from '../analysis/warnings.js'
import { replaceFile } from '../paper/replace-file.js'
import { recordedSheet } from '../plan/index.js'
import { containerDoors, workbook } from '../workbook/index.js'
import { UsageError } from './args.js'
import { type Command, householdFolder, MOST_ON_SCREEN, openPlans, planOptions } from './command.js'

export const workbookCommand: Command = {
  name: 'workbook',
  words: '[DIR]',
  says: 'writes the scenarios as a spreadsheet (.xlsx) whose results are formulas over its inputs',
  options: {
    ...planOptions,
    out: { value: 'FILE.xlsx', says: 'where to; the name of the household’s folder otherwise' },
    protect: { says: 'lock every cell but the inputs (no password)' },
    force: { says: 'write over the file if it is there, with whatever was typed into it' },
  },
  async run(args, io) {
    const folder = householdFolder(args)
    const out = args.text('out') ?? `${basename(folder)}.xlsx`
    if (extname(out).toLowerCase() !== '.xlsx') {
      throw new UsageError(`--out ${out}: the file is a spreadsheet, so end its name in .xlsx`)
    }
    if (existsSync(out) && !args.flags.has('force')) {
      throw new UsageError(`${out} is there already and may hold your changes; name another, or give --force`)
    }
    const { move, plans: stated } = await openPlans(args, folder, MOST_ON_SCREEN)
    const { plans, sentence, rule } = recommend(move, stated)
    const bytes = workbook(
      plans.map((plan) => ({
        name: plan.name,
        sheet: { ...recordedSheet(move, plan), warnings: warnings(move, plan) },
      })),
      {
        title: `Moving plan: ${basename(folder)}`,
        asOf: move.household.facts.as_of,
        recommendation: [`Recommended: ${sentence}`, `The rule: ${rule}`],
        minorUnits: new Map(move.reference.currencies.map((c) => [c.code, c.minor_units.toNumber()])),
        choiceLabels: new Map(
          plans.flatMap((plan) => [...plan.inputs.choices.values()].map((c) => [c.id, c.label])),
        ),
        totals: summaryCells(plans),
        numbers: containerDoors(move.reference.containers),
        protect: args.flags.has('protect'),
      },
    )
    await replaceFile(out, bytes)
    io.out(
      `${out}: ${plans.length} ${plans.length === 1 ? 'scenario' : 'scenarios'}, ${Math.ceil(bytes.length / 1024)} kB`,
    )
    io.out('Change the yellow cells; the sheet Check tells whether the figures are still those of the model.')
    return 0
  },
}

import { Book, isDecision, type WorkbookOptions } from './book.js'
import { cellPage } from './cell-page.js'
import { checkPage } from './check-page.js'
import { choicesPage } from './choices-page.js'
import { CELL_SHEETS, type WorkbookScenario } from './layout.js'
import { bookBytes } from './package-parts.js'
import { readMe } from './read-me.js'
import { scenariosPage } from './scenarios-page.js'
import { FIRST_ROW } from './sheet-rows.js'
import { stepsPage } from './steps-page.js'

/**
 * The plan as an Office Open XML workbook (.xlsx) that goes on living: every result is a formula over the inputs, so
 * that changing an input in a spreadsheet program changes the totals.
 *
 * One column for each scenario, the same rows in all, and in every row the same formula. An input that a scenario
 * leaves as it stands in the first one is a link to it; typing over the link changes that scenario alone. What differs
 * from scenario to scenario is taken by its address, a number of the rules by its name. The sheet Check compares every
 * result with the model's exact one. Where the carriage and the importer are left open, the sheet Scenarios sets every
 * way side by side with its whole cost; the cheapest that works is taken, or the one named in the list below them. Other
 * choices that are not numbers (who does what, which cover) have formulas for what is chosen alone: they are listed, not
 * live, and the sheet Choices says so.
 *
 * @param scenarios one or more plans in the `recorded` arithmetic, names as they head the columns
 * @returns the file's bytes, the same for the same arguments
 *
 * Throws one sentence for no scenario, for two of one name, and for an input value whose id or scenario is unknown.
 */
export function workbook(scenarios: readonly WorkbookScenario[], options: WorkbookOptions = {}): Uint8Array {
  refuseUnusable(scenarios, options)
  const book = new Book(scenarios, options)
  const cellPages = CELL_SHEETS.map((sheet) => cellPage(book, sheet))
  const pages = [
    readMe(scenarios, options),
    ...cellPages.filter((page) => page.rows.length > FIRST_ROW),
    scenariosPage(book),
    choicesPage(book),
    checkPage(book),
    stepsPage(book),
  ]
  return bookBytes({
    pages: pages.map((page) => ({ ...page, protected: options.protect ?? false })),
    names: book.names,
    title: options.title ?? 'Moving plan',
    ...(options.asOf ? { asOf: options.asOf } : {}),
  })
}

function refuseUnusable(scenarios: readonly WorkbookScenario[], { inputValues = [] }: WorkbookOptions): void {
  if (scenarios.length === 0) throw new Error('a workbook needs at least one scenario')
  const names = new Set(scenarios.map((s) => s.name))
  if (names.size < scenarios.length) throw new Error('two scenarios of a workbook have the same name')
  for (const { id, scenario } of inputValues) {
    if (scenario !== undefined && !names.has(scenario)) throw new Error(`unknown scenario "${scenario}"`)
    const known = scenarios.some((s) => s.sheet.cells.get(id)?.kind === 'input') || isDecision(id)
    if (!known) throw new Error(`unknown input "${id}" in the workbook's input values`)
  }
}

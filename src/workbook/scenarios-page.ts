import { type Book, type Decision, keptRow, namesOf, type Placed } from './book.js'
import { NEVER } from './constants.js'
import { numberFormat } from './layout.js'
import { address, columnLetters, sheetPrefix } from './names.js'
import type { Content, Page } from './page-content.js'
import { scenarioCharts } from './scenario-charts.js'
import {
  choiceRows,
  FIRST_ROW,
  FIRST_VALUE,
  HEADING_ROW,
  heading,
  inColumn,
  note,
  plain,
  runs,
  sectionRow,
  titleRows,
  unitStyle,
  withFormat,
  wrapped,
} from './sheet-rows.js'
import type { Style } from './styles.js'

const waysOf: Readonly<Record<string, string>> = {
  'transport.taken': 'Ways to carry',
  'importer.taken': 'Ways to declare',
}

/** An amount that carries the mark of a way that does not work is no amount. */
const COST_OR_NEVER = '[>=1000000000]"does not work";#,##0.00'

/** What stands in the list of ways for the decision that the model takes. */
const CHEAPEST = 'The cheapest that works'

const listStyle: Style = { font: 'input', fill: 'input', border: 'thin', wrap: true, unlocked: true }

const nameOfWay = (label: string): string => label.split(': ').at(-1) ?? label

/**
 * What is decided, on one sheet: the totals of every scenario beside one another, every way with its whole cost and
 * which is taken, what a container costs by its size, what a cover is worth, and what sets the scenarios apart.
 */
export function scenariosPage(book: Book): Page {
  const { scenarios } = book
  const lesses = scenarios.slice(1).map((s) => `${s.name} less ${scenarios[0]?.name}`)
  const rows: (Content | undefined)[][] = [
    ...titleRows(
      'Scenarios side by side',
      'Each figure is taken from its own sheet; differences are from the first scenario.',
    ),
    ['Id', 'What it is', ...scenarios.map((s) => s.name), 'Unit', ...lesses].map((text) => ({
      text,
      style: heading,
    })),
    ...book.totals.map((placed, i) => totalRow(book, placed, FIRST_ROW + i)),
    ...book.decisions.flatMap((decision) => decisionRows(book, decision)),
  ]
  const sizes = addTable(
    book,
    rows,
    'Cost of carriage for each usable cubic metre',
    /^options\.[^.+]+\.cost-per-usable-m3$/,
  )
  const covers = addTable(
    book,
    rows,
    'Damage at which a cover has paid for itself, against none',
    /^cover\.[^.]+\.break-even$/,
  )
  const apart = choiceRows(scenarios, book.options.choiceLabels, true)
  rows.push(
    [],
    sectionRow('Choices that set the scenarios apart'),
    ...(apart.length > 0 ? apart : [[undefined, { text: 'None.', style: note }]]),
    [],
  )
  const phases = book.totals.flatMap(({ laid }, i) =>
    laid.id.startsWith('cost.') && laid.id !== 'cost.total' ? [FIRST_ROW + i] : [],
  )
  const unit = book.totals.find(({ laid }) => laid.id === 'cost.total')?.laid.unit ?? ''
  const last = FIRST_VALUE + scenarios.length - 1
  return {
    name: 'Scenarios',
    rows,
    widths: [30, 52, ...scenarios.map(() => 16), 14, ...lesses.map(() => 16)],
    frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    printed: { from: 1, to: FIRST_VALUE + scenarios.length + 1 + lesses.length },
    portrait: true,
    onePage: true,
    lists: wayLists(book),
    charts: scenarioCharts({
      sheet: 'Scenarios',
      unit,
      names: { row: HEADING_ROW, from: FIRST_VALUE, to: last },
      phases,
      sizes,
      covers,
      below: rows.length,
    }),
  }
}

function totalRow(book: Book, { laid, row }: Placed, here: number): (Content | undefined)[] {
  const format = numberFormat(laid, book.minorUnits)
  const whole = laid.id === 'cost.total'
  return [
    { text: laid.id, style: note },
    { text: laid.label, style: whole ? { font: 'bold', wrap: true } : wrapped },
    ...laid.cells.map(
      (cell, s) =>
        cell && {
          formula: `${sheetPrefix(laid.sheet)}${address(FIRST_VALUE + s, row)}`,
          style: withFormat(whole ? { font: 'bold', fill: 'band' } : plain, format),
        },
    ),
    { text: laid.unit, style: unitStyle },
    ...laid.cells.slice(1).map((cell, k) =>
      cell && laid.cells[0]
        ? {
            formula: `${address(FIRST_VALUE + k + 1, here)}-$${address(FIRST_VALUE, here)}`,
            style: withFormat(note, format),
          }
        : undefined,
    ),
  ]
}

/** Every way with its whole cost, the cheapest that works, a list to choose another from, and which is taken. */
function decisionRows(book: Book, decision: Decision): (Content | undefined)[][] {
  const { owner, first, amounts, among } = decision
  const taken = book.placed.get(owner)
  const unit = book.placed.get(amounts[0]?.id ?? '')?.laid.unit ?? ''
  const here = (content: (s: number) => Content, otherwise?: Content) =>
    book.scenarios.map((_, s) => (among.scenarios.has(s) ? content(s) : otherwise))
  const column = (s: number): string => {
    const letters = columnLetters(FIRST_VALUE + s)
    return `${letters}${first + 1}:${letters}${first + amounts.length}`
  }
  const takenAt = (s: number): string =>
    `${sheetPrefix(taken?.laid.sheet ?? '')}${address(FIRST_VALUE + s, taken?.row ?? 0)}`
  const never = book.nameOf(NEVER)
  return [
    [],
    sectionRow(`${waysOf[owner] ?? taken?.laid.label ?? owner}, each with its whole cost`),
    ...amounts.map(({ id, label, formula }) => [
      { text: id, style: note },
      { text: nameOfWay(label), style: wrapped },
      ...here((s) => ({ formula: inColumn(formula, s, 'Scenarios'), style: { format: COST_OR_NEVER } })),
      { text: unit, style: unitStyle },
    ]),
    [
      undefined,
      { text: CHEAPEST, style: wrapped },
      ...here((s) => ({ formula: `MATCH(MIN(${column(s)}),${column(s)},0)`, style: plain })),
      { text: 'number in this list', style: unitStyle },
    ],
    [
      { text: owner, style: note },
      { text: 'Which to take: choose from the list', style: wrapped },
      ...here((s) => ({ text: namedWay(book, owner, s) ?? CHEAPEST, style: listStyle }), {
        text: 'stated by the scenario',
        style: note,
        lines: 3,
      }),
    ],
    [
      undefined,
      { text: 'Which is taken', style: { font: 'bold' } },
      ...here((s) => ({
        formula: `INDEX(${namesOf(decision)},${takenAt(s)})&IF(INDEX(${column(s)},${takenAt(s)})>=${never},": does not work","")`,
        style: { font: 'bold', fill: 'band', wrap: true },
        lines: 3,
      })),
    ],
  ]
}

/** The way that an input value names for a decision of a scenario. */
function namedWay(book: Book, owner: string, s: number): string | undefined {
  const name = book.scenarios[s]?.name
  const fitting = (book.options.inputValues ?? []).filter(
    ({ id, scenario }) => id === owner && (scenario === undefined || scenario === name),
  )
  return fitting.at(-1)?.value.toString()
}

/** Cells of the sheet Scenarios in which a way can be named, and the cells with the names. */
export function wayLists(book: Book): { range: string; texts: string; cheapest: string }[] {
  return book.decisions.flatMap((decision) => {
    const { first, amounts, among } = decision
    const row = keptRow(decision)
    const cheapest = `$B$${first + amounts.length + 1}`
    return runs([...among.scenarios].toSorted((a, b) => a - b)).map(([from, to]) => ({
      range: `${address(FIRST_VALUE + from, row)}:${address(FIRST_VALUE + to, row)}`,
      texts: `$B$${first + 1}:${cheapest}`,
      cheapest,
    }))
  })
}

/** Rows of one kind from another sheet below one another, for reading and for a chart; gives back where they are. */
function addTable(
  book: Book,
  rows: (Content | undefined)[][],
  title: string,
  ids: RegExp,
): { from: number; to: number } {
  const wanted = [...book.placed.values()].filter(({ laid }) => ids.test(laid.id))
  if (wanted.length === 0) return { from: 0, to: -1 }
  rows.push([], sectionRow(title))
  const from = rows.length
  for (const { laid, row } of wanted) {
    const format = numberFormat(laid, book.minorUnits)
    rows.push([
      { text: laid.id, style: note },
      { text: laid.label.split(': ')[0] ?? laid.label, style: wrapped },
      ...laid.cells.map(
        (cell, s) =>
          cell && {
            formula: `${sheetPrefix(laid.sheet)}${address(FIRST_VALUE + s, row)}`,
            style: withFormat(plain, format),
          },
      ),
      { text: laid.unit, style: unitStyle },
    ])
  }
  return { from, to: rows.length - 1 }
}

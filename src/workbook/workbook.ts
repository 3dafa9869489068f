import type { Decimal } from 'decimal.js'
import { exact } from '../quantity/exact.js'
import type { Recorded } from '../quantity/recorded.js'
import type { NamedNumber } from './constants.js'
import { namedNumber, tensNumber } from './constants.js'
import { FormulaForest, type FormulaNode } from './forest.js'
import { FormulaWriter, madeFrom, OWN_COLUMN, type Places, type Reference, type Step } from './formula.js'
import {
  CELL_SHEETS,
  type CellSheet,
  isDetail,
  type LaidRow,
  laidRows,
  numberFormat,
  stored,
  type WorkbookScenario,
} from './layout.js'
import { address, columnLetters, definedName, sheetPrefix } from './names.js'
import { bookBytes, type Content, type DefinedName, type Page } from './package-parts.js'
import { readMe } from './read-me.js'
import { scenarioCharts } from './scenario-charts.js'
import { AGREES_LOOK, CHANGED_LOOK, DIFFERS_LOOK, type Style } from './styles.js'

/**
 * A value written in place of an input's own, as somebody typing into the sheet would; or, by the id of a decision such
 * as `transport.taken`, the name of the way to take, as somebody choosing from its list would.
 */
export interface InputValue {
  readonly id: string
  readonly value: Decimal.Value
  /** Only in this scenario's column; in every scenario where left out. */
  readonly scenario?: string
}

export interface WorkbookOptions {
  /** Heading of the first sheet; the household's name, for example. */
  readonly title?: string
  /** Day the figures are of, as year-month-day. */
  readonly asOf?: string
  /** Which scenario is recommended and by what rule, a paragraph each, at the likely values. */
  readonly recommendation?: readonly string[]
  /** Digits after the point of each currency (ISO 4217). */
  readonly minorUnits?: ReadonlyMap<string, number>
  /** Lock every cell but the inputs. There is no password: it guards against slips, not against people. */
  readonly protect?: boolean
  /** Values typed over inputs; the formulas and the model's figures on Check stay as they are. */
  readonly inputValues?: readonly InputValue[]
  /** Ids of the results to set side by side; those that end in `total` where left out. */
  readonly totals?: readonly string[]
  /** What numbers of the rules are called that only the caller knows, such as the doors of containers. */
  readonly numbers?: readonly NamedNumber[]
  /** What each choice is called, by its id. */
  readonly choiceLabels?: ReadonlyMap<string, string>
}

const HEADING_ROW = 2
const FIRST_ROW = 3
const FIRST_VALUE = 2

const heading: Style = { font: 'heading', fill: 'heading', wrap: true }
const plain: Style = {}
const wrapped: Style = { wrap: true }
const note: Style = { font: 'note' }
const unitStyle: Style = { indent: true }

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
  const writer = new WorkbookWriter(scenarios, options)
  const cellPages = CELL_SHEETS.map((sheet) => writer.page(sheet))
  // Steps come to light while the formulas are written, so their page is made last.
  const pages = [
    readMe(scenarios, options),
    ...cellPages.filter((page) => page.rows.length > FIRST_ROW),
    writer.sideBySide(),
    writer.choices(),
    writer.check(),
    writer.stepsPage(),
  ]
  return bookBytes({
    pages: pages.map((page) => ({ ...page, protected: options.protect ?? false })),
    names: writer.names,
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

interface Placed {
  readonly row: number
  readonly laid: LaidRow
  /** The first scenario that has the cell; later ones link to its input, and the input's name points at it. */
  readonly owner: number
}

interface StepRow {
  readonly id: string
  readonly label: string
  readonly formula: string
  readonly scenarios: ReadonlySet<number>
}

/** A choice among amounts, one below another on the sheet Scenarios, and the row of the first. */
interface Decision {
  readonly among: FormulaNode
  readonly owner: string
  readonly first: number
  readonly amounts: StepRow[]
}

/** All sheets of one workbook while they are being written. */
class WorkbookWriter {
  readonly names: DefinedName[] = []
  readonly #rows: ReadonlyMap<CellSheet, readonly LaidRow[]>
  readonly #placed = new Map<string, Placed>()
  readonly #taken = new Set<string>()
  readonly #steps: StepRow[] = []
  readonly #counts = new Map<string, number>()
  readonly #decisions: Decision[] = []
  readonly #numbers = new Map<string, NamedNumber & { readonly usedBy: string }>()
  readonly #totals: readonly Placed[]
  readonly #choiceRows: readonly Content[][]
  readonly #formulas: ReadonlyMap<string, string>
  readonly #minorUnits: ReadonlyMap<string, number>

  constructor(
    readonly scenarios: readonly WorkbookScenario[],
    readonly options: WorkbookOptions,
  ) {
    this.#minorUnits = options.minorUnits ?? new Map()
    this.#rows = laidRows(scenarios)
    for (const [sheet, rows] of this.#rows) {
      rows.forEach((laid, i) => {
        const owner = laid.cells.findIndex((cell) => cell !== undefined)
        const row = FIRST_ROW + i
        this.#placed.set(laid.id, { row, laid, owner })
        if (laid.kind === 'input')
          this.names.push({
            name: definedName(laid.id, this.#taken),
            sheet,
            column: FIRST_VALUE + owner,
            row,
          })
      })
    }
    this.#totals = this.#wantedTotals()
    this.#choiceRows = choiceRows(scenarios, options.choiceLabels, false)
    this.#formulas = this.#write()
  }

  #wantedTotals(): Placed[] {
    const wanted = this.options.totals
    const results = [...this.#placed.values()].filter(({ laid }) => laid.kind === 'derived')
    return wanted
      ? wanted.flatMap((id) => results.filter(({ laid }) => laid.id === id))
      : results.filter(({ laid }) => laid.sheet !== 'Inventory' && laid.sheet !== 'Ways' && isTotal(laid.id))
  }

  /** The formula of every derived cell, the same for all scenarios. */
  #write(): Map<string, string> {
    const own = this.options.numbers
    const forest = new FormulaForest(
      (id) => this.#placed.has(id),
      (value, owner) => namedNumber(value, owner, own)?.name,
    )
    const roots = this.scenarios.map(({ sheet }, s) =>
      forest.add(
        s,
        [...sheet.cells.values()].filter((cell) => cell.kind === 'derived'),
      ),
    )
    const ids = new Set(roots.flatMap((of) => [...of.keys()]))
    const joined = new Map([...ids].map((id) => [id, forest.join(roots.map((of) => of.get(id)))]))
    const places: Places = {
      input: (id) => this.#referenceTo(id),
      cell: (id) => (this.#placed.has(id) ? this.#referenceTo(id) : undefined),
      named: (node, owner) => this.#number(namedNumber(node.value, owner, own), owner),
      tens: (decimals) => this.#number(tensNumber(decimals), ''),
      kept: (among) => this.#kept(among),
      scenario: () => `Choices!${OWN_COLUMN}$${FIRST_ROW + 1}`,
      step: (part) => this.#step(part),
    }
    const writer = new FormulaWriter(places, new Set(joined.values()))
    return new Map([...joined].map(([id, root]) => [id, writer.formula(id, root)]))
  }

  #referenceTo(id: string): Reference {
    const placed = this.#placed.get(id)
    if (!placed) throw new Error(`a formula refers to "${id}", which is not a cell of the plan`)
    return reference(placed.laid.sheet, placed.row)
  }

  #number(number: NamedNumber | undefined, usedBy: string): Reference {
    if (!number) throw new Error('a number without a name')
    const known = this.#numbers.get(number.name)
    const name = known?.name ?? definedName(number.name, this.#taken)
    if (!known) {
      const row = this.#firstNumber + this.#numbers.size
      this.names.push({ name, sheet: 'Choices', column: FIRST_VALUE, row })
      this.#numbers.set(number.name, { ...number, name, usedBy })
    }
    return { text: name, at: { sheet: '', column: name, row: 0 } }
  }

  /** Row of the first number, below the choices and a heading. */
  get #firstNumber(): number {
    return FIRST_ROW + 1 + this.#choiceRows.length + 3
  }

  #step({ owner, what, formula, node, among }: Step): Reference {
    return among
      ? this.#amount(owner, formula, node, among)
      : this.#stepRow(owner, what, formula, node.scenarios)
  }

  #stepRow(owner: string, what: string, formula: string, scenarios: ReadonlySet<number>): Reference {
    const kind = `${owner} ${what}`
    const n = (this.#counts.get(kind) ?? 0) + 1
    this.#counts.set(kind, n)
    const label = this.#placed.get(owner)?.laid.label ?? owner
    this.#steps.push({ id: `${kind} ${n}`, label: `${label}: ${what} ${n}`, formula, scenarios })
    return reference('Steps', FIRST_ROW + this.#steps.length - 1)
  }

  #amount(owner: string, formula: string, node: FormulaNode, among: FormulaNode): Reference {
    const last = this.#decisions.at(-1)
    const first = last ? endOfDecision(last) + 2 : FIRST_ROW + this.#totals.length + 2
    const decision = last?.among === among ? last : { among, owner, first, amounts: [] }
    if (decision !== last) this.#decisions.push(decision)
    const total = node.args.find(({ operation }) => operation.kind === 'cell')?.operation
    const id = total?.kind === 'cell' ? total.id : `${owner} ${decision.amounts.length + 1}`
    const label = this.#placed.get(id)?.laid.label ?? id
    decision.amounts.push({ id, label, formula, scenarios: among.scenarios })
    return reference('Scenarios', decision.first + decision.amounts.length - 1)
  }

  #kept(among: FormulaNode): { way: string; names: string } {
    const decision = this.#decisions.find((known) => known.among === among)
    if (!decision) throw new Error('a choice among amounts that are not placed')
    return {
      way: reference('Scenarios', keptRow(decision)).text,
      names: `Scenarios!${namesOf(decision)}`,
    }
  }

  /** A sheet of inputs, results or both. */
  page(sheet: CellSheet): Page {
    const rows = this.#rows.get(sheet) ?? []
    const withInputs = rows.some((row) => row.kind === 'input')
    const scenarios = this.scenarios.map((s) => s.name)
    const after = FIRST_VALUE + scenarios.length
    const { state, asWritten } = this.#columns(sheet)
    const last = FIRST_ROW + rows.length - 1
    const headings = [
      'Id',
      'What it is',
      ...scenarios,
      'Unit',
      ...(withInputs ? ['Low', 'High'] : []),
      'Source, or what it is made from',
      'Confirmed',
      'State',
      ...scenarios.map((name) => `${name}, as written`),
    ]
    const body = rows.map((laid, i) => this.#row(laid, FIRST_ROW + i, withInputs))
    const valueRange = `${address(FIRST_VALUE, FIRST_ROW)}:${address(after - 1, last)}`
    const inputRows = rows.flatMap((row, i) => (row.kind === 'input' ? [FIRST_ROW + i] : []))
    return {
      name: sheet,
      rows: [
        ...titleRows(sheet, subtitles[sheet]),
        headings.map((text) => ({ text, style: heading })),
        ...body,
      ],
      widths: [
        30,
        52,
        ...scenarios.map(() => 16),
        14,
        ...(withInputs ? [11, 11] : []),
        48,
        16,
        10,
        ...scenarios.map(() => 0),
      ],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
      headings: { row: HEADING_ROW, columns: state + 1 },
      hidden: sheet === 'Ways',
      detailRows: new Set(rows.flatMap((laid, i) => (isDetail(laid) ? [FIRST_ROW + i] : []))),
      ...(sheet === 'Ways' ? {} : { printed: { from: 1, to: after + 1 } }),
      portrait: true,
      ...(withInputs
        ? {
            looks: [
              {
                range: valueRange,
                condition: `AND($${columnLetters(state)}${FIRST_ROW + 1}="changed",${address(FIRST_VALUE, FIRST_ROW)}<>${address(asWritten, FIRST_ROW)})`,
                look: CHANGED_LOOK,
              },
            ],
            numbersOnly: runs(inputRows).map(
              ([from, to]) => `${address(FIRST_VALUE, from)}:${address(after - 1, to)}`,
            ),
          }
        : {}),
    }
  }

  /** Columns after values, unit, range, source and confirmed: the state of the row, then each value as written. */
  #columns(sheet: CellSheet): { state: number; asWritten: number } {
    const withInputs = this.#rows.get(sheet)?.some((row) => row.kind === 'input') ?? false
    const state = FIRST_VALUE + this.scenarios.length + (withInputs ? 5 : 3)
    return { state, asWritten: state + 1 }
  }

  #row(laid: LaidRow, row: number, withInputs: boolean): (Content | undefined)[] {
    const format = numberFormat(laid, this.#minorUnits)
    const shown = laid.cells.find((cell) => cell !== undefined)
    const range = shown?.value.operation.kind === 'input' ? shown.value.operation.row : undefined
    const origin = laid.kind === 'input' ? shown?.source : madeFromText(shown?.value)
    return [
      { text: laid.id, style: note },
      { text: laid.label, style: wrapped },
      ...this.scenarios.map((_, s) => this.#value(laid, s, format)),
      { text: laid.unit, style: unitStyle },
      ...(withInputs
        ? [
            range && { number: stored(range.low), style: withFormat(note, format) },
            range && { number: stored(range.high), style: withFormat(note, format) },
          ]
        : []),
      { text: origin ?? shown?.source ?? '', style: { ...note, indent: true } },
      { text: shown?.confirmed ?? (laid.kind === 'derived' ? 'worked out' : ''), style: note },
      ...this.#state(laid, row, withFormat(plain, format)),
    ]
  }

  #value(laid: LaidRow, s: number, format: string | undefined): Content | undefined {
    const cell = laid.cells[s]
    if (!cell) return undefined
    if (laid.kind === 'derived') {
      const style = withFormat(laid.sheet === 'Inventory' ? { fill: 'band' } : plain, format)
      return { formula: inColumn(this.#formulas.get(laid.id) ?? '', s, laid.sheet), style }
    }
    const own: Style = withFormat({ font: 'input', fill: 'input', border: 'thin', unlocked: true }, format)
    const link = this.#link(laid, s)
    const typed = this.#typed(laid.id, s, link !== undefined)
    if (typed) return { number: stored(typed), style: own }
    if (link) return { formula: link, style: { ...own, fill: 'linked' } }
    return { number: stored(cell.value.value), style: own }
  }

  /** Address of the first scenario's input, where a later one has the same value. */
  #link(laid: LaidRow, s: number): string | undefined {
    const owner = this.#placed.get(laid.id)?.owner ?? s
    const first = laid.cells[owner]
    const cell = laid.cells[s]
    if (owner === s || !first || !cell || !first.value.value.eq(cell.value.value)) return undefined
    return `$${address(FIRST_VALUE + owner, this.#placed.get(laid.id)?.row ?? 0)}`
  }

  #typed(id: string, s: number, linked: boolean): Decimal | undefined {
    const name = this.scenarios[s]?.name
    const fitting = (this.options.inputValues ?? []).filter(
      (v) => v.id === id && (v.scenario === undefined ? !linked : v.scenario === name),
    )
    const last = fitting.at(-1)
    return last && exact.of(last.value)
  }

  /** Whether an input was changed, whether a result is still the model's; then the values as written. */
  #state(laid: LaidRow, row: number, style: Style): (Content | undefined)[] {
    const { asWritten } = this.#columns(laid.sheet)
    const pairs = laid.cells.flatMap((cell, s) =>
      cell ? [[address(FIRST_VALUE + s, row), address(asWritten + s, row)] as const] : [],
    )
    const differs = pairs.map(([now, was]) => `${now}<>${was}`)
    const close = pairs.map(([now, was]) => `ABS(${now}-${was})<=${NEAR}+${RELATIVELY_NEAR}*ABS(${was})`)
    const formula =
      laid.kind === 'input'
        ? `IF(OR(${differs.join(',')}),"changed","")`
        : `IFERROR(IF(AND(${close.join(',')}),"same","differs"),"no number")`
    return [
      { formula, style: laid.kind === 'input' ? { font: 'caution' } : note },
      ...laid.cells.map((cell) => cell && { number: stored(cell.value.value), style }),
    ]
  }

  /**
   * What is decided, on one sheet: the totals of every scenario beside one another, every way with its whole cost and
   * which is taken, what a container costs by its size, what a cover is worth, and what sets the scenarios apart.
   */
  sideBySide(): Page {
    const { scenarios } = this
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
      ...this.#totals.map((placed, i) => this.#totalRow(placed, FIRST_ROW + i)),
      ...this.#decisions.flatMap((decision) => this.#decisionRows(decision)),
    ]
    const sizes = this.#addTable(
      rows,
      'Cost of carriage for each usable cubic metre',
      /^options\.[^.+]+\.cost-per-usable-m3$/,
    )
    const covers = this.#addTable(
      rows,
      'Damage at which a cover has paid for itself, against none',
      /^cover\.[^.]+\.break-even$/,
    )
    const apart = choiceRows(scenarios, this.options.choiceLabels, true)
    rows.push(
      [],
      sectionRow('Choices that set the scenarios apart'),
      ...(apart.length > 0 ? apart : [[undefined, { text: 'None.', style: note }]]),
      [],
    )
    const phases = this.#totals.flatMap(({ laid }, i) =>
      laid.id.startsWith('cost.') && laid.id !== 'cost.total' ? [FIRST_ROW + i] : [],
    )
    const unit = this.#totals.find(({ laid }) => laid.id === 'cost.total')?.laid.unit ?? ''
    const last = FIRST_VALUE + scenarios.length - 1
    return {
      name: 'Scenarios',
      rows,
      widths: [30, 52, ...scenarios.map(() => 16), 14, ...lesses.map(() => 16)],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
      printed: { from: 1, to: FIRST_VALUE + scenarios.length + 1 + lesses.length },
      portrait: true,
      onePage: true,
      lists: this.#lists(),
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

  #totalRow({ laid, row }: Placed, here: number): (Content | undefined)[] {
    const format = numberFormat(laid, this.#minorUnits)
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
  #decisionRows(decision: Decision): (Content | undefined)[][] {
    const { owner, first, amounts, among } = decision
    const taken = this.#placed.get(owner)
    const unit = this.#placed.get(amounts[0]?.id ?? '')?.laid.unit ?? ''
    const here = (content: (s: number) => Content, otherwise?: Content) =>
      this.scenarios.map((_, s) => (among.scenarios.has(s) ? content(s) : otherwise))
    const column = (s: number): string => {
      const letters = columnLetters(FIRST_VALUE + s)
      return `${letters}${first + 1}:${letters}${first + amounts.length}`
    }
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
        ...here((s) => ({ text: this.#named(owner, s) ?? CHEAPEST, style: listStyle }), {
          text: 'stated by the scenario',
          style: note,
          lines: 3,
        }),
      ],
      [
        undefined,
        { text: 'Which is taken', style: { font: 'bold' } },
        ...here((s) => ({
          formula: `INDEX(${namesOf(decision)},${sheetPrefix(taken?.laid.sheet ?? '')}${address(FIRST_VALUE + s, taken?.row ?? 0)})`,
          style: { font: 'bold', fill: 'band', wrap: true },
          lines: 3,
        })),
      ],
    ]
  }

  /** The way that an input value names for a decision of a scenario. */
  #named(owner: string, s: number): string | undefined {
    const name = this.scenarios[s]?.name
    const fitting = (this.options.inputValues ?? []).filter(
      ({ id, scenario }) => id === owner && (scenario === undefined || scenario === name),
    )
    return fitting.at(-1)?.value.toString()
  }

  /** Cells of the sheet Scenarios in which a way can be named, and the cells with the names. */
  #lists(): { range: string; texts: string; cheapest: string }[] {
    return this.#decisions.flatMap((decision) => {
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
  #addTable(rows: (Content | undefined)[][], title: string, ids: RegExp): { from: number; to: number } {
    const wanted = [...this.#placed.values()].filter(({ laid }) => ids.test(laid.id))
    if (wanted.length === 0) return { from: 0, to: -1 }
    rows.push([], sectionRow(title))
    const from = rows.length
    for (const { laid, row } of wanted) {
      const format = numberFormat(laid, this.#minorUnits)
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

  /** What is fixed when the file is written: what was chosen in words, and the numbers of the rules. */
  choices(): Page {
    const { scenarios } = this
    const alike = (row: readonly Content[]) =>
      scenarios.length > 1 && new Set(row.slice(2).map((c) => ('text' in c ? c.text : ''))).size === 1
    const headings = (...texts: string[]) => texts.map((text) => ({ text, style: heading }))
    const labelOf = ({ label, usedBy }: { label: string; usedBy: string }) =>
      label || `In: ${this.#placed.get(usedBy)?.laid.label ?? usedBy}`
    return {
      name: 'Choices',
      rows: [
        ...titleRows(
          'Choices and numbers of the rules',
          `Fixed when this file was written: have the program write it anew to change one.${this.#decisions.length > 0 ? ' The carriage can be chosen on Scenarios.' : ''}`,
        ),
        headings('Id', 'What it is', ...scenarios.map((s) => s.name)),
        [
          { text: 'scenario', style: note },
          { text: 'Number of the scenario: which of several formulas a row takes', style: wrapped },
          ...scenarios.map((_, s) => ({ number: s + 1, style: plain })),
        ],
        ...this.#choiceRows,
        [],
        sectionRow('Numbers that formulas use by name'),
        headings('Name', 'What it is', 'Value', 'Unit'),
        ...[...this.#numbers.values()].map((number) => [
          { text: number.name, style: note },
          { text: labelOf(number), style: wrapped },
          { number: stored(exact.of(number.value)), style: plain },
          { text: number.unit, style: unitStyle },
        ]),
      ],
      widths: [30, 52, ...scenarios.map(() => 20)],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
      detailRows: new Set(this.#choiceRows.flatMap((row, i) => (alike(row) ? [FIRST_ROW + 1 + i] : []))),
      printed: { from: 0, to: FIRST_VALUE + scenarios.length },
      portrait: true,
    }
  }

  /** Whether the workbook still says what the model says, sheet by sheet. */
  check(): Page {
    const first = 8
    const sheets = CELL_SHEETS.filter((sheet) => (this.#rows.get(sheet)?.length ?? 0) > 0)
    const rows = sheets.map((sheet): Content[] => {
      const laid = this.#rows.get(sheet) ?? []
      const column = columnLetters(this.#columns(sheet).state)
      const range = (letters: string) =>
        `${sheetPrefix(sheet)}$${letters}$${FIRST_ROW + 1}:$${letters}$${FIRST_ROW + laid.length}`
      const count = (state: string) => ({ formula: `COUNTIF(${range(column)},"${state}")`, style: plain })
      const inputs = laid.filter((row) => row.kind === 'input').length
      return [
        { text: sheet, style: plain },
        { number: inputs, style: plain },
        count('changed'),
        { number: laid.length - inputs, style: plain },
        count('same'),
        count('differs'),
        count('no number'),
        {
          formula: `IFERROR(INDEX(${range('A')},MATCH("no number",${range(column)},0)),IFERROR(INDEX(${range('A')},MATCH("differs",${range(column)},0)),""))`,
          style: note,
        },
      ]
    })
    const last = first + rows.length
    const sum = (letters: string) => ({
      formula: `SUM(${letters}${first + 1}:${letters}${last})`,
      style: { font: 'bold' } as const,
    })
    const total = (letters: string) => `${letters}${last + 1}`
    this.names.push(
      { name: NEAR, sheet: 'Check', column: 2, row: 3 },
      { name: RELATIVELY_NEAR, sheet: 'Check', column: 2, row: 4 },
    )
    const labelled = (text: string, content: Content): (Content | undefined)[] => [
      { text, style: plain },
      undefined,
      content,
    ]
    return {
      name: 'Check',
      rows: [
        [{ text: 'Check: does this workbook still say what the model says?', style: { font: 'title' } }],
        [
          { text: 'Verdict', style: { font: 'bold' } },
          undefined,
          {
            formula: `IF(${total('G')}+IF(C3>0,0,${total('F')})>0,"Do not use: "&(${total('F')}+${total('G')})&" figures differ",IF(C3>0,"Live: "&C3&" inputs changed, figures no longer those of the model","All "&${total('E')}&" figures agree with the model"))`,
            style: { font: 'bold' },
          },
        ],
        labelled('Inputs and choices changed', {
          formula: [total('C'), ...this.#lists().map(chosenCount)].join('+'),
          style: plain,
        }),
        labelled('A figure is the same that is this near', { number: 1e-9, style: { format: '0E+00' } }),
        labelled('and this share of itself', { number: 1e-12, style: { format: '0E+00' } }),
        [
          {
            text: 'What the model worked out in exact decimals is in hidden columns at the right of each sheet; the column State compares.',
            style: note,
          },
        ],
        [],
        ['Sheet', 'Inputs', 'Changed', 'Results', 'Same', 'Differ', 'No number', 'First that does'].map(
          (text) => ({ text, style: heading }),
        ),
        ...rows,
        [{ text: 'All', style: { font: 'bold' } }, ...['B', 'C', 'D', 'E', 'F', 'G'].map(sum)],
      ],
      widths: [34, 10, 14, 10, 10, 10, 12, 44],
      frozen: { rows: first, columns: 1 },
      looks: [
        { range: 'C2', condition: 'LEFT($C$2,3)="All"', look: AGREES_LOOK },
        { range: 'C2', condition: 'LEFT($C$2,2)="Do"', look: DIFFERS_LOOK },
      ],
    }
  }

  /** Parts of formulas that would be too long, or that several formulas share. */
  stepsPage(): Page {
    return {
      name: 'Steps',
      hidden: true,
      rows: [
        ...titleRows(
          'Steps',
          'Parts of formulas of other sheets, in rows of their own because they are shared, long, or rounded.',
        ),
        ['Id', 'Part of', ...this.scenarios.map((s) => s.name)].map((text) => ({ text, style: heading })),
        ...this.#steps.map(({ id, label, formula, scenarios }) => [
          { text: id, style: note },
          { text: label, style: wrapped },
          ...this.scenarios.map((_, s) =>
            scenarios.has(s) ? { formula: inColumn(formula, s, 'Steps'), style: plain } : undefined,
          ),
        ]),
      ],
      widths: [40, 60, ...this.scenarios.map(() => 18)],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    }
  }
}

/** Names of the two numbers on Check that say how near a figure must be to the model's. */
const NEAR = 'check_near'
const RELATIVELY_NEAR = 'check_relatively_near'
const waysOf: Readonly<Record<string, string>> = {
  'transport.taken': 'Ways to carry',
  'importer.taken': 'Ways to declare',
}
/** An amount that carries the mark of a way that does not work is no amount. */
const COST_OR_NEVER = '[>=1000000000]"does not work";#,##0.00'

/** What stands in the list of ways for the decision that the model takes. */
const CHEAPEST = 'The cheapest that works'
const listStyle: Style = { font: 'input', fill: 'input', border: 'thin', wrap: true, unlocked: true }

const isDecision = (id: string): boolean => /(^|\.)taken$/.test(id)
const nameOfWay = (label: string): string => label.split(': ').at(-1) ?? label
/** Below the ways stand the cheapest, the one that somebody names, and the one taken. */
const keptRow = ({ first, amounts }: Decision): number => first + amounts.length + 1
const endOfDecision = (decision: Decision): number => keptRow(decision) + 2
const namesOf = ({ first, amounts }: Decision): string => `$B$${first + 1}:$B$${first + amounts.length}`
/** How many cells of a list name a way. */
const chosenCount = ({ range, cheapest }: { range: string; cheapest: string }): string =>
  `COUNTIF(Scenarios!${range},"?*")-COUNTIF(Scenarios!${range},Scenarios!${cheapest})`

const reference = (sheet: string, row: number): Reference => {
  const prefix = sheetPrefix(sheet)
  return {
    text: `${prefix}${OWN_COLUMN}${row + 1}`,
    at: { sheet: prefix, column: OWN_COLUMN, row: row + 1 },
  }
}

const subtitles: Readonly<Record<CellSheet, string>> = {
  Inputs: 'Change the yellow cells. A pale cell follows the first scenario until something is typed over it.',
  Inventory: 'What is moved, line by line: yellow and pale cells are inputs, the others formulas.',
  Volume: 'Volume, mass and stowage. Estimates: the packed container may differ.',
  Ways: 'The same figures for every way to carry and to declare; the other sheets show the way taken.',
  Cost: 'What each way of moving costs. Estimates, not quotes.',
  Customs: 'Duty and tax on arrival. Ask the customs office or a licensed broker before relying on it.',
  Cover: 'Value, premium and what each cover is worth. The policy wording decides.',
  Time: 'Days and what waiting costs.',
  Quotes: 'Quotes received, brought to one volume and one list of services.',
  Further: 'Other results of the plan.',
}

/** Title and subtitle above the column that paper begins with: ids are not printed. */
const titleRows = (title: string, subtitle: string): (Content | undefined)[][] => [
  [undefined, { text: title, style: { font: 'title' } }],
  [undefined, { text: subtitle, style: note }],
]

const sectionRow = (text: string): (Content | undefined)[] => [undefined, { text, style: { font: 'bold' } }]

const withFormat = (style: Style, format: string | undefined): Style =>
  format ? { ...style, format } : style

/** A row's formula in the column of one scenario. References to the sheet it stands on need no sheet. */
const inColumn = (formula: string, s: number, sheet: string): string =>
  formula
    .replaceAll(OWN_COLUMN, columnLetters(FIRST_VALUE + s))
    .replace(new RegExp(`(?<![A-Za-z0-9_])${sheet}!`, 'g'), '')

const isTotal = (id: string): boolean => /(^|\.)total$/.test(id)

function madeFromText(value: Recorded | undefined): string {
  if (!value) return ''
  const ids = madeFrom(value, 8)
  return ids.length > 8 ? `${ids.slice(0, 8).join(', ')} and others` : ids.join(', ')
}

/** Choices and their words in each scenario; only those that are not the same in all, if asked. */
function choiceRows(
  scenarios: readonly WorkbookScenario[],
  labels: ReadonlyMap<string, string> = new Map(),
  onlyApart: boolean,
): Content[][] {
  const ids = new Set(scenarios.flatMap((s) => [...s.sheet.choices.keys()]))
  return [...ids].flatMap((id) => {
    const words = scenarios.map((s) => s.sheet.choices.get(id) ?? '')
    if (onlyApart && new Set(words).size === 1) return []
    return [
      [
        { text: id, style: note },
        { text: labels.get(id) ?? '', style: wrapped },
        ...words.map((text) => ({ text, style: plain })),
      ],
    ]
  })
}

/** First and last of each run of neighbouring rows. */
function runs(rows: readonly number[]): [number, number][] {
  const found: [number, number][] = []
  for (const row of rows) {
    const last = found.at(-1)
    if (last && row === last[1] + 1) last[1] = row
    else found.push([row, row])
  }
  return found
}

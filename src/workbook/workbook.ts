import type { Decimal } from 'decimal.js'
import { exact } from '../quantity/exact.js'
import type { Recorded } from '../quantity/recorded.js'
import { FormulaWriter, madeFrom, type Places, type Reference, type Step } from './formula.js'
import {
  CELL_SHEETS,
  type CellSheet,
  type LaidRow,
  laidRows,
  numberFormat,
  stored,
  type WorkbookScenario,
} from './layout.js'
import { address, columnLetters, definedName, sheetPrefix } from './names.js'
import { bookBytes, type Content, type DefinedName, type Page } from './package-parts.js'
import { readMe } from './read-me.js'
import { AGREES_LOOK, CHANGED_LOOK, DIFFERS_LOOK, type Style } from './styles.js'

/** A value written in place of an input's own, as somebody typing into the sheet would. */
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
 * One column for each scenario, the same rows in all. An input that a scenario leaves as it stands in the first one
 * is a link to it; typing over the link changes that scenario alone. The sheet Check compares every result with the
 * model's exact one. Where the carriage and the importer are left open, the sheet chooses them anew; other choices that
 * are not numbers (who does what) are listed, not live.
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
    const known = scenarios.some((s) => s.sheet.cells.get(id)?.kind === 'input')
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
  readonly formulas: (string | Decimal | undefined)[]
}

/** All sheets of one workbook while they are being written. */
class WorkbookWriter {
  readonly names: DefinedName[] = []
  readonly #rows: ReadonlyMap<CellSheet, readonly LaidRow[]>
  readonly #placed = new Map<string, Placed>()
  readonly #nameOf = new Map<string, string>()
  readonly #steps = new Map<string, StepRow & { readonly row: number }>()
  readonly #formulas: ReadonlyMap<string, string>[]
  readonly #minorUnits: ReadonlyMap<string, number>

  constructor(
    readonly scenarios: readonly WorkbookScenario[],
    readonly options: WorkbookOptions,
  ) {
    this.#minorUnits = options.minorUnits ?? new Map()
    this.#rows = laidRows(scenarios)
    const taken = new Set<string>()
    for (const [sheet, rows] of this.#rows) {
      rows.forEach((laid, i) => {
        const owner = laid.cells.findIndex((cell) => cell !== undefined)
        const row = FIRST_ROW + i
        this.#placed.set(laid.id, { row, laid, owner })
        if (laid.kind === 'input') {
          const name = definedName(laid.id, taken)
          this.#nameOf.set(laid.id, name)
          this.names.push({ name, sheet, column: FIRST_VALUE + owner, row })
        }
      })
    }
    this.#formulas = scenarios.map((_, s) => this.#formulasOf(s))
  }

  #formulasOf(s: number): Map<string, string> {
    const cells = [...(this.scenarios[s]?.sheet.cells.values() ?? [])].filter(
      (cell) => cell.kind === 'derived',
    )
    const places: Places = {
      input: (id) => this.#referenceTo(id, s),
      cell: (id) => (this.#placed.has(id) ? this.#referenceTo(id, s) : undefined),
      step: (part) => this.#step(part, s, counts),
    }
    const counts = new Map<string, number>()
    const writer = new FormulaWriter(
      places,
      cells.map((cell) => cell.value),
    )
    return new Map(cells.map((cell) => [cell.id, writer.formula(cell.id, cell.value)]))
  }

  #referenceTo(id: string, s: number): Reference {
    const placed = this.#placed.get(id)
    if (!placed?.laid.cells[s])
      throw new Error(`a formula refers to "${id}", which is not a cell of the plan`)
    const column = columnLetters(FIRST_VALUE + s)
    const sheet = sheetPrefix(placed.laid.sheet)
    const name = placed.owner === s ? this.#nameOf.get(id) : undefined
    return { text: name ?? `${sheet}${column}${placed.row + 1}`, at: { sheet, column, row: placed.row + 1 } }
  }

  #step(part: Step, s: number, counts: Map<string, number>): Reference {
    const kind = `${part.owner} ${part.what}`
    const n = (counts.get(kind) ?? 0) + 1
    counts.set(kind, n)
    const id = `${kind} ${n}`
    const known = this.#steps.get(id)
    const label = this.#placed.get(part.owner)?.laid.label ?? part.owner
    const step = known ?? {
      id,
      label: `${label}: ${part.what} ${n}`,
      formulas: [],
      row: FIRST_ROW + this.#steps.size,
    }
    this.#steps.set(id, step)
    step.formulas[s] = part.formula
    const column = columnLetters(FIRST_VALUE + s)
    return { text: `Steps!${column}${step.row + 1}`, at: { sheet: 'Steps!', column, row: step.row + 1 } }
  }

  /** A sheet of inputs, results or both. */
  page(sheet: CellSheet): Page {
    const rows = this.#rows.get(sheet) ?? []
    const withInputs = rows.some((row) => row.kind === 'input')
    const scenarios = this.scenarios.map((s) => s.name)
    const after = FIRST_VALUE + scenarios.length
    const { changed, asWritten } = this.#inputColumns()
    const last = FIRST_ROW + rows.length - 1
    const headings = [
      'Id',
      'What it is',
      ...scenarios,
      'Unit',
      ...(withInputs ? ['Low', 'High'] : []),
      'Source, or what it is made from',
      'Confirmed',
      ...(withInputs ? ['Changed', ...scenarios.map((name) => `${name}, as written`)] : []),
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
        11,
        ...(withInputs ? [11, 11] : []),
        48,
        16,
        ...(withInputs ? [10, ...scenarios.map(() => 0)] : []),
      ],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
      headings: { row: HEADING_ROW, columns: withInputs ? changed + 1 : after + 3 },
      ...(withInputs
        ? {
            looks: [
              {
                range: valueRange,
                condition: `AND($${columnLetters(changed)}${FIRST_ROW + 1}="changed",${address(FIRST_VALUE, FIRST_ROW)}<>${address(asWritten, FIRST_ROW)})`,
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

  /** Columns after values, unit, low, high, source and confirmed: the mark of a change, then each value as written. */
  #inputColumns(): { changed: number; asWritten: number } {
    const changed = FIRST_VALUE + this.scenarios.length + 5
    return { changed, asWritten: changed + 1 }
  }

  #row(laid: LaidRow, row: number, withInputs: boolean): (Content | undefined)[] {
    const format = numberFormat(laid, this.#minorUnits)
    const shown = laid.cells.find((cell) => cell !== undefined)
    const range = shown?.value.operation.kind === 'input' ? shown.value.operation.row : undefined
    const tail: (Content | undefined)[] =
      laid.kind === 'input' ? this.#inputTail(laid, row, withFormat(plain, format)) : []
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
      ...tail,
    ]
  }

  #value(laid: LaidRow, s: number, format: string | undefined): Content | undefined {
    const cell = laid.cells[s]
    if (!cell) return undefined
    if (laid.kind === 'derived') {
      const formula = this.#formulas[s]?.get(laid.id) ?? ''
      const style = withFormat(laid.sheet === 'Inventory' ? { fill: 'band' } : plain, format)
      return { formula: withoutOwnSheet(formula, laid.sheet), style }
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
    return address(FIRST_VALUE + owner, this.#placed.get(laid.id)?.row ?? 0)
  }

  #typed(id: string, s: number, linked: boolean): Decimal | undefined {
    const name = this.scenarios[s]?.name
    const fitting = (this.options.inputValues ?? []).filter(
      (v) => v.id === id && (v.scenario === undefined ? !linked : v.scenario === name),
    )
    const last = fitting.at(-1)
    return last && exact.of(last.value)
  }

  #inputTail(laid: LaidRow, row: number, style: Style): (Content | undefined)[] {
    const { asWritten } = this.#inputColumns()
    const differs = laid.cells.flatMap((cell, s) =>
      cell ? [`${address(FIRST_VALUE + s, row)}<>${address(asWritten + s, row)}`] : [],
    )
    const condition = differs.length === 1 ? differs[0] : `OR(${differs.join(',')})`
    return [
      { formula: `IF(${condition},"changed","")`, style: { font: 'caution' } },
      ...laid.cells.map((cell) => cell && { number: stored(cell.value.value), style }),
    ]
  }

  /** The totals of every scenario beside one another, what sets the scenarios apart, and the difference from the first. */
  sideBySide(): Page {
    const { scenarios } = this
    const wanted = this.options.totals
    const results = [...this.#placed.values()].filter(({ laid }) => laid.kind === 'derived')
    const ids = wanted
      ? wanted.flatMap((id) => results.filter(({ laid }) => laid.id === id))
      : results.filter(({ laid }) => laid.sheet !== 'Inventory' && isTotal(laid.id))
    const totals = ids.map(({ laid, row }, i): (Content | undefined)[] => {
      const format = numberFormat(laid, this.#minorUnits)
      const here = FIRST_ROW + i
      return [
        { text: laid.id, style: note },
        { text: laid.label, style: laid.id === 'cost.total' ? { font: 'bold', wrap: true } : wrapped },
        ...laid.cells.map((cell, s) =>
          cell
            ? {
                formula: `${sheetPrefix(laid.sheet)}${address(FIRST_VALUE + s, row)}`,
                style: withFormat(laid.id === 'cost.total' ? { font: 'bold', fill: 'band' } : plain, format),
              }
            : undefined,
        ),
        { text: laid.unit, style: unitStyle },
        ...laid.cells.slice(1).map((cell, k) =>
          cell && laid.cells[0]
            ? {
                formula: `${address(FIRST_VALUE + k + 1, here)}-${address(FIRST_VALUE, here)}`,
                style: withFormat(note, format),
              }
            : undefined,
        ),
      ]
    })
    const apart = choiceRows(scenarios, this.options.choiceLabels, true)
    const columns = FIRST_VALUE + scenarios.length + 1 + Math.max(0, scenarios.length - 1)
    return {
      name: 'Scenarios',
      rows: [
        ...titleRows(
          'Scenarios side by side',
          'Each figure is taken from its own sheet; differences are from the first scenario.',
        ),
        [
          ...['Id', 'What it is', ...scenarios.map((s) => s.name), 'Unit'],
          ...scenarios.slice(1).map((s) => `${s.name} less ${scenarios[0]?.name}`),
        ].map((text) => ({ text, style: heading })),
        ...totals,
        [],
        [{ text: 'Choices that set the scenarios apart', style: { font: 'bold' } }],
        ...(apart.length > 0 ? apart : [[{ text: 'None.', style: note }]]),
      ],
      widths: [30, 52, ...scenarios.map(() => 16), 11, ...scenarios.slice(1).map(() => 16)].slice(0, columns),
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    }
  }

  /** What was chosen in words: fixed when the file is written. */
  choices(): Page {
    const { scenarios } = this
    return {
      name: 'Choices',
      rows: [
        ...titleRows(
          'Choices',
          'Fixed when this file was written. To change one, have the program write the file anew.',
        ),
        ['Id', 'What it is', ...scenarios.map((s) => s.name)].map((text) => ({ text, style: heading })),
        ...choiceRows(scenarios, this.options.choiceLabels, false),
      ],
      widths: [30, 52, ...scenarios.map(() => 16)],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    }
  }

  /** Every result beside the model's exact figure, with a verdict. */
  check(): Page {
    const rows: (Content | undefined)[][] = []
    const first = 5
    this.scenarios.forEach(({ name }, s) => {
      for (const { laid, row } of this.#placed.values()) {
        const cell = laid.kind === 'derived' ? laid.cells[s] : undefined
        if (!cell) continue
        const format = numberFormat(laid, this.#minorUnits)
        const r = first + rows.length + 1
        rows.push([
          { text: name, style: plain },
          { text: laid.id, style: note },
          { text: laid.label, style: wrapped },
          {
            formula: `${sheetPrefix(laid.sheet)}${address(FIRST_VALUE + s, row)}`,
            style: withFormat(plain, format),
          },
          { number: stored(cell.value.value), style: withFormat(plain, format) },
          { formula: `D${r}-E${r}`, style: { format: '0.00E+00' } },
          {
            formula: `IF(ISNUMBER(F${r}),IF(ABS(F${r})<=0.000000001+0.000000000001*ABS(E${r}),"same",IF($C$3>0,"inputs changed","DIFFERS")),"NO NUMBER")`,
            style: plain,
          },
        ])
      }
    })
    const last = first + rows.length
    const verdicts = `$G$${first + 1}:$G$${last}`
    const changed = CELL_SHEETS.flatMap((sheet) => {
      const inputs = this.#rows.get(sheet) ?? []
      if (!inputs.some((row) => row.kind === 'input')) return []
      const column = columnLetters(this.#inputColumns().changed)
      return [
        `COUNTIF(${sheetPrefix(sheet)}$${column}$${FIRST_ROW + 1}:$${column}$${FIRST_ROW + inputs.length},"changed")`,
      ]
    })
    const bad = `COUNTIF(${verdicts},"DIFFERS")+COUNTIF(${verdicts},"NO NUMBER")`
    return {
      name: 'Check',
      rows: [
        [{ text: 'Check: does this workbook still say what the model says?', style: { font: 'title' } }],
        [
          { text: 'Verdict', style: { font: 'bold' } },
          undefined,
          {
            formula: `IF(${bad}>0,"Do not use: "&(${bad})&" figures differ",IF(C3>0,"Live: "&C3&" inputs changed, figures no longer those of the model","All "&COUNTIF(${verdicts},"same")&" figures agree with the model"))`,
            style: { font: 'bold' },
          },
        ],
        [
          { text: 'Inputs changed', style: plain },
          undefined,
          { formula: changed.length > 0 ? changed.join('+') : '0', style: plain },
        ],
        [
          {
            text: 'The model column is what was worked out in exact decimals when the file was written.',
            style: note,
          },
        ],
        ['Scenario', 'Id', 'What it is', 'Workbook', 'Model', 'Difference', 'Verdict'].map((text) => ({
          text,
          style: heading,
        })),
        ...rows,
      ],
      widths: [24, 30, 52, 16, 16, 12, 16],
      frozen: { rows: first, columns: 3 },
      headings: { row: first - 1, columns: 7 },
      looks: [
        { range: 'C2', condition: 'LEFT($C$2,3)="All"', look: AGREES_LOOK },
        { range: 'C2', condition: 'LEFT($C$2,2)="Do"', look: DIFFERS_LOOK },
        ...(rows.length > 0
          ? [
              {
                range: `G${first + 1}:G${last}`,
                condition: `OR(G${first + 1}="DIFFERS",G${first + 1}="NO NUMBER")`,
                look: DIFFERS_LOOK,
              },
            ]
          : []),
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
        ...[...this.#steps.values()].map(({ id, label, formulas }) => [
          { text: id, style: note },
          { text: label, style: wrapped },
          ...this.scenarios.map((_, s): Content | undefined => {
            const formula = formulas[s]
            if (formula === undefined) return undefined
            return typeof formula === 'string'
              ? { formula: withoutOwnSheet(formula, 'Steps'), style: plain }
              : { number: stored(formula), style: plain }
          }),
        ]),
      ],
      widths: [40, 60, ...this.scenarios.map(() => 18)],
      frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    }
  }
}

const subtitles: Readonly<Record<CellSheet, string>> = {
  Inputs: 'Change the yellow cells. A pale cell follows the first scenario until something is typed over it.',
  Inventory: 'What is moved, line by line: yellow and pale cells are inputs, the others formulas.',
  Volume: 'Volume, mass and stowage. Estimates: the packed container may differ.',
  Cost: 'What each way of moving costs. Estimates, not quotes.',
  Customs: 'Duty and tax on arrival. Ask the customs office or a licensed broker before relying on it.',
  Cover: 'Value, premium and what each cover is worth. The policy wording decides.',
  Time: 'Days and what waiting costs.',
  Quotes: 'Quotes received, brought to one volume and one list of services.',
  Further: 'Other results of the plan.',
}

const titleRows = (title: string, subtitle: string): Content[][] => [
  [{ text: title, style: { font: 'title' } }],
  [{ text: subtitle, style: note }],
]

const withFormat = (style: Style, format: string | undefined): Style =>
  format ? { ...style, format } : style

/** References to the sheet a formula stands on need no sheet. */
const withoutOwnSheet = (formula: string, sheet: string): string =>
  formula.replace(new RegExp(`(?<![A-Za-z0-9_])${sheet}!`, 'g'), '')

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

import type { Decimal } from 'decimal.js'
import { type NamedNumber, namedNumber, tensNumber } from './constants.js'
import { FormulaForest, type FormulaNode } from './forest.js'
import { FormulaWriter, OWN_COLUMN, type Places, type Step } from './formula.js'
import type { Reference } from './formula-pieces.js'
import { type CellSheet, type LaidRow, laidRows, type WorkbookScenario } from './layout.js'
import { definedName, sheetPrefix } from './names.js'
import type { Content, DefinedName } from './page-content.js'
import { choiceRows, FIRST_ROW, FIRST_VALUE } from './sheet-rows.js'

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

export interface Placed {
  readonly row: number
  readonly laid: LaidRow
  /** The first scenario that has the cell; later ones link to its input, and the input's name points at it. */
  readonly owner: number
}

export interface StepRow {
  readonly id: string
  readonly label: string
  readonly formula: string
  readonly scenarios: ReadonlySet<number>
}

/** A choice among amounts, one below another on the sheet Scenarios, and the row of the first. */
export interface Decision {
  readonly among: FormulaNode
  readonly owner: string
  readonly first: number
  readonly amounts: StepRow[]
}

/**
 * Where every cell of a workbook stands and the formula of each. Steps and numbers of the rules come to light while the
 * formulas are written, all of it before the first page is made.
 */
export class Book {
  readonly names: DefinedName[] = []
  readonly rows: ReadonlyMap<CellSheet, readonly LaidRow[]>
  readonly placed = new Map<string, Placed>()
  readonly #taken = new Set<string>()
  readonly steps: StepRow[] = []
  readonly #counts = new Map<string, number>()
  readonly decisions: Decision[] = []
  readonly numbers = new Map<string, NamedNumber & { readonly usedBy: string }>()
  readonly totals: readonly Placed[]
  readonly choiceRows: readonly Content[][]
  readonly formulas: ReadonlyMap<string, string>
  readonly minorUnits: ReadonlyMap<string, number>

  constructor(
    readonly scenarios: readonly WorkbookScenario[],
    readonly options: WorkbookOptions,
  ) {
    this.minorUnits = options.minorUnits ?? new Map()
    this.rows = laidRows(scenarios)
    for (const [sheet, rows] of this.rows) {
      rows.forEach((laid, i) => {
        const owner = laid.cells.findIndex((cell) => cell !== undefined)
        const row = FIRST_ROW + i
        this.placed.set(laid.id, { row, laid, owner })
        if (laid.kind === 'input')
          this.names.push({
            name: definedName(laid.id, this.#taken),
            sheet,
            column: FIRST_VALUE + owner,
            row,
          })
      })
    }
    this.totals = this.#wantedTotals()
    this.choiceRows = choiceRows(scenarios, options.choiceLabels, false)
    this.formulas = this.#write()
  }

  #wantedTotals(): Placed[] {
    const wanted = this.options.totals
    const results = [...this.placed.values()].filter(({ laid }) => laid.kind === 'derived')
    return wanted
      ? wanted.flatMap((id) => results.filter(({ laid }) => laid.id === id))
      : results.filter(({ laid }) => laid.sheet !== 'Inventory' && laid.sheet !== 'Ways' && isTotal(laid.id))
  }

  /** The formula of every derived cell, the same for all scenarios. */
  #write(): Map<string, string> {
    const own = this.options.numbers
    const forest = new FormulaForest(
      (id) => this.placed.has(id),
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
      cell: (id) => (this.placed.has(id) ? this.#referenceTo(id) : undefined),
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
    const placed = this.placed.get(id)
    if (!placed) throw new Error(`a formula refers to "${id}", which is not a cell of the plan`)
    return reference(placed.laid.sheet, placed.row)
  }

  #number(number: NamedNumber | undefined, usedBy: string): Reference {
    if (!number) throw new Error('a number without a name')
    const known = this.numbers.get(number.name)
    const name = known?.name ?? definedName(number.name, this.#taken)
    if (!known) {
      const row = this.#firstNumber + this.numbers.size
      this.names.push({ name, sheet: 'Choices', column: FIRST_VALUE, row })
      this.numbers.set(number.name, { ...number, name, usedBy })
    }
    return { text: name, at: { sheet: '', column: name, row: 0 } }
  }

  /** The name that formulas use for a number of the rules. */
  nameOf(number: NamedNumber): string {
    return this.#number(number, '').text
  }

  /** Row of the first number, below the choices and a heading. */
  get #firstNumber(): number {
    return FIRST_ROW + 1 + this.choiceRows.length + 3
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
    const label = this.placed.get(owner)?.laid.label ?? owner
    this.steps.push({ id: `${kind} ${n}`, label: `${label}: ${what} ${n}`, formula, scenarios })
    return reference('Steps', FIRST_ROW + this.steps.length - 1)
  }

  #amount(owner: string, formula: string, node: FormulaNode, among: FormulaNode): Reference {
    const last = this.decisions.at(-1)
    const first = last ? endOfDecision(last) + 2 : FIRST_ROW + this.totals.length + 2
    const decision = last?.among === among ? last : { among, owner, first, amounts: [] }
    if (decision !== last) this.decisions.push(decision)
    const total = node.args.find(({ operation }) => operation.kind === 'cell')?.operation
    const id = total?.kind === 'cell' ? total.id : `${owner} ${decision.amounts.length + 1}`
    const label = this.placed.get(id)?.laid.label ?? id
    decision.amounts.push({ id, label, formula, scenarios: among.scenarios })
    return reference('Scenarios', decision.first + decision.amounts.length - 1)
  }

  #kept(among: FormulaNode): { way: string; names: string } {
    const decision = this.decisions.find((known) => known.among === among)
    if (!decision) throw new Error('a choice among amounts that are not placed')
    return {
      way: reference('Scenarios', keptRow(decision)).text,
      names: `Scenarios!${namesOf(decision)}`,
    }
  }
}

export const isDecision = (id: string): boolean => /(^|\.)taken$/.test(id)
/** Below the ways stand the cheapest, the one that somebody names, and the one taken. */
export const keptRow = ({ first, amounts }: Decision): number => first + amounts.length + 1
export const endOfDecision = (decision: Decision): number => keptRow(decision) + 2
export const namesOf = ({ first, amounts }: Decision): string =>
  `$B$${first + 1}:$B$${first + amounts.length}`

const reference = (sheet: string, row: number): Reference => {
  const prefix = sheetPrefix(sheet)
  return {
    text: `${prefix}${OWN_COLUMN}${row + 1}`,
    at: { sheet: prefix, column: OWN_COLUMN, row: row + 1 },
  }
}

const isTotal = (id: string): boolean => /(^|\.)total$/.test(id)

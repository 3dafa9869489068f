import type { Decimal } from 'decimal.js'
import type { Arithmetic, Confirmed, Num, NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'
import { nearest } from '../tables/nearest.js'
import { dayNumber } from '../time/day-number.js'
import type { InputTable } from './inputs.js'
import { referenceRow } from './reference-row.js'
import { MissingRow, UnusableInput } from './refusal.js'

/** A named, labelled result of a plan: what a spreadsheet's cell would be. */
export interface Cell<N> {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly value: N
  readonly kind: 'input' | 'derived'
  readonly source?: string
  readonly confirmed?: Confirmed
}

/** Something the reader must know before acting on the figures. */
export interface Warning {
  readonly step: 'volume' | 'stowage' | 'cost' | 'duty' | 'insurance' | 'time'
  readonly severity: 'stop' | 'care' | 'note'
  readonly text: string
}

/**
 * The sheet being written: hands out inputs by id and takes results under theirs.
 * One ledger serves one plan in one arithmetic.
 */
export class Ledger<N extends Num<N>> {
  readonly #cells = new Map<string, Cell<N>>()
  readonly #choices = new Map<string, string>()
  /** The cells of the step that is watched, and whether it read anything but inputs and its own cells. */
  #watched: { readonly cells: Set<Cell<N>>; alone: boolean } | undefined

  constructor(
    readonly m: Arithmetic<N>,
    readonly inputs: InputTable,
    /** The currency every amount of the sheet is in, and its digits after the point (ISO 4217). */
    readonly currency: string,
    readonly minorUnits: number,
  ) {}

  /** The value of an input, in the input's own unit. Throws one sentence if no input has this id. */
  input(id: string): N {
    return this.inputCell(this.row(id)).value
  }

  /**
   * The value of an input that a step makes from a table of its own (a duty rate on a day). A change of the scenario
   * to the same id wins over the table.
   */
  inputRow(row: NumberInput): N {
    this.#readsMore()
    const changed = this.inputs.numbers.get(row.id)
    return this.inputCell(changed?.confirmed === 'stated' ? changed : row).value
  }

  /** The cell of an input, written down at its first use. */
  protected inputCell(row: NumberInput): Cell<N> {
    const known = this.#cells.get(row.id)
    if (known) {
      this.#watched?.cells.add(known)
      return known
    }
    const { id, label, unit, source, confirmed } = row
    const cell: Cell<N> = { id, label, unit, value: this.m.input(row), kind: 'input', source, confirmed }
    this.#cells.set(id, cell)
    this.#watched?.cells.add(cell)
    return cell
  }

  /** The facts of an input: label, unit, range, source. */
  row(id: string): NumberInput {
    const row = this.inputs.numbers.get(id)
    if (row) return row
    const from = referenceRow(id)
    if (from) throw new MissingRow(id, from.file, from.row)
    throw new UnusableInput(
      `unknown input "${id}"; nearest: ${nearest(id, this.inputs.numbers.keys()).join(', ')}.`,
    )
  }

  has(id: string): boolean {
    this.#readsMore()
    return this.inputs.numbers.has(id)
  }

  /** An amount of money, turned into the household's currency with the dated rate of exchange.csv. */
  money(id: string): N {
    const amount = this.input(id)
    const from = this.row(id).unit.slice(0, 3)
    return from === this.currency ? amount : amount.times(this.input(`exchange.${from}`))
  }

  /** The word chosen for an input that is not a number. */
  choice(id: string): string {
    this.#readsMore()
    const choice = this.inputs.choices.get(id)
    if (!choice) {
      throw new UnusableInput(
        `unknown choice "${id}"; nearest: ${nearest(id, this.inputs.choices.keys()).join(', ')}`,
      )
    }
    this.#choices.set(id, choice.value)
    return choice.value
  }

  /** A day chosen, as a day number that formulas can count with; unit `date`. */
  day(id: string): N {
    const on = new Exact(dayNumber(this.choice(id)))
    const label = this.inputs.choices.get(id)?.label ?? id
    const facts = { id, label, unit: 'date', source: 'household.csv', confirmed: 'stated' } as const
    return this.inputCell({ ...facts, low: on, likely: on, high: on }).value
  }

  /** Writes a result down under its id and returns it. */
  put(id: string, label: string, unit: string, value: N): N {
    const named = this.named(id, value)
    this.adopt({ id, label, unit, value: named, kind: 'derived' })
    return named
  }

  /** The result under the name by which a reading that keeps formulas refers to it. */
  protected named(id: string, value: N): N {
    return this.m.cell(this.nameOf(id), value)
  }

  /** The id under which a cell of this ledger ends up in the whole sheet. */
  nameOf(id: string): string {
    return id
  }

  /** Takes a cell that has its name already. */
  adopt(cell: Cell<N>): void {
    if (this.#cells.has(cell.id)) throw new Error(`cell "${cell.id}" is written twice`)
    this.#cells.set(cell.id, cell)
    this.#watched?.cells.add(cell)
  }

  /**
   * Carries out a step and tells what it wrote and read.
   *
   * @returns the inputs it read and the cells it wrote, in the order of first use; undefined where it read anything else
   */
  watch(step: () => void): readonly Cell<N>[] | undefined {
    const watched = { cells: new Set<Cell<N>>(), alone: true }
    this.#watched = watched
    try {
      step()
    } finally {
      this.#watched = undefined
    }
    return watched.alone ? [...watched.cells] : undefined
  }

  /** Takes the cells of a step that another sheet with the same inputs has written. */
  takeOver(cells: readonly Cell<N>[]): void {
    for (const cell of cells) {
      if (cell.kind === 'input' && this.#cells.has(cell.id)) continue
      this.adopt(cell)
    }
  }

  #readsMore(): void {
    if (this.#watched) this.#watched.alone = false
  }

  /** A line of a statement: rounded once, here, to the digits the currency has. */
  putStatementLine(id: string, label: string, amount: N): N {
    return this.put(id, label, this.currency, this.m.round(amount, this.minorUnits))
  }

  /** A result written before. */
  get(id: string): N {
    const cell = this.find(id)
    if (cell) return cell.value
    throw new UnusableInput(`unknown cell "${id}"; nearest: ${nearest(id, this.#cells.keys()).join(', ')}`)
  }

  /** Whether a result has been written. */
  written(id: string): boolean {
    return this.find(id) !== undefined
  }

  protected find(id: string): Cell<N> | undefined {
    const cell = this.#cells.get(id)
    if (this.#watched && (cell === undefined || !this.#watched.cells.has(cell))) this.#readsMore()
    return cell
  }

  /** The cells in the order in which they were written. */
  get cells(): ReadonlyMap<string, Cell<N>> {
    return this.#cells
  }

  get choices(): ReadonlyMap<string, string> {
    return this.#choices
  }
}

/** Tells of a cell that has no finite value, by name, before anybody can read it as a number. */
export function refuseUnbounded(cells: ReadonlyMap<string, Cell<Decimal>>): void {
  for (const { id, label, value } of cells.values()) {
    if (value.isFinite()) continue
    throw new UnusableInput(
      `cell "${id}" (${label}) divides by zero; give the inputs it is made from a value above 0`,
    )
  }
}

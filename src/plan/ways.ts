import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { type Cell, Ledger } from './ledger.js'

/** A number that knows whether it hangs on the way taken: on which container, say, or on who declares. */
export class WayNumber<N extends Num<N>> implements Num<WayNumber<N>> {
  constructor(
    readonly value: N,
    readonly hangs: boolean,
  ) {}

  plus(y: WayNumber<N>): WayNumber<N> {
    return new WayNumber(this.value.plus(y.value), this.hangs || y.hangs)
  }
  minus(y: WayNumber<N>): WayNumber<N> {
    return new WayNumber(this.value.minus(y.value), this.hangs || y.hangs)
  }
  times(y: WayNumber<N>): WayNumber<N> {
    return new WayNumber(this.value.times(y.value), this.hangs || y.hangs)
  }
  div(y: WayNumber<N>): WayNumber<N> {
    return new WayNumber(this.value.div(y.value), this.hangs || y.hangs)
  }
}

function overWays<N extends Num<N>>(m: Arithmetic<N>): Arithmetic<WayNumber<N>> {
  const from = (value: N, ...args: readonly WayNumber<N>[]) =>
    new WayNumber(
      value,
      args.some((arg) => arg.hangs),
    )
  return {
    of: (x) => new WayNumber(m.of(x), false),
    input: (row) => new WayNumber(m.input(row), false),
    cell: (id, a) => from(m.cell(id, a.value), a),
    min: (a, b) => from(m.min(a.value, b.value), a, b),
    max: (a, b) => from(m.max(a.value, b.value), a, b),
    ceil: (a) => from(m.ceil(a.value), a),
    choose: (a, atLeast, then, otherwise) =>
      from(m.choose(a.value, atLeast.value, then.value, otherwise.value), a, atLeast, then, otherwise),
    sum: (xs) => from(m.sum(xs.map((x) => x.value)), ...xs),
    round: (a, decimals, rule) => from(m.round(a.value, decimals, rule), a),
  }
}

/** The sheet of one way, written on top of what all ways share. */
export class WayLedger<N extends Num<N>> extends Ledger<WayNumber<N>> {
  readonly #shared: Ledger<N>
  readonly #prefix: string
  readonly #hanging: (id: string) => boolean

  constructor(shared: Ledger<N>, prefix: string, hanging: (id: string) => boolean) {
    super(overWays(shared.m), shared.inputs, shared.currency, shared.minorUnits)
    this.#shared = shared
    this.#prefix = prefix
    this.#hanging = hanging
  }

  override input(id: string): WayNumber<N> {
    return new WayNumber(this.#shared.input(id), false)
  }
  override inputRow(row: Parameters<Ledger<N>['inputRow']>[0]): WayNumber<N> {
    return new WayNumber(this.#shared.inputRow(row), false)
  }
  override day(id: string): WayNumber<N> {
    return new WayNumber(this.#shared.day(id), false)
  }
  override choice(id: string): string {
    return this.#shared.choice(id)
  }

  override nameOf(id: string): string {
    return this.#shared.nameOf(this.#hanging(id) ? `${this.#prefix}.${id}` : id)
  }

  protected override find(id: string): Cell<WayNumber<N>> | undefined {
    const own = super.find(id)
    if (own || !this.#shared.written(id)) return own
    return { id, label: '', unit: '', value: new WayNumber(this.#shared.get(id), false), kind: 'derived' }
  }
}

/** One of several ways to do a thing, of which the cheapest that works is taken. */
export interface Way<N extends Num<N>, T> {
  /** Part of the ids of its cells, as in `with.45G1.cost.total`. */
  readonly id: string
  readonly label: string
  /** Writes the way's cells and gives back whatever the caller wants to know of it. */
  readonly write: (ledger: WayLedger<N>) => T
  /** 1 where the way works, 0 where it does not; a way that does not work is taken only if none does. */
  readonly works: (ledger: WayLedger<N>) => WayNumber<N>
}

export interface Decision {
  /** `with` or `by`: what stands before the way's id in the ids of its cells. */
  readonly preposition: string
  /** Id and label of the cell that says which way is taken, counted from 1. */
  readonly id: string
  readonly label: string
  /** The cell of which the least is wanted. */
  readonly least: string
  /** Every cell differs from way to way, even where no number of the way itself is in its formula. */
  readonly everyCell?: boolean
}

const NONE: ReadonlySet<string> = new Set()
/** More than any move costs: added to the cost of a way that does not work. */
const NEVER = '1e12'

/**
 * Writes every way side by side and takes the one that costs least, in whatever arithmetic: the choice is a formula
 * like any other, so that a sweep, a draw or a spreadsheet decides anew wherever its inputs have moved.
 *
 * A cell that hangs on the way stands once for each way (`with.45G1.cost.total`) and once as decided (`cost.total`).
 * Cells that are the same whichever way is taken stand once. What some ways do not have counts as 0 there.
 *
 * @param hanging what an earlier exact run of the same plan returned; without it only `exact` may be used
 * @returns what each way gave back, and which ids hang on the decision
 */
export function decide<N extends Num<N>, T>(
  shared: Ledger<N>,
  decision: Decision,
  ways: readonly Way<N, T>[],
  hanging: ReadonlySet<string> = NONE,
): { readonly outcomes: readonly T[]; readonly hanging: ReadonlySet<string> } {
  const { m } = shared
  const sheets = ways.map((way) => {
    const prefix = `${decision.preposition}.${way.id}`
    const ledger = new WayLedger(shared, prefix, (id) => decision.everyCell || hanging.has(id))
    const outcome = way.write(ledger)
    return { way, prefix, ledger, outcome, works: way.works(ledger).value }
  })
  const index = indexOfLeast(
    m,
    sheets.map(({ ledger, works }) =>
      ledger.get(decision.least).value.plus(m.of(1).minus(works).times(m.of(NEVER))),
    ),
  )
  const taken = shared.put(decision.id, decision.label, '1', index)
  const ids = [...new Set(sheets.flatMap(({ ledger }) => [...ledger.cells.keys()]))]
  const hangs = new Set(
    ids.filter(
      (id) =>
        decision.everyCell ||
        hanging.has(id) ||
        sheets.some(({ ledger }) => ledger.cells.get(id)?.value.hangs !== false),
    ),
  )
  for (const id of ids) {
    const first = sheets.find(({ ledger }) => ledger.cells.has(id))?.ledger.cells.get(id)
    if (!first) continue
    if (!hangs.has(id)) {
      shared.adopt({ ...first, value: first.value.value })
      continue
    }
    const values = sheets.map(({ way, prefix, ledger }) => {
      const cell = ledger.cells.get(id)
      if (!cell) return m.of(0)
      const value = cell.value.value
      shared.adopt({ ...cell, id: `${prefix}.${id}`, label: `${cell.label}: ${way.label}`, value })
      return value
    })
    shared.put(id, first.label, first.unit, pick(m, taken, values))
  }
  return { outcomes: sheets.map(({ outcome }) => outcome), hanging: hangs }
}

/** Which of some amounts is least, counted from 1; the first of equals. */
function indexOfLeast<N extends Num<N>>(m: Arithmetic<N>, amounts: readonly N[]): N {
  let [best] = amounts
  let index = m.of(1)
  if (best === undefined) throw new Error('nothing to choose from; give the scenario one way or more')
  amounts.slice(1).forEach((amount, i) => {
    index = m.choose(amount, best as N, index, m.of(i + 2))
    best = m.min(best as N, amount)
  })
  return index
}

/** The value that belongs to the way taken. */
export function pick<N extends Num<N>>(m: Arithmetic<N>, taken: N, values: readonly N[]): N {
  return values
    .slice(0, -1)
    .reduceRight((later, value, i) => m.choose(taken, m.of(i + 2), later, value), values.at(-1) ?? m.of(0))
}

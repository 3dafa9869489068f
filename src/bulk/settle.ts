import type { Decimal } from 'decimal.js'
import { Exact, exact } from '../quantity/exact.js'
import type { Program } from './program.js'

/**
 * The exact reading of a program: the same operations in the same order as the model's own, in decimals.
 * It settles what float64 cannot, and answers questions about one scenario.
 */
export class ExactReading {
  readonly #constants: (Decimal | undefined)[]
  readonly #cones = new Map<number, Int32Array>()
  /** Entries that may still be kept: 16 MB in all, however large the plan. */
  #coneRoom = 4_000_000

  constructor(readonly program: Program) {
    this.#constants = program.nodes.map((node) =>
      node.kind === 'constant' ? new Exact(node.text) : undefined,
    )
  }

  /**
   * The exact value of a node in one scenario.
   *
   * @param input the value of each input column
   * @param known values found before for the same scenario; filled further
   */
  at(node: number, input: (column: number) => Decimal, known: (Decimal | undefined)[] = []): Decimal {
    for (const next of this.#cone(node)) {
      if (known[next] === undefined) known[next] = this.#value(next, input, known)
    }
    return this.#read(node, known)
  }

  /** The exact value of every node in one scenario. */
  all(input: (column: number) => Decimal): readonly Decimal[] {
    const known: Decimal[] = []
    for (const at of this.program.nodes.keys()) known.push(this.#value(at, input, known))
    return known
  }

  /** The exact value of every output, inputs given as decimal text or as doubles taken at their shortest text. */
  outputs(inputs: ReadonlyMap<string, Decimal.Value>): Map<string, Decimal> {
    const column = this.program.inputs.map((id) => {
      const value = inputs.get(id)
      if (value === undefined)
        throw new Error(
          `no value for the varied input "${id}"; give one for each of: ${this.program.inputs.join(', ')}`,
        )
      return new Exact(value)
    })
    const known: (Decimal | undefined)[] = []
    const input = (at: number): Decimal => column[at] ?? new Exact(Number.NaN)
    return new Map(this.program.outputs.map(({ id, node }) => [id, this.at(node, input, known)]))
  }

  #read(node: number, known: readonly (Decimal | undefined)[]): Decimal {
    return this.#constants[node] ?? known[node] ?? new Exact(Number.NaN)
  }

  #value(at: number, input: (column: number) => Decimal, known: readonly (Decimal | undefined)[]): Decimal {
    const node = this.program.nodes[at]
    if (node === undefined) return new Exact(Number.NaN)
    const arg = (k: number): Decimal => this.#read(node.args[k] ?? -1, known)
    switch (node.kind) {
      case 'constant':
        return new Exact(node.text)
      case 'input':
        return input(node.column)
      case 'plus':
        return arg(0).plus(arg(1))
      case 'minus':
        return arg(0).minus(arg(1))
      case 'times':
        return arg(0).times(arg(1))
      case 'div':
        return arg(0).div(arg(1))
      case 'min':
        return exact.min(arg(0), arg(1))
      case 'max':
        return exact.max(arg(0), arg(1))
      case 'ceil':
        return exact.ceil(arg(0))
      case 'choose':
        return exact.choose(arg(0), arg(1), arg(2), arg(3))
      case 'sum':
        return exact.sum(node.args.map((k) => this.#read(k, known)))
      case 'round':
        return exact.round(arg(0), node.decimals, node.rule)
    }
  }

  /** The nodes that a node is made from, oldest first; constants left out. */
  #cone(node: number): Int32Array {
    const known = this.#cones.get(node)
    if (known) return known
    const seen = new Set<number>()
    const open = [node]
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const part = this.program.nodes[at]
      if (part === undefined || part.kind === 'constant' || seen.has(at)) continue
      seen.add(at)
      open.push(...part.args)
    }
    const cone = Int32Array.from(seen).sort()
    if (this.#coneRoom >= cone.length) {
      this.#coneRoom -= cone.length
      this.#cones.set(node, cone)
    }
    return cone
  }
}

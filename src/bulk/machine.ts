import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import { Bounds } from './bounds.js'
import {
  ceilInto,
  chooseInto,
  type Edge,
  extremeInto,
  finishInto,
  polynomialInto,
  quotientInto,
  roundInto,
} from './columns.js'
import { lower, reads, type Step } from './lower.js'
import type { Program } from './program.js'
import { ExactReading } from './settle.js'

/** Bytes of registers that a block may take, so that they stay in a processor's second-level cache. */
const cacheBytes = 1 << 19
const leastBlock = 64
const mostBlock = 1024
/** Scenarios whose bounds are worked out together, at most. */
const mostSpan = 16_384
/** Values of inputs and outputs held at a time: 32 MB. */
const mostHeld = 4_000_000

/** Does a step for so many scenarios of the block in hand. */
type Task = (count: number) => void

/** Writes the inputs of scenarios `start` to `start + count` into one column each. */
export type Fill = (start: number, count: number, inputs: readonly Float64Array[]) => void
/** Takes the outputs of scenarios `start` to `start + count`; the columns are overwritten afterwards. */
export type Take = (start: number, count: number, outputs: readonly Float64Array[]) => void

/**
 * Works a program out for many scenarios at once, in columns of float64.
 *
 * Every ceiling, rounding and branch agrees with the exact arithmetic: where a value lies nearer to an edge than
 * the proven error of float64, that one value of that one scenario is worked out in decimals. An output of few
 * digits, such as an amount in cents, is therefore the double nearest to the exact result. Inputs count as the decimal of their
 * shortest text: 0.1 is a tenth.
 */
export class Columns {
  readonly exactly: ExactReading
  /** How many values were settled in decimals so far. */
  settled = 0
  readonly #steps: readonly Step[]
  /** The slots that each step reads. */
  readonly #reads: readonly (readonly number[])[]
  readonly #bounds: Bounds
  readonly #block: number
  readonly #registerOf: Int32Array
  readonly #registers: Float64Array[]
  readonly #span: number
  readonly #tasks: readonly Task[]
  /** The span and block in hand. */
  #live: readonly Task[] = []
  #inputs: readonly Float64Array[] = []
  #outputs: readonly Float64Array[] = []
  /** Scenarios that the columns of inputs and outputs have room for; they are kept from run to run. */
  #roomFor = 0
  #finishing: readonly number[] = []
  #from = 0
  #lanes: ((Decimal | undefined)[] | undefined)[] = []

  constructor(readonly program: Program) {
    this.exactly = new ExactReading(program)
    const steps = lower(program)
    const { registerOf, count } = registers(program, steps)
    this.#steps = steps.filter((step) => step.kind !== 'constant')
    this.#reads = this.#steps.map(reads)
    this.#bounds = new Bounds(program.nodes.length)
    this.#bounds.follow(
      steps.filter((step) => step.kind === 'constant'),
      [],
      0,
    )
    this.#registerOf = registerOf
    const fitting = 2 ** Math.floor(Math.log2(cacheBytes / 8 / Math.max(1, count)))
    this.#block = Math.min(mostBlock, Math.max(leastBlock, fitting))
    this.#registers = Array.from({ length: count }, () => new Float64Array(this.#block))
    for (const step of steps) if (step.kind === 'constant') this.#register(step.slot).fill(step.value)
    this.#tasks = this.#steps.map((step) => this.#task(step))
    const held = program.inputs.length + program.outputs.length
    const most = Math.floor(Math.min(mostSpan, mostHeld / Math.max(1, held)) / this.#block)
    this.#span = Math.max(1, most) * this.#block
  }

  /**
   * Works out scenarios 0 to `count`, a span at a time, so that memory does not grow with their number.
   *
   * @param fill gives the inputs, one column for each of `program.inputs`
   * @param take is handed the outputs, one column for each of `program.outputs`
   */
  run(count: number, fill: Fill, take: Take): void {
    const span = Math.min(this.#span, Math.max(1, count))
    if (span > this.#roomFor) {
      this.#roomFor = span
      this.#inputs = this.program.inputs.map(() => new Float64Array(span))
      this.#outputs = this.program.outputs.map(() => new Float64Array(span))
    }
    const [inputs, outputs] = [this.#inputs, this.#outputs]
    for (let start = 0; start < count; start += span) {
      const here = Math.min(span, count - start)
      fill(start, here, inputs)
      this.#bounds.follow(this.#steps, inputs, here)
      this.#live = this.#needed()
      this.#finishing = this.program.outputs.map(({ node }) => this.#bounds.finishing(node))
      for (let from = 0; from < here; from += this.#block) {
        this.#work(outputs, from, Math.min(this.#block, here - from))
      }
      take(start, here, here === this.#roomFor ? outputs : outputs.map((column) => column.subarray(0, here)))
    }
  }

  /**
   * The outputs of scenarios given as whole columns.
   *
   * @param inputs a column for each varied input, all of one length
   * @returns a column for each output; throws one sentence if a column is missing or of another length
   */
  evaluate(inputs: ReadonlyMap<string, Float64Array>): Map<string, Float64Array> {
    const given = this.program.inputs.map((id) => {
      const column = inputs.get(id)
      if (column === undefined)
        throw new Error(
          `no column for the varied input "${id}"; give one for each of: ${this.program.inputs.join(', ')}`,
        )
      return column
    })
    const count = given[0]?.length ?? 1
    const odd = given.findIndex((column) => column.length !== count)
    if (odd >= 0)
      throw new Error(
        `column "${this.program.inputs[odd]}" has ${given[odd]?.length} values, "${this.program.inputs[0]}" has ${count}; give all the same number`,
      )
    const results = new Map(this.program.outputs.map(({ id }) => [id, new Float64Array(count)]))
    const columns = [...results.values()]
    this.run(
      count,
      (start, here, into) => {
        into.forEach((column, k) => {
          column.set(given[k]?.subarray(start, start + here) ?? [])
        })
      },
      (start, _here, from) => {
        from.forEach((column, k) => {
          columns[k]?.set(column, start)
        })
      },
    )
    return results
  }

  /** By how much each output of the last span can differ from the exact result. */
  errors(): Map<string, number> {
    return new Map(
      this.program.outputs.map(({ id, node }) => [id, this.#bounds.error[node] ?? Number.POSITIVE_INFINITY]),
    )
  }

  /** Guaranteed least and greatest value of each output over the last span. */
  ranges(): Map<string, readonly [number, number]> {
    const { low, high } = this.#bounds
    return new Map(
      this.program.outputs.map(({ id, node }) => [id, [low[node] ?? Number.NaN, high[node] ?? Number.NaN]]),
    )
  }

  #register(slot: number): Float64Array {
    return this.#registers[this.#registerOf[slot] ?? 0] ?? new Float64Array(this.#block)
  }

  #work(outputs: readonly Float64Array[], from: number, count: number): void {
    this.#lanes = []
    this.#from = from
    for (const task of this.#live) task(count)
    this.program.outputs.forEach(({ node }, k) => {
      const register = this.#register(node)
      const into = outputs[k]
      const grid = this.#finishing[k] ?? 0
      if (into === undefined) return
      if (grid > 0) finishInto(into, from, count, register, grid)
      else into.set(count === this.#block ? register : register.subarray(0, count), from)
    })
  }

  /**
   * What there is to do over the span in hand: where its bounds say that a decision falls the same way throughout,
   * the way taken is copied and what only the other one needed is left out.
   */
  #needed(): Task[] {
    const needed = new Uint8Array(this.program.nodes.length)
    for (const { node } of this.program.outputs) needed[node] = 1
    const tasks: Task[] = []
    for (let k = this.#steps.length - 1; k >= 0; k--) {
      const { slot } = this.#steps[k] as Step
      if (needed[slot] === 0) continue
      const taken = this.#bounds.taken[slot] as number
      if (taken >= 0) {
        const [into, from] = [this.#register(slot), this.#register(taken)]
        needed[taken] = 1
        tasks.push(() => into.set(from))
      } else {
        for (const read of this.#reads[k] as readonly number[]) needed[read] = 1
        tasks.push(this.#tasks[k] as Task)
      }
    }
    return tasks.reverse()
  }

  /** The step as a function of how many scenarios of the block it is for, its registers looked up beforehand. */
  #task(step: Step): Task {
    const { slot } = step
    const bounds = this.#bounds
    const into = this.#register(slot)
    const of = (at: number): Float64Array => this.#register(at)
    const edge: Edge = { near: 0, ties: 0, grid: 0, settle: (lane) => this.#settle(slot, lane) }
    /** The edge as the bounds of the span in hand have it. */
    const now = (): Edge => {
      edge.near = bounds.tolerance[slot] ?? Number.POSITIVE_INFINITY
      edge.ties = bounds.sureTies[slot] ?? 0
      edge.grid = bounds.digits.grid[slot] ?? 0
      return edge
    }
    switch (step.kind) {
      case 'constant':
        return () => {}
      case 'input':
        return (count) =>
          into.set((this.#inputs[step.column] ?? into).subarray(this.#from, this.#from + count))
      case 'polynomial':
        return polynomialInto(into, step.base, step.terms, of)
      case 'div': {
        const [a, b] = [of(step.a), of(step.b)]
        return (count) => quotientInto(into, count, a, b)
      }
      case 'min':
      case 'max': {
        const [a, b, greater] = [of(step.a), of(step.b), step.kind === 'max']
        return (count) => extremeInto(into, count, a, b, greater, now())
      }
      case 'ceil': {
        const a = of(step.a)
        return (count) => ceilInto(into, count, a, now())
      }
      case 'round': {
        const [a, scale, { rule }] = [of(step.a), 10 ** step.decimals, step]
        return (count) => roundInto(into, count, a, scale, rule, now())
      }
      case 'choose': {
        const parts = [of(step.a), of(step.atLeast), of(step.met), of(step.otherwise)] as const
        return (count) => chooseInto(into, count, parts, now())
      }
    }
  }

  /** The exact value of one node in one scenario, as the double nearest to it. */
  #settle(slot: number, lane: number): number {
    this.settled += 1
    const known = this.#lanes[lane] ?? []
    this.#lanes[lane] = known
    return this.exactly
      .at(slot, (column) => new Exact(this.#inputs[column]?.[this.#from + lane] ?? Number.NaN), known)
      .toNumber()
  }
}

/** Gives each slot a register, and a register back when the last step that reads it is done. */
function registers(program: Program, steps: readonly Step[]): { registerOf: Int32Array; count: number } {
  const registerOf = new Int32Array(program.nodes.length)
  const lastRead = new Int32Array(program.nodes.length).fill(-1)
  const kept = steps.length
  steps.forEach((step, at) => {
    for (const slot of reads(step)) lastRead[slot] = at
  })
  for (const { node } of program.outputs) lastRead[node] = kept
  // Constants are written once and for all.
  for (const step of steps) if (step.kind === 'constant') lastRead[step.slot] = kept
  const free: number[] = []
  let count = 0
  const give = (slot: number): void => {
    const old = free.pop()
    registerOf[slot] = old ?? count
    if (old === undefined) count += 1
  }
  for (const step of steps) if (step.kind === 'constant') give(step.slot)
  steps.forEach((step, at) => {
    if (step.kind === 'constant') return
    // Given before its arguments' are given back: a step never writes what it still reads.
    give(step.slot)
    for (const slot of new Set(reads(step))) {
      const register = registerOf[slot]
      if (lastRead[slot] === at && register !== undefined) free.push(register)
    }
  })
  return { registerOf, count }
}

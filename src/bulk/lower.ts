import type { Decimal } from 'decimal.js'
import type { RoundingRule } from '../quantity/arithmetic.js'
import { Exact, exact } from '../quantity/exact.js'
import type { Program, ProgramNode } from './program.js'

/** A coefficient times up to three values. */
export interface Term {
  readonly coefficient: number
  /** Sum of the sizes of the coefficients that were added up into this one: greater where some cancelled. */
  readonly weight: number
  /** Digits of the coefficient after the point. */
  readonly decimals: number
  readonly factors: readonly number[]
}

/**
 * What the float64 machine does for one value. Values are numbered: `slot` is where the result belongs, other
 * numbers name slots of earlier results. Sums and products are gathered into one polynomial step.
 */
export type Step =
  | {
      readonly kind: 'constant'
      readonly slot: number
      readonly value: number
      readonly nearest: boolean
      readonly decimals: number
    }
  | { readonly kind: 'input'; readonly slot: number; readonly column: number }
  | {
      readonly kind: 'polynomial'
      readonly slot: number
      readonly base: number
      /** The base is a decimal of at most 15 digits. */
      readonly shortBase: boolean
      readonly baseDecimals: number
      /** Base and coefficients are whole numbers, so that whole factors give whole results. */
      readonly whole: boolean
      /** Every coefficient is 1 or -1: the step compares or adds, and scales nothing. */
      readonly plain: boolean
      readonly terms: readonly Term[]
    }
  | { readonly kind: 'div' | 'min' | 'max'; readonly slot: number; readonly a: number; readonly b: number }
  | { readonly kind: 'ceil'; readonly slot: number; readonly a: number }
  | {
      readonly kind: 'round'
      readonly slot: number
      readonly a: number
      readonly decimals: number
      readonly rule: RoundingRule
    }
  | {
      readonly kind: 'choose'
      readonly slot: number
      readonly a: number
      readonly atLeast: number
      readonly met: number
      readonly otherwise: number
    }

/** Slots that a step reads. */
export function reads(step: Step): readonly number[] {
  switch (step.kind) {
    case 'constant':
    case 'input':
      return []
    case 'polynomial':
      return step.terms.flatMap((term) => term.factors)
    case 'div':
    case 'min':
    case 'max':
      return [step.a, step.b]
    case 'ceil':
    case 'round':
      return [step.a]
    case 'choose':
      return [step.a, step.atLeast, step.met, step.otherwise]
  }
}

/** A product with its coefficient, the sum of those of `parts` like products. */
interface PendingTerm {
  readonly coefficient: Decimal
  readonly weight: Decimal
  readonly parts: number
  /** Digits after the point of every part, at most. */
  readonly decimals: number
  /** Every part is a whole number of few digits. */
  readonly whole: boolean
  readonly factors: readonly number[]
}

/** A sum of products not yet given a step of its own. */
interface Pending {
  readonly base: Decimal
  readonly terms: readonly PendingTerm[]
}

const mostFactors = 3
/** Longer sums get a step of their own, or a long chain of additions would be copied at every link. */
const mostGathered = 64
const one = new Exact(1)
const zero = new Exact(0)

/** True of a decimal that its double stands for alone among decimals of at most 15 digits. */
const isShort = (value: Decimal): boolean =>
  value.isZero() || (value.isFinite() && value.precision() <= 15 && Math.abs(value.toNumber()) > 1e-290)

function term(coefficient: Decimal, factors: readonly number[]): PendingTerm {
  const whole = coefficient.isInteger() && isShort(coefficient)
  return {
    coefficient,
    weight: coefficient.abs(),
    parts: 1,
    decimals: coefficient.decimalPlaces(),
    whole,
    factors,
  }
}

/** The one factor of a term that is nothing but it. */
function valueItself(part: PendingTerm | undefined): number | undefined {
  return part?.factors.length === 1 && part.parts === 1 && part.coefficient.eq(one)
    ? part.factors[0]
    : undefined
}

/** Like products added up: a hundred pieces wrapped with one factor are one term. */
function gatherLike(terms: readonly PendingTerm[]): PendingTerm[] {
  const found = new Map<string, PendingTerm>()
  for (const next of terms) {
    const key = next.factors.toSorted((a, b) => a - b).join(' ')
    const like = found.get(key)
    found.set(
      key,
      like === undefined
        ? next
        : {
            coefficient: like.coefficient.plus(next.coefficient),
            weight: like.weight.plus(next.weight),
            parts: like.parts + next.parts,
            decimals: Math.max(like.decimals, next.decimals),
            whole: like.whole && next.whole,
            factors: like.factors,
          },
    )
  }
  return [...found.values()]
}

/**
 * Turns a program into float64 steps. The slot of a step is the program node it gives the value of, so that a
 * value which float64 cannot decide can be asked of the exact reading.
 */
export function lower(program: Program): Step[] {
  const steps: Step[] = []
  const { nodes } = program
  const uses = new Int32Array(nodes.length)
  for (const node of nodes) for (const arg of node.args) uses[arg] = (uses[arg] ?? 0) + 1
  for (const { node } of program.outputs) uses[node] = (uses[node] ?? 0) + 2

  const pending = new Map<number, Pending>()
  const made = new Set<number>()
  const isOutput = new Set(program.outputs.map(({ node }) => node))
  /** Nodes that are another one under a second name: one times a value, or the same step over again. */
  const otherName = new Map<number, number>()
  const firsts = new Map<string, number>()
  /** Adds a step, unless there is one that does the same. */
  const add = (step: Step): void => {
    const { slot, ...rest } = step
    // Numbers as words: JSON has none for what is not finite.
    const key = JSON.stringify(rest, (_, value) => (typeof value === 'number' ? String(value) : value))
    const first = firsts.get(key)
    if (first === undefined || isOutput.has(slot)) {
      if (first === undefined) firsts.set(key, slot)
      steps.push(step)
    } else otherName.set(slot, first)
  }
  /** The slot of a node, which is given a step of its own if it has none yet. */
  const slotOf = (at: number): number => {
    const wait = pending.get(at)
    if (wait !== undefined && !made.has(at)) {
      const { base, terms } = wait
      const same =
        base.isZero() && terms.length === 1 && !isOutput.has(at) ? valueItself(terms[0]) : undefined
      if (same !== undefined) otherName.set(at, same)
      else
        add({
          kind: 'polynomial',
          slot: at,
          base: base.toNumber(),
          shortBase: isShort(base),
          baseDecimals: base.decimalPlaces(),
          plain: terms.every(({ parts, weight }) => parts === 1 && weight.eq(one)),
          whole: base.isInteger() && isShort(base) && terms.every((part) => part.whole),
          terms: terms.map(({ coefficient, weight, decimals, factors }) => ({
            coefficient: coefficient.toNumber(),
            weight: weight.toNumber(),
            decimals,
            factors,
          })),
        })
    }
    made.add(at)
    return otherName.get(at) ?? at
  }
  /** The node as a sum: its own terms where only this sum uses them, else the node by its slot. */
  const asSum = (at: number): Pending => {
    const node = nodes[at]
    if (node?.kind === 'constant') return { base: new Exact(node.text), terms: [] }
    const wait = pending.get(at)
    if (wait !== undefined && !made.has(at) && uses[at] === 1 && wait.terms.length <= mostGathered)
      return wait
    return { base: zero, terms: [term(one, [slotOf(at)])] }
  }
  const scaled = (sum: Pending, by: Decimal): Pending => ({
    base: sum.base.times(by),
    terms: sum.terms.map((part) =>
      part.parts === 1
        ? term(part.coefficient.times(by), part.factors)
        : {
            ...part,
            coefficient: part.coefficient.times(by),
            weight: part.weight.times(by.abs()),
            decimals: part.decimals + by.decimalPlaces(),
            whole: part.whole && by.isInteger() && isShort(by),
          },
    ),
  })
  const added = (sums: readonly Pending[]): Pending => ({
    base: exact.sum(sums.map((sum) => sum.base)),
    terms: gatherLike(sums.flatMap((sum) => sum.terms)),
  })
  const single = (at: number, sum: Pending, room: number): PendingTerm => {
    const [first] = sum.terms
    const alone =
      first !== undefined &&
      sum.terms.length === 1 &&
      first.parts === 1 &&
      sum.base.isZero() &&
      first.factors.length <= room
    return alone ? first : term(one, [slotOf(at)])
  }
  const product = (a: number, b: number): Pending => {
    const left = asSum(a)
    const right = asSum(b)
    if (left.terms.length === 0) return scaled(right, left.base)
    if (right.terms.length === 0) return scaled(left, right.base)
    const first = single(a, left, mostFactors - 1)
    const second = single(b, right, mostFactors - first.factors.length)
    const coefficient = first.coefficient.times(second.coefficient)
    return { base: zero, terms: [term(coefficient, [...first.factors, ...second.factors])] }
  }
  /** The node as a sum of products, where it is one. */
  const gathered = (node: ProgramNode): Pending | undefined => {
    const [a = -1, b = -1] = node.args
    const divisor = nodes[b]
    switch (node.kind) {
      case 'plus':
      case 'sum':
        return added(node.args.map(asSum))
      case 'minus':
        return added([asSum(a), scaled(asSum(b), new Exact(-1))])
      case 'times':
        return product(a, b)
      case 'div':
        if (divisor?.kind !== 'constant' || new Exact(divisor.text).isZero()) return undefined
        return scaled(asSum(a), one.div(divisor.text))
      default:
        return undefined
    }
  }
  const ownStep = (slot: number, node: ProgramNode): Step | undefined => {
    const arg = (k: number): number => slotOf(node.args[k] ?? -1)
    switch (node.kind) {
      case 'constant': {
        const value = new Exact(node.text)
        return {
          kind: 'constant',
          slot,
          value: value.toNumber(),
          nearest: isShort(value),
          decimals: value.decimalPlaces(),
        }
      }
      case 'input':
        return { kind: 'input', slot, column: node.column }
      case 'div':
      case 'min':
      case 'max':
        return { kind: node.kind, slot, a: arg(0), b: arg(1) }
      case 'ceil':
        return { kind: 'ceil', slot, a: arg(0) }
      case 'round':
        return { kind: 'round', slot, a: arg(0), decimals: node.decimals, rule: node.rule }
      case 'choose':
        return { kind: 'choose', slot, a: arg(0), atLeast: arg(1), met: arg(2), otherwise: arg(3) }
      default:
        return undefined
    }
  }
  nodes.forEach((node, at) => {
    const sum = gathered(node)
    if (sum !== undefined) {
      pending.set(at, sum)
      // A sum that one other step reads waits to be taken into it.
      if (uses[at] !== 1) slotOf(at)
      return
    }
    const step = ownStep(at, node)
    if (step !== undefined) add(step)
    made.add(at)
  })
  return withoutUnread(program, steps)
}

/** Leaves out steps whose value nothing reads: constants that went into a polynomial, mostly. */
function withoutUnread(program: Program, steps: readonly Step[]): Step[] {
  const needed = new Set(program.outputs.map(({ node }) => node))
  const kept: Step[] = []
  for (const step of steps.toReversed()) {
    if (!needed.has(step.slot)) continue
    for (const slot of reads(step)) needed.add(slot)
    kept.push(step)
  }
  return kept.reverse()
}

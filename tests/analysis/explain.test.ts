import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { atItsFigures } from '../../src/analysis/at-its-figures.js'
import { explain, formulaText } from '../../src/analysis/index.js'
import { recordedSheet } from '../../src/plan/index.js'
import type { NumberInput, RoundingRule } from '../../src/quantity/arithmetic.js'
import { Exact, exact } from '../../src/quantity/exact.js'
import { type Recorded, recorded } from '../../src/quantity/recorded.js'
import { DEMOS, openDemo, plansOf } from '../plan/households.js'

/**
 * Reads a printed formula as anybody would: × and ÷ before + and −, from left to right, brackets first. Written from
 * the notation alone, with no look at how it is printed.
 */
function valueOfText(text: string, known: (id: string) => Decimal): Decimal {
  let at = 0
  const eat = (word: string): boolean => {
    if (!text.startsWith(word, at)) return false
    at += word.length
    return true
  }
  const must = (word: string): void => {
    if (!eat(word)) throw new Error(`${text}: expected "${word}" at ${at}: ${text.slice(at, at + 30)}`)
  }
  const sum = (): Decimal => {
    let left = product()
    for (;;) {
      if (eat(' + ')) left = left.plus(product())
      else if (eat(' − ')) left = left.minus(product())
      else return left
    }
  }
  const product = (): Decimal => {
    let left = atom()
    for (;;) {
      if (eat(' × ')) left = left.times(atom())
      else if (eat(' ÷ ')) left = left.div(atom())
      else return left
    }
  }
  const list = (): Decimal[] => {
    const values = [sum()]
    while (eat(', ')) values.push(sum())
    must(')')
    return values
  }
  const atom = (): Decimal => {
    if (eat('(')) {
      const inner = sum()
      must(')')
      return inner
    }
    const call = /^(sum|min|max|ceil|round|if)\(/.exec(text.slice(at))?.[1]
    if (call !== undefined) {
      at += call.length + 1
      if (call === 'if') {
        const a = sum()
        must(' ≥ ')
        const b = sum()
        must(', ')
        const [then, otherwise] = list() as [Decimal, Decimal]
        return a.gte(b) ? then : otherwise
      }
      if (call === 'round') {
        const value = sum()
        const rest = /^, (\d+), (half-even|half-up|down)\)/.exec(text.slice(at))
        if (!rest) throw new Error(`${text}: no rounding at ${at}`)
        at += rest[0].length
        return exact.round(value, Number(rest[1]), rest[2] as RoundingRule)
      }
      const values = list()
      if (call === 'sum') return exact.sum(values)
      if (call === 'ceil') return exact.ceil(values[0] as Decimal)
      return values.reduce((a, b) => (call === 'min' ? exact.min(a, b) : exact.max(a, b)))
    }
    const number = /^-?\d+(\.\d+)?(e[+-]?\d+)?(?![\w.-])/.exec(text.slice(at))?.[0]
    if (number !== undefined) {
      at += number.length
      return new Exact(number)
    }
    const id = /^[^\s(),]+/.exec(text.slice(at))?.[0]
    if (id === undefined) throw new Error(`${text}: nothing to read at ${at}`)
    at += id.length
    return known(id)
  }
  const value = sum()
  if (at !== text.length) throw new Error(`${text}: left over: ${text.slice(at)}`)
  return value
}

const input = (id: string, likely: number): Recorded =>
  recorded.input({
    id,
    label: id,
    unit: '1',
    low: new Exact(0),
    likely: new Exact(likely),
    high: new Exact(1000),
    source: 'test',
    confirmed: 'stated',
  } satisfies NumberInput)

const inputs = { a: 7, 'b.c-1': 3, 'line.L-05.mass': 0.25, d: 12 }
const values = new Map(Object.entries(inputs).map(([id, x]) => [id, new Exact(x)]))

const { node } = fc.letrec<{ node: Recorded }>((tie) => {
  const two = fc.tuple(tie('node'), tie('node'))
  return {
    node: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      fc.constantFrom(...Object.entries(inputs)).map(([id, x]) => input(id, x)),
      fc.integer({ min: -20, max: 20 }).map((n) => recorded.of(n)),
      two.map(([a, b]) => a.plus(b)),
      two.map(([a, b]) => a.minus(b)),
      two.map(([a, b]) => a.times(b)),
      two.filter(([, b]) => !b.value.isZero()).map(([a, b]) => a.div(b)),
      two.map(([a, b]) => recorded.min(a, b)),
      two.map(([a, b]) => recorded.max(a, b)),
      tie('node').map((a) => recorded.ceil(a)),
      fc.array(tie('node'), { maxLength: 3 }).map((xs) => recorded.sum(xs)),
      fc
        .tuple(tie('node'), tie('node'), tie('node'), tie('node'))
        .map(([a, b, c, d]) => recorded.choose(a, b, c, d)),
      fc
        .tuple(
          tie('node'),
          fc.integer({ min: 0, max: 3 }),
          fc.constantFrom<RoundingRule>('half-even', 'half-up', 'down'),
        )
        .map(([a, decimals, rule]) => recorded.round(a, decimals, rule)),
    ),
  }
})

describe('a printed formula', () => {
  it('keeps the brackets of a sum of one term', () => {
    const text = formulaText(
      input('length', 9).minus(recorded.sum([input('vehicle', 4).plus(input('gap', 1))])),
    )
    expect(text).toBe('length − (vehicle + gap)')
  })

  it('reads back to the value of the formula, whatever the formula', () => {
    fc.assert(
      fc.property(node, (formula) => {
        const text = formulaText(formula)
        const read = valueOfText(text, (id) => values.get(id) ?? new Exact(Number.NaN))
        // A quotient that ends nowhere is cut at 34 digits, so that its last one hangs on the order of operations.
        const off = read.minus(formula.value).abs()
        expect(off.lte(formula.value.abs().times('1e-25').plus('1e-25')), text).toBe(true)
      }),
      { numRuns: 400 },
    )
  })

  it.each(DEMOS)('of each cell of %s reads back to the value of the cell', async (name) => {
    const move = await openDemo(name)
    const [plan] = plansOf(move)
    if (!plan) throw new Error('no plan')
    const { cells } = recordedSheet(move, plan)
    const known = (id: string): Decimal => {
      const found = cells.get(id)?.value.value ?? plan.inputs.numbers.get(id)?.likely
      if (found === undefined) throw new Error(`no cell or input ${id}`)
      return found
    }
    let read = 0
    for (const { id, value } of cells.values()) {
      const inner = value.operation.kind === 'cell' ? value.args[0] : undefined
      if (!inner) continue
      const text = formulaText(inner)
      const off = valueOfText(text, known).minus(value.value).abs()
      expect(off.lte(value.value.abs().times('1e-25').plus('1e-25')), `${id}: ${text}`).toBe(true)
      // As a worksheet: the same figure, but for the rounding to the cent, in no more words.
      const written = atItsFigures(inner)
      const short = formulaText(written)
      const apart = valueOfText(short, known).minus(value.value).abs()
      expect(apart.lte('0.005'), `${id}: ${short}`).toBe(true)
      expect(short.length).toBeLessThanOrEqual(text.length)
      read += 1
    }
    expect(read).toBeGreaterThan(100)
  })
})

describe('a figure that is decided among ways', () => {
  it('is told for the way taken, with what each way comes to', async () => {
    const move = await openDemo('valparaiso-gdynia')
    const [plan] = plansOf(move)
    if (!plan) throw new Error('no plan')
    const sheet = recordedSheet(move, plan)
    const found = explain(sheet, 'cost.total')
    const carriage = plan.sheet.choices.get('transport')
    expect(found.ways?.by).toBe('transport.taken')
    expect(found.from.map(({ id }) => id)).toEqual([`with.${carriage}.cost.total`])
    expect(found.ways?.each.filter(({ taken }) => taken).map(({ id }) => id)).toEqual([
      `with.${carriage}.cost.total`,
    ])
    for (const { id, value } of found.ways?.each ?? [])
      expect(value.toFixed()).toBe(plan.sheet.cells.get(id)?.value.toFixed())
    const choice = explain(sheet, 'transport.taken')
    expect(choice.ways?.each.map(({ id }) => id)).toEqual(found.ways?.each.map(({ id }) => id))
    expect(choice.ways?.each.map(({ taken }) => taken)).toEqual(found.ways?.each.map(({ taken }) => taken))
  })
})

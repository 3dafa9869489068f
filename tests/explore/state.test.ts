import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { hashOf, movedFrom, type PageInput, setText } from '../../src/explore/index.js'
import { sliderRange } from '../../src/explore/slider.js'
import { shellWord, takenValue } from '../../src/explore/state.js'
import { Exact } from '../../src/quantity/exact.js'

const input = (id: string, min: string, max: string, planned: readonly string[]): PageInput => ({
  id,
  label: id,
  unit: 'day',
  group: 'decide',
  low: min,
  likely: planned[0] ?? min,
  high: max,
  min,
  max,
  step: '0.5',
  planned,
  source: '',
  confirmed: 'stated',
  effect: 0,
})
const inputs = [
  input('delay.days', '0', '30', ['6', '4']),
  input('exchange.USD', '0.5', '2', ['0.92', '0.92']),
]

describe('the address', () => {
  it('brings back what was moved', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 50, max: 200 }), (d, x) => {
        const moved = new Map([
          ['delay.days', String(d / 2)],
          ...(x === 92 ? [] : ([['exchange.USD', String(x / 100)]] as const)),
        ])
        expect(movedFrom(inputs, `#${hashOf(inputs, moved)}`)).toEqual(moved)
      }),
    )
  })

  test.each([
    ['#delay.days=31', 'beyond the slider'],
    ['#delay.days=-1', 'below zero'],
    ['#delay.days=1e1', 'with an exponent'],
    ['#delay.days=NaN', 'no number'],
    ['#delay.days=<script>', 'markup'],
    ['#no.such=3', 'an unknown input'],
    ['#exchange.USD=0.920', 'the planned value'],
    ['#__proto__=3&constructor=1', 'names of JavaScript'],
    ['#%E0%A4%A', 'half an escape'],
  ])('%s is left out: %s', (hash) => {
    expect(movedFrom(inputs, hash).size).toBe(0)
  })

  it('sets an input that scenarios state differently even to the value of one of them', () => {
    expect(movedFrom(inputs, '#delay.days=6').get('delay.days')).toBe('6')
  })
})

test.each([
  ['6', '6'],
  ['06', '6'],
  ['.5', '0.5'],
  ['7.', '7'],
  ['', undefined],
  ['7 ', undefined],
  ['1,5', undefined],
  ['30.01', undefined],
])('the number field takes %j as %j', (text, value) => {
  expect(takenValue(input('delay.days', '0', '30', ['6']), text)).toBe(value)
})

describe('the command', () => {
  it('names what was moved, in the order of the page', () => {
    const moved = new Map([
      ['exchange.USD', '1.1'],
      ['delay.days', '9'],
    ])
    expect(setText(inputs, moved)).toBe('--set delay.days=9 --set exchange.USD=1.1')
  })

  test.each([
    ['data/households/a', 'data/households/a'],
    ['my move', "'my move'"],
    ["it's", "'it'\\''s'"],
    ['$(rm -r x)', "'$(rm -r x)'"],
    ['', "''"],
  ])('quotes %j as %s for a POSIX shell', (word, quoted) => {
    expect(shellWord(word)).toBe(quoted)
  })
})

describe('a slider', () => {
  const row = fc
    .tuple(
      fc.array(fc.integer({ min: 0, max: 9999 }), { minLength: 3, maxLength: 3 }),
      fc.integer({ min: 0, max: 5 }),
      fc.constantFrom('1', 'USD/h', 'day', 'm3'),
      fc.constantFrom('price.a', 'delay.days', 'own.people', 'exchange.USD'),
    )
    .map(([marks, decimals, unit, id]) => {
      const [low, likely, high] = marks
        .toSorted((a, b) => a - b)
        .map((k) => new Exact(k).div(10 ** decimals)) as [Decimal, Decimal, Decimal]
      return { id, label: id, unit, low, likely, high, source: '', confirmed: 'stated' as const }
    })

  it('can stand on low, likely, high and every planned value', () => {
    fc.assert(
      fc.property(row, fc.integer({ min: 0, max: 99 }), (input, planned) => {
        const value = new Exact(planned).div(4)
        const { min, max, step } = sliderRange(input, [value])
        expect(step.gt(0)).toBe(true)
        expect(min.gte(0)).toBe(true)
        for (const mark of [input.low, input.likely, input.high, value]) {
          expect(mark.gte(min) && mark.lte(max), mark.toString()).toBe(true)
          expect(mark.minus(min).mod(step).isZero()).toBe(true)
        }
      }),
    )
  })
})

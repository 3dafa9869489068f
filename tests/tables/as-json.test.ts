import fc from 'fast-check'
import { expect, it } from 'vitest'
import { exact } from '../../src/quantity/exact.js'
import { jsonText } from '../../src/tables/as-json.js'

it.each([
  ['17244.06', 17244.06],
  ['0.1', 0.1],
  ['-0.000001', -0.000001],
  ['9007199254740991', 9007199254740991],
  // Beyond 2^53 not every whole number is a float64 (IEEE 754-2019, 3.6).
  ['9007199254740993', '9007199254740993'],
  ['5.279788976818596875', '5.279788976818596875'],
])('the figure %s is written %j', (text, written) => {
  const { x } = JSON.parse(jsonText({ x: exact.of(text) }))
  expect(x).toBe(written)
})

it('says where figures stand that are texts (JSON pointers, RFC 6901 section 3), and only then', () => {
  const third = exact.of(1).div(3)
  expect(JSON.parse(jsonText({ 'a/b': { '~': [1, third] }, c: exact.of(2), d: undefined, e: null }))).toEqual(
    {
      'a/b': { '~': [1, third.toString()] },
      c: 2,
      e: null,
      as_text: ['/a~1b/~0/1'],
    },
  )
  expect(JSON.parse(jsonText({ c: exact.of(2) }))).toEqual({ c: 2 })
})

it('loses no digit of any figure', () => {
  fc.assert(
    fc.property(fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n }), fc.nat(12), (digits, decimals) => {
      const figure = exact.of(digits.toString()).div(exact.of(10).pow(decimals))
      const { x } = JSON.parse(jsonText({ x: figure }))
      expect(exact.of(x).eq(figure)).toBe(true)
    }),
  )
})

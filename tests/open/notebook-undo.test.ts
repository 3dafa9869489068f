import { expect, it } from 'vitest'
import type { Cell } from '../../src/notebook/format.js'
import { withoutNamesOf } from '../../src/open/page/notebook-names.js'
import { takenBack } from '../../src/open/page/notebook-undo.js'

const cell = (id: string, source = id): Cell => ({
  cell_type: 'code',
  id,
  metadata: {},
  source,
  execution_count: null,
  outputs: [],
})
const [a, b, c] = [cell('a'), cell('b'), cell('c')]
const typed = cell('b', 'typed since')

it('brings a deleted cell back where it was, and keeps what was typed into another since', () => {
  expect(takenBack({ before: [a, b, c], after: [b, c] }, [typed, c])).toEqual([a, typed, c])
})

it('puts a moved cell back with what was typed into it since', () => {
  expect(takenBack({ before: [a, b, c], after: [b, a, c] }, [typed, a, c])).toEqual([a, typed, c])
})

it('joins a split cell again, and drops one that was added', () => {
  const halves = [cell('b', 'typed'), cell('d', 'since')]
  expect(takenBack({ before: [a, typed], after: [a, ...halves] }, [a, ...halves])).toEqual([a, typed])
})

it('makes a step again that was taken back, and keeps what was typed in between', () => {
  const step = { before: [a, b, c], after: [b, a, c] }
  const back = takenBack(step, [b, a, c])
  expect(back).toEqual([a, b, c])
  // The way forward is the way back of the undoing.
  expect(takenBack({ before: [b, a, c], after: back }, [a, typed, c])).toEqual([typed, a, c])
})

it('keeps quiet about names that other cells have, and about no other', () => {
  const problems = [
    { text: "Cannot find name 'plans'." },
    { text: "Cannot find name 'plan'. Did you mean 'plans'?" },
  ]
  expect(withoutNamesOf(["const { move, plans } = await openHousehold('plan')"], problems)).toEqual([
    problems[1],
  ])
  const wrong = { text: "Type 'string' is not assignable to type 'number'." }
  expect(withoutNamesOf([], [wrong])).toEqual([wrong])
})

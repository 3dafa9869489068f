// Tables of inputs: what they say of a household, and what of them a page takes.
import { expect, it, test } from 'vitest'
import { INPUTS_MIME, shownInputs } from '../../src/notebook/inputs.js'
import { inputsBundle, inputsTable } from '../../src/notebook/show-inputs.js'
import { planScenarios } from '../../src/plan/index.js'
import { openMove } from '../../src/plan/open.js'

const move = await openMove('data/households/student-tromso-wellington')
const read = planScenarios(move)
if (!read.ok) throw new Error('the household cannot be planned')
const plans = read.value

it('has the value of each scenario, the range and the source of each input', () => {
  const { scenarios, inputs } = inputsTable(move, plans, ['cost.origin.wage', 'delay.days', 'service-level'])
  expect(scenarios).toEqual(['Shared, packed by me', 'Shared, packed for me', 'A small container alone'])
  // As scenarios.csv and household.csv of that household state them.
  expect(inputs[1]?.values).toEqual(['7', '7', '3'])
  expect(inputs[1]).toMatchObject({ id: 'delay.days', unit: 'days' })
  // Row NO, movers, of wages.csv.
  expect(inputs[0]?.values).toEqual(['205', '205', '205'])
  expect(inputs[0]?.range).toBe('185.5 to 235')
  expect(inputs[0]?.unit).toBe('NOK/h')
  expect(inputs[0]?.source).toMatch(/\S \((stated|looked up|secondary|from memory|common practice)\)$/)
  expect(inputs[2]?.values[0]).toBe(inputs[2]?.values[2])
  expect(inputs[2]?.values[0]).not.toBe(inputs[2]?.values[1])
})

it('is what a page takes it for, and says nothing that runs', () => {
  const hostile = '<img src=x onerror=alert(1)>'
  const named = { ...move, inputs: { ...move.inputs, numbers: new Map(move.inputs.numbers) } }
  const wage = move.inputs.numbers.get('cost.origin.wage')
  if (!wage) throw new Error('no wage')
  named.inputs.numbers.set('cost.origin.wage', { ...wage, label: hostile, source: hostile })
  const bundle = inputsBundle(named, plans, ['cost.origin.wage'])
  expect(shownInputs(bundle[INPUTS_MIME])).toEqual(inputsTable(named, plans, ['cost.origin.wage']))
  expect(bundle['text/html']).toContain('&#60;img src=x')
  expect(bundle['text/html']).not.toContain('<img')
  expect(bundle['text/plain']).toContain('Inputs, as each scenario has them')
})

it('names the nearest inputs to one that is not there', () => {
  expect(() => inputsTable(move, plans, ['cost.origin.wages'])).toThrow(
    /^unknown input "cost.origin.wages"; nearest: cost.origin.wage/,
  )
  expect(() => inputsTable(move, plans, Array(61).fill('cost.origin.wage'))).toThrow('60 at most')
})

const good = inputsTable(move, plans, ['delay.days'])
const [input] = good.inputs
test.each([
  ['nothing', undefined],
  ['a text', 'inputs'],
  ['a list', []],
  ['no scenarios', { ...good, scenarios: undefined }],
  ['a name that is no text', { ...good, scenarios: [1, 2, 3] }],
  ['fewer values than scenarios', { ...good, inputs: [{ ...input, values: ['7'] }] }],
  ['an input without an id', { ...good, inputs: [{ ...input, id: undefined }] }],
  ['a label of a megabyte', { ...good, inputs: [{ ...input, label: 'a'.repeat(1e6) }] }],
  ['inputs without end', { ...good, inputs: Array(61).fill(input) }],
])('takes no fields from an output that holds %s', (_what, data) => {
  expect(shownInputs(data)).toBeUndefined()
})

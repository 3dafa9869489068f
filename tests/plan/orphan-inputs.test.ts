// An input that no plan of a household can read would pass for a lever and move nothing: it is wired, or it is no input.
import { describe, expect, it } from 'vitest'
import { type Change, type Move, planOf, readBesideCells } from '../../src/plan/index.js'
import { problemText } from '../../src/tables/problem.js'
import { moveOf } from '../brief/household.js'
import { DEMOS } from './households.js'

const change = ([id, value]: readonly [string, string]): Change => ({ id, value })

/** Changes that between them bring every part of the bill into play. */
function variantsOf({ inputs, household }: Move): readonly (readonly Change[])[] {
  const choices = [...inputs.choices.values()]
  const everyOne = (start: string, word: string) =>
    choices
      .filter(({ id, allowed }) => id.startsWith(start) && allowed.includes(word))
      .map(({ id }): readonly [string, string] => [id, word])
  const containers = choices.filter(({ id }) => id.startsWith('packed.')).map(({ id }) => id.slice(7))
  const busy = [...everyOne('take.', 'ship'), ['delay.days', '60'], ['storage.months', '2']] as const
  const turns: readonly (readonly (readonly [string, string])[])[] = [
    ...['diy', 'part', 'full'].map((level) => [['service-level', level]] as const),
    ...['mover', 'self', 'friends', 'hired', 'employer'].map((who) => everyOne('provider.', who)),
    [['freight-basis', 'base']],
    [
      ['route-risk', 'war'],
      ['pallets', 'yes'],
      ['materials-reused', 'yes'],
    ],
    everyOne('packed.', 'everything'),
    // A container that is stated has its own bands of days at the port, and a door to come to.
    ...[...containers, 'groupage'].map((word) => [['transport', word]] as const),
  ]
  const turnsOfPeople = household.people.map(({ person }) => [['importer', person]] as const)
  return [...turns, ...turnsOfPeople].map((turn) => [...busy, ...turn].map(change))
}

describe.each(DEMOS)('%s', (name) => {
  it('has no input that no plan reads', async () => {
    const move = await moveOf(name)
    const read = new Set<string>()
    for (const changes of variantsOf(move)) {
      const plan = planOf(move, 'changed', changes)
      if (!plan.ok) throw new Error(plan.problems.map(problemText).join('\n'))
      for (const id of plan.value.sheet.cells.keys()) read.add(id)
    }
    const idle = [...move.inputs.numbers.keys()].filter((id) => !read.has(id) && !readBesideCells(id))
    expect(idle).toEqual([])
    expect(move.inputs.numbers.size).toBeGreaterThan(300)
  })
})

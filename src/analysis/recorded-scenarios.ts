import { compile, type Program } from '../bulk/index.js'
import { type Move, type Plan, recordedSheet, type Sheet, transportOptions } from '../plan/index.js'
import { UnusableInput } from '../plan/refusal.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import { nearest } from '../tables/nearest.js'

/** A scenario with its formulas kept. */
export interface RecordedScenario {
  readonly name: string
  readonly plan: Plan
  readonly sheet: Sheet<Recorded>
}

/**
 * What happens to the carriage when inputs turn out other than planned. `booked now`: the container that the plan takes
 * is kept, and what outgrows it goes by the cheaper of a second one and a share. `chosen again`: the cheapest carriage is
 * taken as if the inputs had been known at booking; a carriage that the scenario states is kept.
 */
export type Reading = 'booked now' | 'chosen again'

/** Scenarios side by side, ready to be compiled together so that they share their inputs. */
export const recordScenarios = (
  move: Move,
  plans: readonly Plan[],
  reading: Reading = 'chosen again',
): RecordedScenario[] =>
  plans.map((plan) => ({
    name: plan.name,
    plan,
    sheet: recordedSheet(move, plan, reading === 'booked now' ? bookedCarriages(move, plan) : undefined),
  }))

/**
 * The carriages that a booking leaves open: the container booked, alone or with a share for what does not go in.
 * Undefined where the scenario states several containers or a share: that is what it keeps.
 */
function bookedCarriages(move: Move, { inputs, sheet }: Plan): string[] | undefined {
  const container = (option: string) => option.split('+')[0]
  const taken = sheet.choices.get('transport') ?? ''
  const stated = inputs.choices.get('transport')?.value !== 'cheapest'
  if (stated && !sheet.cells.get(`options.${taken}.containers`)?.value.eq(1)) return undefined
  if (stated && taken.includes('+')) return undefined
  return transportOptions(move.reference).flatMap(({ id }) =>
    container(id) === container(taken) ? [id] : [],
  )
}

/** What an output of a program over several scenarios is called: the scenario, then the cell. */
export const outputId = (scenario: string, cell: string): string => `${scenario}: ${cell}`

/** The cell of a scenario; an unknown one throws a sentence that names the nearest. */
export function cellOf(scenario: RecordedScenario, id: string): Recorded {
  const cell = scenario.sheet.cells.get(id)
  if (cell) return cell.value
  const names = nearest(id, scenario.sheet.cells.keys())
  throw new UnusableInput(`unknown cell "${id}" in scenario "${scenario.name}"; nearest: ${names.join(', ')}`)
}

/**
 * One program over all scenarios. An input that a scenario states itself is not varied in that scenario: who plans
 * on six days at the port keeps them while the others sweep.
 *
 * Which carriage `cheapest` stands for is part of the formulas, as the scenarios were recorded.
 */
export function compileScenarios(
  move: Move,
  scenarios: readonly RecordedScenario[],
  cells: readonly string[],
  varied: readonly string[],
): Program {
  const outputs = new Map(
    scenarios.flatMap((s) => cells.map((cell) => [outputId(s.name, cell), cellOf(s, cell)] as const)),
  )
  for (const id of varied) if (!move.inputs.numbers.has(id)) throw unknownInput(move, id)
  const shared = (row: NumberInput): string | undefined =>
    row === move.inputs.numbers.get(row.id) ? row.id : undefined
  return compile(outputs, varied, shared)
}

/** Inputs that at least one scenario leaves as a range, in the order of the input table. */
export function rangedInputs(move: Move, scenarios: readonly RecordedScenario[]): NumberInput[] {
  return [...move.inputs.numbers.values()].filter(
    (row) => row.low.lt(row.high) && scenarios.some((s) => s.plan.inputs.numbers.get(row.id) === row),
  )
}

/** The scenarios that state an input themselves and so do not follow when it is varied. */
export const statedIn = (move: Move, scenarios: readonly RecordedScenario[], id: string): string[] =>
  scenarios.filter((s) => s.plan.inputs.numbers.get(id) !== move.inputs.numbers.get(id)).map((s) => s.name)

/**
 * The household with some inputs taken out of its scenarios, so that they are the same in all and follow together.
 *
 * @param ids inputs; plan the scenarios again afterwards
 */
export function unstated(move: Move, ids: readonly string[]): Move {
  const scenarios = move.household.scenarios.map((scenario) => ({
    ...scenario,
    changes: scenario.changes.filter(({ id }) => !ids.includes(id)),
  }))
  return { ...move, household: { ...move.household, scenarios } }
}

function unknownInput(move: Move, id: string): Error {
  return new UnusableInput(
    `unknown input "${id}"; nearest: ${nearest(id, move.inputs.numbers.keys()).join(', ')}`,
  )
}

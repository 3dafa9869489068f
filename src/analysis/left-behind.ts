import type { Plan } from '../plan/move.js'

/** A line or vehicle by its mark and what it is. */
export interface LeftThing {
  readonly mark: string
  readonly label: string
}

const shipped = ({ household: { inventory, vehicles } }: Plan): readonly LeftThing[] => [
  ...vehicles.flatMap(({ take, vehicle: mark, label }) => (take === 'ship' ? [{ mark, label }] : [])),
  ...inventory.flatMap(({ take, line: mark, item: label }) => (take === 'ship' ? [{ mark, label }] : [])),
]

/**
 * What another of the plans ships and this one does not, vehicles first: what it sells for and what the like costs
 * at the destination are in no total, so that totals with and without it are not of the same move.
 */
export function leftBehind(plan: Plan, plans: readonly Plan[]): readonly LeftThing[] {
  const mine = new Set(shipped(plan).map(({ mark }) => mark))
  const all = new Map(plans.flatMap(shipped).map((thing) => [thing.mark, thing]))
  return [...all.values()].filter(({ mark }) => !mine.has(mark))
}

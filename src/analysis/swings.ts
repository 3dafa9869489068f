import type { Decimal } from 'decimal.js'
import type { InputTable } from '../plan/inputs.js'
import type { Move, Plan } from '../plan/move.js'
import { planSheet } from '../plan/plan.js'
import { UnusableInput } from '../plan/refusal.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { exact } from '../quantity/exact.js'

/** What one ranged input alone does to a cell: the cell at the input's low and at its high end. */
export interface InputSwing {
  readonly input: NumberInput
  readonly atLow: Decimal
  readonly atHigh: Decimal
}

const withNumber = (inputs: InputTable, row: NumberInput, likely: Decimal): InputTable => ({
  ...inputs,
  numbers: new Map([...inputs.numbers, [row.id, { ...row, likely }]]),
})

/** A cell of a plan with one input at another value, everything else as planned, the container among it. */
export function cellAt(move: Move, plan: Plan, inputId: string, value: Decimal, cellId: string): Decimal {
  const row = plan.inputs.numbers.get(inputId)
  const sheet = planSheet(
    exact,
    row ? withNumber(plan.inputs, row, value) : plan.inputs,
    move.household,
    move.reference,
  )
  const cell = sheet.cells.get(cellId)
  if (!cell) throw new UnusableInput(`unknown cell "${cellId}"`)
  return cell.value
}

/**
 * Every input that has a range and is used, by how far it alone moves a cell, the widest first. Inputs that leave
 * the cell where it is are left out.
 */
export function swings(move: Move, plan: Plan, cellId: string): InputSwing[] {
  const ranged = [...plan.inputs.numbers.values()].filter(
    ({ id, low, high }) => !low.eq(high) && plan.sheet.cells.has(id),
  )
  const width = ({ atLow, atHigh }: InputSwing) => atHigh.minus(atLow).abs()
  return ranged
    .map((input) => ({
      input,
      atLow: cellAt(move, plan, input.id, input.low, cellId),
      atHigh: cellAt(move, plan, input.id, input.high, cellId),
    }))
    .filter((swing) => !width(swing).isZero())
    .sort((a, b) => width(b).cmp(width(a)) || (a.input.id < b.input.id ? -1 : 1))
}

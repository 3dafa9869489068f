import type { Decimal } from 'decimal.js'
import type { Plan } from '../plan/move.js'
import { UnusableInput } from '../plan/refusal.js'
import { inHouseholdCurrency } from '../plan/shipment.js'
import { exact } from '../quantity/exact.js'
import { csvCell } from '../tables/as-data.js'
import type { ActualRow } from './arrival-files.js'

/** A cost line as planned and as paid, in the household's currency. */
export interface ActualLine {
  readonly cell: string
  readonly label: string
  readonly planned: Decimal
  readonly paid: Decimal
  readonly difference: Decimal
  /** The input whose price the line is made with, and what it would have been for the paid amount to come out. */
  readonly rate?: { readonly id: string; readonly unit: string; readonly likely: Decimal }
}

/** What was paid against what was planned, line by line. */
export function actualsOf(plan: Plan, rows: readonly ActualRow[]): ActualLine[] {
  const { facts } = plan.household
  return rows.map((row): ActualLine => {
    const cell = plan.sheet.cells.get(row.cell)
    const paid = inHouseholdCurrency(plan.inputs, facts, row.paid, row.currency)
    if (!cell || !paid)
      throw new UnusableInput(
        cell
          ? `no rate from ${row.currency} into ${facts.currency}; add one to exchange.csv`
          : `unknown cell "${row.cell}"`,
      )
    const price = plan.inputs.numbers.get(`price.${row.cell.split('.').at(-1) ?? ''}`)
    const rate =
      price && cell.value.gt(0)
        ? {
            id: price.id,
            unit: price.unit,
            likely: exact.round(price.likely.times(paid).div(cell.value), 4),
          }
        : undefined
    return {
      cell: row.cell,
      label: cell.label,
      planned: cell.value,
      paid,
      difference: paid.minus(cell.value),
      ...(rate ? { rate } : {}),
    }
  })
}

/**
 * The household's own rates for the next move, as rates.csv has them: each price in proportion to what was paid. A
 * line with a least charge or a flat part is only roughly in proportion.
 */
export function ownRatesCsv(lines: readonly ActualLine[], asOf: string): string {
  const rows = lines.flatMap(({ rate, cell }) =>
    rate ? [[rate.id, '', rate.likely.toFixed(), '', `paid for ${cell}, move of ${asOf}`]] : [],
  )
  return `${[['id', 'low', 'likely', 'high', 'source'], ...rows].map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

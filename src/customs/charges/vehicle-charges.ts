import type { Decimal } from 'decimal.js'
import { exact } from '../../quantity/index.js'
import type { DutyMove } from '../move.js'
import { insideOneTerritory, jurisdictionOf } from '../relief/assess.js'
import { type CustomsTables, holdsOn } from '../tables.js'
import type { VehicleChargeRow } from './columns.js'
import type { CustomsOutcome } from './importer.js'

/** What a vehicle costs after customs: tax on its registration, approval, inspection, conversion. */
export interface VehicleCharge {
  readonly line: string
  readonly id: string
  readonly label: string
  readonly what: VehicleChargeRow['what']
  /** In the currency of the charges; undefined where it is not determined. */
  readonly amount: Decimal | undefined
  readonly sentence: string
  /** Whom to ask. */
  readonly ask: string
}

/**
 * The charges on putting each vehicle of a move on the road, from vehicle-charges.csv: those of the country, and those
 * that any country may make. They are no customs charges and stand in no customs total.
 */
export function vehicleCharges(
  tables: CustomsTables,
  move: DutyMove,
  { best, currency }: Pick<CustomsOutcome, 'best' | 'currency'>,
): VehicleCharge[] {
  const inside = insideOneTerritory(tables, move)
  const named = tables.vehicleCharges.filter((row) => row.country === move.destination)
  // What a country's own rows speak of is not asked again in general.
  const general = tables.vehicleCharges.filter(
    (row) => row.country === 'any' && !named.some((own) => own.what === row.what),
  )
  return move.lines.flatMap((line) =>
    [...named, ...general]
      .filter((row) => row.kinds.includes(line.kind) && holdsOn(row, line.importOn ?? move.importOn))
      .map((row): VehicleCharge => {
        const assessed = best.assessments.find((each) => each.line.id === line.id)
        const free = row.freed && !inside && assessed?.verdict === 'qualifies'
        const worth = best.charges?.perLine.find((each) => each.id === line.id)?.customsValue
        const amount = free ? exact.of(0) : amountOf(row, worth, currency)
        const place = jurisdictionOf(tables, move.destination)?.label ?? move.destination
        return {
          line: line.id,
          id: row.id,
          label: row.label,
          what: row.what,
          amount: amount && exact.round(amount, 2),
          sentence: free
            ? `${line.label}: no ${row.label} in ${place}, because relief on moving house frees from it; apply for it.`
            : amount
              ? `${line.label}: ${row.label} ${exact.round(amount, 2).toFixed(2)} ${currency}.`
              : `${line.label}: ${row.label} not determined; ask ${row.ask}.`,
          ask: row.ask,
        }
      }),
  )
}

function amountOf(
  { rate, fixed, currency: stated }: VehicleChargeRow,
  worth: Decimal | undefined,
  currency: string | undefined,
): Decimal | undefined {
  if (fixed) return stated === undefined || stated === currency ? fixed : undefined
  return rate && worth?.times(rate)
}

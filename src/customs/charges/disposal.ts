import type { Decimal } from 'decimal.js'
import { type Arithmetic, exact, type Num, type RoundingRule } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import { periodEnd } from '../calendar.js'
import type { DutyMove } from '../move.js'
import { decidingRoute, type LineAssessment } from '../relief/verdict.js'
import type { CustomsTables } from '../tables.js'
import { chargeRules } from './charge-rules.js'

/**
 * The charge that comes due when relieved goods are sold, lent, hired out or pledged too early: at the rates and
 * the value of that day.
 *
 * @param value what customs accepts as the value on the day of disposal
 * @param disposal the day of disposal, and the last day of the period: `periodEnd(importOn, no_disposal, 'month')`
 * @returns zero once the period is over
 *
 * Source: Regulation (EC) 1186/2009 art. 8. Example: 900 at 12 % duty and 21 % VAT: 108.00 + 211.68 = 319.68.
 */
export function disposalCharge<N extends Num<N>>(
  m: Arithmetic<N>,
  value: N,
  rates: { readonly duty: N; readonly tax: N },
  disposal: { readonly on: IsoDate; readonly lockedUntil: IsoDate },
  decimals = 2,
  rounding: RoundingRule = 'half-up',
): { readonly duty: N; readonly tax: N; readonly total: N } {
  if (disposal.on > disposal.lockedUntil) return { duty: m.of(0), tax: m.of(0), total: m.of(0) }
  const duty = m.round(value.times(rates.duty), decimals, rounding)
  const tax = m.round(value.plus(duty).times(rates.tax), decimals, rounding)
  return { duty, tax, total: duty.plus(tax) }
}

/** What a relieved thing would cost its owner if it were sold, lent, hired out or pledged too early. */
export interface EarlySale {
  readonly line: string
  readonly label: string
  /** The last day of the period in which the law asks the relieved goods to be kept. */
  readonly lockedUntil: IsoDate
  /** Duty and import tax at the value stated today, in the household's currency; undefined where a rate is not known. */
  readonly charge: Decimal | undefined
}

/**
 * What falls due on each relieved thing that is parted with before its period is over, dearest first. Excise, where
 * there is one, comes on top; the value and the rates that count are those of the day.
 *
 * @param exchange units of the currency of the charges for one of the household's
 */
export function earlySales(
  tables: CustomsTables,
  move: DutyMove,
  assessments: readonly LineAssessment[],
  exchange: Decimal,
): EarlySale[] {
  const sales = assessments.flatMap((assessment): EarlySale[] => {
    const { line, verdict } = assessment
    const months = decidingRoute(assessment)?.row.no_disposal
    const relieved = verdict === 'qualifies' || verdict === 'discretionary'
    if (!relieved || typeof months !== 'number' || line.value === undefined) return []
    const importOn = line.importOn ?? move.importOn
    const lockedUntil = periodEnd(importOn, months, 'month')
    const { rules } = chargeRules(exact, tables, move.destination, importOn)
    const [duty, tax] = [rules?.dutyRate(line.class), rules?.taxRate]
    const due =
      rules && duty && tax
        ? disposalCharge(
            exact,
            line.value.times(exchange),
            { duty, tax },
            { on: importOn, lockedUntil },
            rules.decimals,
            rules.rounding,
          )
        : undefined
    return [
      {
        line: line.id,
        label: line.label,
        lockedUntil,
        charge: due && exact.round(due.total.div(exchange), 2),
      },
    ]
  })
  return sales.sort((a, b) => (b.charge?.toNumber() ?? 0) - (a.charge?.toNumber() ?? 0))
}

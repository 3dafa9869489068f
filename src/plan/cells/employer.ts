import { employerGives } from '../../cost/employer.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { PlanContext } from '../plan-context.js'

/**
 * Money from an employer against what the household pays: what comes in, what is left to pay or kept. Services that
 * the employer pays for itself stand under `employer.*` and never were in the total. Whether any of it is taxed is
 * for an adviser.
 *
 * @param bill what the household pays for the whole move
 */
export function employerCells<N extends Num<N>>({ ledger }: PlanContext<N>, bill: N): void {
  const { m } = ledger
  const given = ledger.putStatementLine(
    'employer.gives',
    'Money from the employer; ask an adviser whether it is taxed',
    employerGives(m, bill, {
      lumpSum: ledger.money('employer.lump-sum'),
      share: ledger.input('employer.share'),
      ...(ledger.has('employer.cap') ? { cap: ledger.money('employer.cap') } : {}),
    }),
  )
  ledger.put(
    'employer.left-to-pay',
    "Left to pay after the employer's money",
    ledger.currency,
    m.max(m.of(0), bill.minus(given)),
  )
  ledger.put(
    'employer.kept',
    "Kept of the employer's money",
    ledger.currency,
    m.max(m.of(0), given.minus(bill)),
  )
}

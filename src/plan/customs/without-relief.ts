import { insideOneTerritory } from '../../customs/relief/assess.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { PlanContext } from '../plan-context.js'
import { chargesOf, inHousehold, rulesOf } from './charges.js'
import { type CustomsGround, chargedAlike, surcharged } from './ground.js'

/**
 * What the charges would be if nothing were freed, and so what relief saves. Inside one customs territory nothing is
 * imported, so there is nothing that relief could save.
 */
export function withoutReliefCells<N extends Num<N>>(
  context: PlanContext<N>,
  { move, ways: [way] }: CustomsGround<N>,
): void {
  const { ledger, reference } = context
  const { rules, currency } = rulesOf(context, move)
  const charged = ledger.written('cost.customs.total')
  if (!way || !rules || currency === undefined || !charged) return
  if (insideOneTerritory(reference.customs, move)) return
  const free = { duty: false, excise: false, tax: false, fee: false }
  const bare = chargesOf(
    context,
    move,
    chargedAlike(
      ledger.m,
      way.lines.map(({ open, ceiling, proRata, ...line }) => ({ ...line, free })),
      surcharged(reference, move),
    ),
    rules,
  )
  const without = ledger.putStatementLine(
    'duty.without-relief',
    'Customs charges if nothing were freed',
    inHousehold(context, currency, bare.total),
  )
  ledger.put(
    'duty.relief-saves',
    'What relief saves',
    ledger.currency,
    // Against what it may come to: a charge that is open is not saved.
    without.minus(ledger.get(ledger.written('duty.if-refused') ? 'duty.if-refused' : 'cost.customs.total')),
  )
}

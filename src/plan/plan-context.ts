import type { CustomsTables } from '../customs/tables.js'
import type { Num } from '../quantity/arithmetic.js'
import type { Household } from '../tables/household.js'
import type { Provider } from '../tables/household-columns.js'
import type { Reference } from '../tables/reference.js'
import { isProvider } from './inputs.js'
import type { Ledger } from './ledger.js'
import type { Shipment } from './shipment.js'

/** All reference tables: those of the transport and those of customs. */
export interface References extends Reference {
  readonly customs: CustomsTables
}

/** What every step of a plan works from: the sheet being written, the household and the reference tables. */
export interface PlanContext<N extends Num<N>> {
  readonly ledger: Ledger<N>
  /** As this scenario has it: quantities, values, days and all else that the scenario changes. */
  readonly household: Household
  /** What of the household travels under this scenario. */
  readonly shipment: Shipment
  readonly reference: References
}

/**
 * Who does a service: as chosen for it, else as the service level says. At the level `own` services.csv decides,
 * and part service where it is silent.
 */
export function providerOf<N extends Num<N>>(
  { ledger, household, reference }: PlanContext<N>,
  service: string,
): Provider {
  const chosen = ledger.choice(`provider.${service}`)
  if (isProvider(chosen)) return chosen
  const level = ledger.choice('service-level')
  const row = reference.serviceLevels.find((l) => l.service === service)
  if (level === 'own') {
    return household.services.find((s) => s.service === service)?.provider ?? row?.part ?? 'mover'
  }
  return row?.[level as 'diy' | 'part' | 'full'] ?? 'mover'
}

import type { Num } from '../../quantity/arithmetic.js'
import type { Service } from '../../tables/reference.js'
import type { PlanContext } from '../plan-context.js'
import { isFor } from '../where.js'

/** Is a service one for this move? Outside its dates a row is not there at all (`inForce` where the inputs are made). */
export const applies = <N extends Num<N>>({ household }: PlanContext<N>, service: Service): boolean =>
  isFor(service.where, household.facts)

/** Is a surcharge inside the freight price already? */
export const insideFreight = <N extends Num<N>>({ ledger }: PlanContext<N>, service: Service): boolean =>
  service.in_all_in && ledger.choice('freight-basis') === 'all-in'

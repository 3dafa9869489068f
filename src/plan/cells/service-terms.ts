import type { Num } from '../../quantity/arithmetic.js'
import type { Service } from '../../tables/reference.js'
import type { PlanContext } from '../plan-context.js'

/**
 * Is a service one for this move? `where` names countries: `to:US` and `from:GB` let only those in, `not-to:AU` keeps
 * one out; blank: everywhere. Outside its dates a row is not there at all (`inForce` where the inputs are made).
 */
export function applies<N extends Num<N>>(context: PlanContext<N>, service: Service): boolean {
  const { facts } = context.household
  const words = service.where?.split('|') ?? []
  const only = words.filter((word) => !word.startsWith('not-'))
  const here = [`to:${facts.destination_country}`, `from:${facts.origin_country}`]
  return (
    here.every((place) => !words.includes(`not-${place}`)) &&
    (only.length === 0 || only.some((word) => here.includes(word)))
  )
}

/** Is a surcharge inside the freight price already? */
export const insideFreight = <N extends Num<N>>({ ledger }: PlanContext<N>, service: Service): boolean =>
  service.in_all_in && ledger.choice('freight-basis') === 'all-in'

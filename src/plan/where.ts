import type { HouseholdFacts } from '../tables/household-columns.js'

/**
 * Is a row of a reference table one for this move? Its column `where` names countries: `to:US` and `from:GB` let only
 * those in, `not-to:AU` keeps one out; blank: everywhere.
 */
export function isFor(
  where: string | undefined,
  facts: Pick<HouseholdFacts, 'origin_country' | 'destination_country'>,
): boolean {
  const words = where?.split('|') ?? []
  const only = words.filter((word) => !word.startsWith('not-'))
  const here = [`to:${facts.destination_country}`, `from:${facts.origin_country}`]
  return (
    here.every((place) => !words.includes(`not-${place}`)) &&
    (only.length === 0 || only.some((word) => here.includes(word)))
  )
}

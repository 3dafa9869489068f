/** What a lane's price says of itself; the rows of data/reference/freight.csv fit. */
export interface LanePrice {
  readonly id: string
  /** Regions of countries.csv, several separated by |. */
  readonly from_region: string
  readonly to_region: string
  /** First and last day of the price; blank where not known. */
  readonly from?: string | undefined
  readonly until?: string | undefined
}

/** A move's lane on a day. */
export interface Lane {
  readonly fromRegion: string
  readonly toRegion: string
  readonly on: string
}

const names = (regions: string, region: string): boolean => regions.split('|').includes(region)

/** Is a dated row in force on a day? Blank: no bound on that side. */
export const inForce = (
  { from, until }: { readonly from?: string | undefined; readonly until?: string | undefined },
  on: string,
): boolean => (from === undefined || from <= on) && (until === undefined || on <= until)

/**
 * The freight prices of a lane on a day: one for each size of container, and one for a share of one.
 *
 * @param prices rows, each for a lane and a time
 * @returns the rows that hold, the one that began last where several do; none where the lane has no price that day
 */
export function freightOnLane<P extends LanePrice>(
  prices: readonly P[],
  { fromRegion, toRegion, on }: Lane,
): readonly P[] {
  const held = prices.filter(
    (p) => names(p.from_region, fromRegion) && names(p.to_region, toRegion) && inForce(p, on),
  )
  const latest = new Map<string, P>()
  for (const price of held) {
    const before = latest.get(price.id)
    if (before === undefined || (before.from ?? '') <= (price.from ?? '')) latest.set(price.id, price)
  }
  return [...latest.values()]
}

import { priceForVolume } from '../cost/quote.js'
import type { Num } from '../quantity/arithmetic.js'
import { quotedServices } from '../tables/household.js'
import type { ServiceCost } from './cost-cells.js'
import type { PlanContext } from './plan-context.js'

/** Drivers whose price grows with the volume: a quote for less volume is cheap for that reason alone. */
const BY_VOLUME = new Set(['m3', 'crew-hour', 'm3-month'])

/**
 * Movers' quotes on one footing: each as stated, then brought to the household's own volume, with what it leaves
 * out added at the model's price and what the household does not want from a mover taken off.
 */
export function quoteCells<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
): void {
  const { ledger, household } = context
  const { m } = ledger
  const packed = ledger.get('volume.packed')
  const wanted = [...costs.values()]
    .filter((cost) => cost.provider === 'mover')
    .map((cost) => cost.service.id)
  for (const quote of new Set(household.quotes.map((q) => q.quote))) {
    const rows = household.quotes.flatMap((q, i) =>
      q.quote === quote
        ? [{ services: quotedServices(q.services), price: ledger.money(`quote.${quote}.row-${i + 1}`) }]
        : [],
    )
    const measured = ledger.input(`quote.${quote}.volume`)
    const offered = new Set(rows.flatMap((row) => row.services))
    const forVolume = rows.map(({ services, price }) =>
      services.every((service) => BY_VOLUME.has(costs.get(service)?.service.driver ?? ''))
        ? priceForVolume(price, measured, packed)
        : price,
    )
    const unwanted = rows.flatMap(({ services }, i) =>
      services.every((service) => !wanted.includes(service)) ? (forVolume[i] ?? []) : [],
    )
    const missing = wanted
      .filter((service) => !offered.has(service))
      .flatMap((service) => costs.get(service)?.byMover ?? [])
    const id = `quotes.${quote}`
    const stated = ledger.putStatementLine(
      `${id}.stated`,
      `${quote}: as stated`,
      m.sum(rows.map((row) => row.price)),
    )
    ledger.put(`${id}.volume-ratio`, `${quote}: volume quoted over packed volume`, '1', measured.div(packed))
    const volume = ledger.putStatementLine(
      `${id}.for-volume`,
      `${quote}: what the volume difference changes`,
      m.sum(forVolume).minus(stated),
    )
    const added = ledger.putStatementLine(
      `${id}.left-out`,
      `${quote}: services it leaves out, at the model's price`,
      m.sum(missing),
    )
    const off = ledger.putStatementLine(
      `${id}.not-wanted`,
      `${quote}: services the household does not want from a mover`,
      m.sum(unwanted),
    )
    ledger.put(
      `${id}.like-for-like`,
      `${quote}: like for like`,
      ledger.currency,
      stated.plus(volume).plus(added).minus(off),
    )
  }
}

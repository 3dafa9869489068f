import { priceForVolume, splitBundle } from '../cost/quote.js'
import type { Num } from '../quantity/arithmetic.js'
import { quotedServices } from '../tables/household.js'
import type { ServiceCost } from './cost-cells.js'
import type { PlanContext } from './plan-context.js'

/** Drivers whose price grows with the volume: a quote for less volume is cheap for that reason alone. */
const BY_VOLUME = new Set(['m3', 'crew-hour', 'm3-month'])

/** One price of a quote, split into its services. */
interface Bundle<N> {
  readonly services: readonly string[]
  readonly price: N
  /** A part for each service, in order; they add up to the price. */
  readonly parts: readonly N[]
}

/**
 * Movers' quotes on one footing: each as stated; its bundles split by the model's own shares for this home; the parts
 * that go by volume brought to the household's own volume; what it leaves out added at the model's price; what the
 * household does not want from a mover taken off. `comparable` is 0 where the volume quoted is too far from the
 * packed one to be scaled honestly.
 */
export function quoteCells<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
): void {
  const wanted = [...costs.values()]
    .filter((cost) => cost.provider === 'mover')
    .map((cost) => cost.service.id)
  const quotes = [...new Set(context.household.quotes.map((q) => q.quote))]
  const totals = quotes.map((quote) => quoteCell(context, quote, costs, wanted))
  const { ledger } = context
  const { m } = ledger
  if (quotes.length === 0) return
  const model = ledger.putStatementLine(
    'quotes.model',
    "The model's price for the same services",
    m.sum(wanted.flatMap((id) => costs.get(id)?.byMover ?? [])),
  )
  for (const [i, quote] of quotes.entries()) {
    const total = totals[i] ?? m.of(0)
    const ratio = ledger.put(
      `quotes.${quote}.over-model`,
      `${quote}: like for like over the model's price`,
      '1',
      total.div(m.max(model, m.of('0.01'))),
    )
    const [low, high] = ['low', 'high'].map((end) => ledger.input(`quote.outlier.${end}`)) as [N, N]
    ledger.put(
      `quotes.${quote}.outlier`,
      `${quote}: 0 as others, 1 strikingly high, 2 strikingly low`,
      '1',
      m.choose(ratio, high, m.of(1), m.choose(low, ratio, m.of(2), m.of(0))),
    )
  }
}

function quoteCell<N extends Num<N>>(
  { ledger, household }: PlanContext<N>,
  quote: string,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  wanted: readonly string[],
): N {
  const { m } = ledger
  const id = `quotes.${quote}`
  const packed = ledger.get('volume.packed')
  const measured = ledger.input(`quote.${quote}.volume`)
  // Zero, to the last digit, where the volumes are the same.
  const more = priceForVolume(m.of(1), measured, packed).minus(m.of(1))
  const bundles: readonly Bundle<N>[] = household.quotes.flatMap((row, i) => {
    if (row.quote !== quote) return []
    const services = quotedServices(row.services)
    const price = ledger.money(`quote.${quote}.row-${i + 1}`)
    const modelled = services.map((service) => costs.get(service)?.byMover ?? m.of(0))
    return [{ services, price, parts: splitBundle(m, price, modelled) }]
  })
  const parts = bundles.flatMap(({ services, parts: shares }) =>
    services.map((service, i) => {
      const part = shares[i] ?? m.of(0)
      const byVolume = BY_VOLUME.has(costs.get(service)?.service.driver ?? '')
      return { service, part, change: byVolume ? part.times(more) : m.of(0) }
    }),
  )
  const offered = new Set(parts.map(({ service }) => service))
  const stated = ledger.putStatementLine(
    `${id}.stated`,
    `${quote}: as stated`,
    m.sum(bundles.map(({ price }) => price)),
  )
  const ratio = ledger.put(
    `${id}.volume-ratio`,
    `${quote}: volume quoted over packed volume`,
    '1',
    measured.div(packed),
  )
  ledger.put(
    `${id}.comparable`,
    `${quote}: 1 where its volume is near enough to be scaled, else 0`,
    '1',
    m.choose(
      ratio,
      ledger.input('quote.honest-ratio.least'),
      m.choose(ledger.input('quote.honest-ratio.most'), ratio, m.of(1), m.of(0)),
      m.of(0),
    ),
  )
  for (const service of offered) {
    ledger.putStatementLine(
      `${id}.part.${service}`,
      `${quote}: ${costs.get(service)?.service.label ?? service}, its part of the price`,
      m.sum(parts.flatMap((p) => (p.service === service ? [p.part] : []))),
    )
  }
  const volume = ledger.putStatementLine(
    `${id}.for-volume`,
    `${quote}: what the volume difference changes`,
    m.sum(parts.map(({ change }) => change)),
  )
  const added = ledger.putStatementLine(
    `${id}.left-out`,
    `${quote}: services it leaves out, at the model's price`,
    m.sum(
      wanted
        .filter((service) => !offered.has(service))
        .flatMap((service) => costs.get(service) ?? [])
        .flatMap(({ service, byMover }) => (service.in_every_quote ? [] : [byMover])),
    ),
  )
  const off = ledger.putStatementLine(
    `${id}.not-wanted`,
    `${quote}: services the household does not want from a mover`,
    m.sum(
      parts.flatMap(({ service, part, change }) => (wanted.includes(service) ? [] : [part.plus(change)])),
    ),
  )
  return ledger.put(
    `${id}.like-for-like`,
    `${quote}: like for like`,
    ledger.currency,
    stated.plus(volume).plus(added).minus(off),
  )
}

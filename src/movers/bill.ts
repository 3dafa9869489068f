import type { Move, Plan } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { exact } from '../quantity/exact.js'
import type { Service } from '../tables/reference.js'
import type { Asked } from './answers.js'
import type { Bill } from './compare.js'
import type { Question } from './questions.js'

/** Drivers whose price grows with the volume. */
const BY_VOLUME = new Set(['m3', 'crew-hour', 'm3-month'])

/** The services that a plan wants from a mover. What costs nothing as planned (storage, demurrage) is a term, not a line. */
export function wantedServices(move: Move, plan: Plan): readonly Service[] {
  const by = providers(move, plan)
  return move.reference.services.filter(
    (service) =>
      by.get(service.id) === 'mover' &&
      !plan.sheet.cells.get(`cost.${service.phase}.${service.id}`)?.value.isZero(),
  )
}

/** What offers are brought to: the plan's own volume, the services it wants, and the model's price of each. */
export function billOf(move: Move, plan: Plan): Bill {
  const value = (id: string) => plan.sheet.cells.get(id)?.value ?? exact.of(0)
  return {
    packedM3: value('volume.packed'),
    currency: move.household.facts.currency,
    lines: wantedServices(move, plan).map(({ id, label, phase, driver }) => ({
      service: id,
      label,
      byVolume: BY_VOLUME.has(driver),
      price: value(`cost.${phase}.${id}`),
    })),
    rates: new Map(
      [...plan.inputs.numbers.values()].flatMap(({ id, likely }) => {
        const currency = /^exchange\.([A-Z]{3})$/.exec(id)?.[1]
        return currency === undefined ? [] : [[currency, likely] as const]
      }),
    ),
  }
}

/** What an answer to the enquiry of a plan is read against. */
export function askedOf(move: Move, plan: Plan, questions: readonly Question[]): Asked {
  const bill = billOf(move, plan)
  return {
    services: bill.lines.map(({ service }) => service),
    others: move.reference.services.map(({ id }) => id),
    questions,
    currencies: [bill.currency, ...bill.rates.keys()],
  }
}

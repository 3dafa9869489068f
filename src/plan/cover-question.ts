import type { Decimal } from 'decimal.js'
import {
  type CoverOffer,
  type CoverOutcome,
  coverOutcomes,
  type GoodsAtRisk,
  type LossTolerance,
  NO_COVER,
  type TransitLoss,
  transitLoss,
} from '../insurance/index.js'
import type { Provider } from '../tables/household-columns.js'
import type { Reference } from '../tables/reference.js'
import type { InputTable } from './inputs.js'
import type { Cell } from './ledger.js'

/** A cover that asks for a service by professionals is content with the mover, and with one the employer pays for. */
export const byProfessionals = (provider: Provider): boolean =>
  provider === 'mover' || provider === 'employer'

/** Inputs that the cover decision and the simulation of losses read beside the cells of a plan: no formula uses them. */
export const readByCoverDecision = (id: string): boolean =>
  id.startsWith('risk.') ||
  id.startsWith('loss.') ||
  [
    'insurance.claim-probability',
    'insurance.total-loss-probability',
    'insurance.loss-share-when-damaged',
    'insurance.deductible-after-average',
    'general-average.security-share',
  ].includes(id)

/** What can happen to the goods under the inputs of a plan. */
export const lossOf = (
  { covers, perils }: Pick<Reference, 'covers' | 'perils'>,
  inputs: InputTable,
): TransitLoss =>
  transitLoss(
    covers.map(({ id }) => id),
    perils,
    inputs.numbers,
  )

/** Everything that the choice of a cover depends on, as plain data. */
export interface CoverQuestion {
  readonly loss: TransitLoss
  readonly goods: GoodsAtRisk
  readonly offers: readonly CoverOffer[]
  readonly tolerance: LossTolerance
}

/**
 * The cover decision of one plan: losses and tolerance from its inputs, values, premiums and forced services from its
 * cells. Which cover the plan has does not matter.
 */
export function coverQuestion(
  { covers, perils }: Pick<Reference, 'covers' | 'perils'>,
  inputs: InputTable,
  cells: ReadonlyMap<string, Pick<Cell<Decimal>, 'value' | 'unit'>>,
): CoverQuestion {
  const cell = (id: string) => {
    const found = cells.get(id)
    if (!found) throw new Error(`the cover decision needs the cell "${id}", which this plan does not have`)
    return found
  }
  const amount = (id: string): number => cell(id).value.toNumber()
  const figure = (id: string): number => inputs.numbers.get(id)?.likely.toNumber() ?? 0
  const inHousehold = (id: string): number => {
    const { value, unit } = cell(id)
    const rate = cells.get(`exchange.${unit.slice(0, 3)}`)?.value
    return (rate ? value.times(rate) : value).toNumber()
  }
  const ruin = figure('loss.ruin')
  return {
    loss: lossOf({ covers, perils }, inputs),
    goods: {
      valueAtRisk: amount('value.replacement'),
      sumInsured: amount('value.insured'),
      average: figure('insurance.deductible-after-average') === 0 ? 'before average' : 'after average',
    },
    offers: covers.map(({ id }) => ({
      cover: id,
      premium: amount(`cover.${id}.premium`),
      forcedServices: amount(`cover.${id}.forced-services`),
      deductible: inHousehold(`cover.${id}.deductible`),
    })),
    tolerance: {
      amount: figure('loss.tolerance'),
      chance: figure('loss.chance'),
      ...(ruin > 0 ? { ruin } : {}),
      loading: figure('risk.retained-loading'),
    },
  }
}

/** The covers of a plan, judged: the first one is the one to buy. */
export function coverOutcomesOf(
  reference: Pick<Reference, 'covers' | 'perils'>,
  plan: {
    readonly inputs: InputTable
    readonly sheet: { readonly cells: ReadonlyMap<string, Pick<Cell<Decimal>, 'value' | 'unit'>> }
  },
): CoverOutcome[] {
  const { loss, goods, offers, tolerance } = coverQuestion(reference, plan.inputs, plan.sheet.cells)
  return coverOutcomes(loss, goods, offers, tolerance)
}

/**
 * What buying a cover changes in a plan: the cover, and the mover for each service that it asks for and that is not
 * done by professionals yet.
 */
export function coverChanges(
  reference: Pick<Reference, 'covers'>,
  cover: string,
  providerOf: (service: string) => Provider,
): { readonly id: string; readonly value: string }[] {
  const asked = cover === NO_COVER ? [] : (reference.covers.find(({ id }) => id === cover)?.requires ?? [])
  return [
    { id: 'cover', value: cover },
    ...asked
      .filter((service) => !byProfessionals(providerOf(service)))
      .map((service) => ({ id: `provider.${service}`, value: 'mover' })),
  ]
}

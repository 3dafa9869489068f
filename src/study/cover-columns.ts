import { Columns, compile } from '../bulk/index.js'
import { type CoverOffer, coverRisks, NO_COVER, outcomesOf } from '../insurance/index.js'
import {
  type CoverQuestion,
  coverChanges,
  coverQuestion,
  readByCoverDecision,
} from '../plan/cover-question.js'
import type { Change, Move } from '../plan/index.js'
import { withChanges } from '../plan/inputs.js'
import { coverGround } from '../plan/plan.js'
import { providerOf } from '../plan/plan-context.js'
import { Refusal } from '../plan/refusal.js'
import { exact } from '../quantity/exact.js'
import { recorded } from '../quantity/recorded.js'

/** The cover decision of one scenario at many points. */
export interface CoverColumns {
  /** The cover to buy at each point. */
  at(numbers: ReadonlyMap<string, Float64Array>, count: number): readonly string[]
  /** What buying it changes in the plan. */
  changes(cover: string): readonly Change[]
}

/**
 * The cover decision compiled once: premiums, services and values come from the formulas of the plan as columns, how
 * often and how badly goods are lost from the inputs of each point. What each cover leaves to the household is worked
 * out again only where values or losses have changed.
 *
 * @param before changes under which the cover is left open
 * @param vary the columns of the numbers that vary, the inputs they fill, and which column fills an input
 */
export function coverColumns(
  move: Move,
  before: readonly Change[],
  vary: {
    readonly columns: readonly string[]
    readonly inputs: readonly string[]
    readonly columnOf: (id: string) => string
  },
): CoverColumns {
  const { household, reference } = move
  const without = withChanges(move.inputs, [...before, { id: 'cover', value: NO_COVER }])
  if (!without.ok) throw new Refusal(without.problems)
  const ground = coverGround(recorded, without.value, household, reference)
  const { cells } = ground.ledger
  const exactly = new Map(
    [...cells].map(([id, { value, unit }]) => [id, { value: value.value, unit }] as const),
  )
  const asked = coverQuestion(reference, without.value, exactly)
  const { offers } = asked
  const lossInputs = vary.inputs.filter(readByCoverDecision)
  /** The question at one point, as far as it hangs on the losses; its amounts come from the columns. */
  const askedAt = (given: ReadonlyMap<string, Float64Array>, point: number): CoverQuestion => {
    if (lossInputs.length === 0) return asked
    const numbers = new Map(without.value.numbers)
    for (const id of lossInputs) {
      const row = numbers.get(id)
      const likely = exact.of(String(given.get(vary.columnOf(id))?.[point]))
      if (row) numbers.set(id, { ...row, likely })
    }
    return coverQuestion(reference, { ...without.value, numbers }, exactly)
  }
  const cell = (id: string) => {
    const found = cells.get(id)
    if (!found) throw new Error(`the cover decision needs the cell "${id}", which this plan does not have`)
    return found
  }
  const deductible = (cover: string) => {
    const { value, unit } = cell(`cover.${cover}.deductible`)
    const rate = cells.get(`exchange.${unit.slice(0, 3)}`)?.value
    return rate ? value.times(rate) : value
  }
  const outputs = new Map([
    ['value', cell('value.replacement').value],
    ['insured', cell('value.insured').value],
    ...offers.flatMap(
      ({ cover }) =>
        [
          [`${cover} premium`, cell(`cover.${cover}.premium`).value],
          [`${cover} forced`, cell(`cover.${cover}.forced-services`).value],
          [`${cover} deductible`, deductible(cover)],
        ] as const,
    ),
  ])
  const columns = new Columns(compile(outputs, vary.columns, ({ id }) => vary.columnOf(id)))
  const known = new Map<string, readonly Change[]>()
  return {
    at(given, count) {
      const results = columns.evaluate(given)
      const of = (name: string, point: number): number => {
        const column = results.get(name)
        // Without a number that varies there is one point, and its columns hold one value.
        return column?.[point] ?? column?.[0] ?? Number.NaN
      }
      let values = ''
      let risks: ReturnType<typeof coverRisks> = []
      return Array.from({ length: count }, (_, point) => {
        const { loss, goods, tolerance } = askedAt(given, point)
        const offered = offers.map(
          ({ cover }): CoverOffer => ({
            cover,
            premium: of(`${cover} premium`, point),
            forcedServices: of(`${cover} forced`, point),
            deductible: of(`${cover} deductible`, point),
          }),
        )
        const here = {
          ...goods,
          valueAtRisk: of('value', point),
          sumInsured: of('insured', point),
        }
        const key = [here.valueAtRisk, here.sumInsured, ...offered.map((offer) => offer.deductible)].join()
        if (key !== values || lossInputs.length > 0) {
          values = key
          risks = coverRisks(loss, here, offered, tolerance)
        }
        return outcomesOf(risks, offered, tolerance)[0]?.cover ?? NO_COVER
      })
    },
    changes(cover) {
      const before = known.get(cover)
      const now = before ?? coverChanges(reference, cover, (service) => providerOf(ground, service))
      known.set(cover, now)
      return now
    },
  }
}

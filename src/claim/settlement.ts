import type { Decimal } from 'decimal.js'
import { answersFor, claimPaid, damagedGoodsPaid, insuredShare } from '../insurance/index.js'
import type { Move, Plan } from '../plan/move.js'
import { choicesOf } from '../plan/providers.js'
import { UnusableInput } from '../plan/refusal.js'
import { inHouseholdCurrency } from '../plan/shipment.js'
import { exact } from '../quantity/exact.js'
import type { ClaimRow } from './arrival-files.js'

/** One damaged or missing thing, valued, and whether the cover in force answers for its cause. */
export interface ClaimedThing {
  readonly row: ClaimRow
  readonly label: string
  /** Replacement value of the pieces claimed, and the loss, in the household's currency. */
  readonly insuredValue: Decimal
  readonly loss: Decimal
  readonly answered: boolean
  readonly why: string
}

/** The claim against the cover in force. Amounts in the household's currency. */
export interface Settlement {
  readonly cover: string
  readonly things: readonly ClaimedThing[]
  readonly loss: Decimal
  readonly answeredLoss: Decimal
  /** Sum insured over replacement value: what average leaves of each loss. */
  readonly average: Decimal
  readonly deductible: Decimal
  readonly order: 'after average' | 'before average'
  readonly expected: Decimal
}

/**
 * The claim that follows from what was found: each loss at its replacement value, at repair where that costs less, or
 * by the share of worth lost (Marine Insurance Act 1906 ss 69 and 71); cut by average (s. 81), less the deductible of
 * one claim. What the insurer pays in the end is the insurer's to say.
 */
export function settlement(move: Move, plan: Plan, rows: readonly ClaimRow[]): Settlement {
  const cover = plan.inputs.choices.get('cover')?.value ?? 'none'
  const { facts } = plan.household
  const things = rows.map((row): ClaimedThing => {
    const line = plan.shipment.lines.find((each) => each.line === row.line)
    const vehicle = plan.shipment.vehicles.find((each) => each.vehicle === row.line)
    const each = line ? (line.replacement_value ?? line.value ?? exact.of(0)) : vehicle?.replacement_value
    const pieces = row.pieces ?? line?.quantity ?? exact.of(1)
    const money = (amount: Decimal, currency: string | undefined): Decimal => {
      const at = inHouseholdCurrency(plan.inputs, facts, amount, currency)
      if (at) return at
      throw new UnusableInput(`no rate from ${currency} into ${facts.currency}; add one to exchange.csv`)
    }
    const insuredValue = money((each ?? exact.of(0)).times(pieces), (line ?? vehicle)?.currency)
    const left = row.worth_left
    const byWorth = left && damagedGoodsPaid(insuredValue, exact.of(1), left)
    const repair = row.repair && money(row.repair, row.currency)
    const lesser = [repair, byWorth]
      .flatMap((amount) => amount ?? [])
      .reduce((a, b) => exact.min(a, b), insuredValue)
    const [answered, why] = answers(move, plan, cover, row, line?.packing)
    return {
      row,
      label: line?.item ?? vehicle?.label ?? row.line,
      insuredValue,
      loss: row.what === 'lost' ? insuredValue : lesser,
      answered,
      why,
    }
  })
  const value = (id: string): Decimal => plan.sheet.cells.get(id)?.value ?? exact.of(0)
  const [sumInsured, valueAtRisk] = [value('value.insured'), value('value.replacement')]
  const order =
    plan.inputs.numbers.get('insurance.deductible-after-average')?.likely.isZero() === true
      ? 'before average'
      : 'after average'
  const deductible =
    cover === 'none' ? exact.of(0) : choicesOf(move, plan).ledger.money(`cover.${cover}.deductible`)
  const loss = exact.sum(things.map((thing) => thing.loss))
  const answeredLoss = exact.sum(things.filter((thing) => thing.answered).map((thing) => thing.loss))
  const insured = cover !== 'none' && valueAtRisk.gt(0)
  return {
    cover,
    things,
    loss,
    answeredLoss,
    average: insured ? insuredShare(exact, sumInsured, valueAtRisk) : exact.of(0),
    deductible,
    order,
    expected: insured
      ? claimPaid(exact, { loss: answeredLoss, sumInsured, valueAtRisk }, deductible, order)
      : exact.of(0),
  }
}

/** Does the cover in force answer for the cause of a partial loss, and by which word of perils.csv? */
function answers(
  move: Move,
  plan: Plan,
  cover: string,
  row: ClaimRow,
  packing: string | undefined,
): readonly [boolean, string] {
  if (cover === 'none') return [false, 'no cover was taken']
  const peril = move.reference.perils.find(({ id }) => id === row.cause)
  const word = Object.entries(peril ?? {}).find(([column]) => column === cover)?.[1]
  if (!peril || typeof word !== 'string') return [false, `perils.csv has no word on ${row.cause}`]
  const packedBy = plan.inputs.choices.get('provider.packing')?.value
  const doubt =
    row.what === 'damaged' && packing !== undefined && packing !== 'none' && packedBy !== 'mover'
      ? '; where the household packed, the insurer may ask how'
      : ''
  return [answersFor(word, false), `${peril.label}: ${word}${doubt}`]
}

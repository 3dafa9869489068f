import type { NumberInput } from '../../quantity/arithmetic.js'
import type { Household } from '../../tables/household.js'
import { suggestion } from '../../tables/nearest.js'
import type { Problem } from '../../tables/problem.js'
import { limitsOf, ofUnit } from '../limits.js'
import { type InputGathering, stated } from './table.js'

/** The household's own rates over those of the tables, and the exchange rates that its amounts need. */
export function ownRates({ numbers, problems }: InputGathering, household: Household): void {
  const money = household.facts.currency
  for (const rate of household.rates) {
    const known = numbers.get(rate.id)
    const low = rate.low ?? rate.likely
    const high = rate.high ?? rate.likely
    if (!known) {
      problems.push({
        ...rate.place,
        column: 'id',
        found: rate.id,
        expected: 'an input of the plan',
        fix: suggestion(rate.id, [...numbers.keys()]),
      })
    } else if (outside(rate, known)) {
      problems.push({
        ...rate.place,
        column: 'likely',
        found: [rate.low, rate.likely, rate.high].filter((figure) => figure !== undefined).join(' / '),
        expected: `a number${ofUnit(known.unit)} ${limitsOf(known).words}`,
        fix: `Write figures inside that range, as in ${known.likely}.`,
      })
    } else if (low.gt(rate.likely) || high.lt(rate.likely)) {
      problems.push({
        ...rate.place,
        column: 'likely',
        found: `${low} / ${rate.likely} / ${high}`,
        expected: 'low, likely and high in rising order',
        fix: 'Swap the figures that are out of order.',
      })
    } else {
      const amount = /^[A-Z]{3}(\/|$)/.test(known.unit)
      if (rate.currency !== undefined && !amount) {
        problems.push({
          ...rate.place,
          column: 'currency',
          found: rate.currency,
          expected: `nothing: ${rate.id} is no amount of money but is measured in ${known.unit}`,
          fix: 'Leave the cell empty.',
        })
        continue
      }
      numbers.set(rate.id, {
        ...known,
        // An amount without a currency is the household's, as everywhere in its files.
        unit: amount ? `${rate.currency ?? money}${known.unit.slice(3)}` : known.unit,
        lookedOn: undefined,
        goodForDays: undefined,
        low,
        likely: rate.likely,
        high,
        ...stated(rate.source ?? 'rates.csv'),
      })
    }
  }
  problems.push(...missingRates(numbers, money))
}

function outside(rate: Household['rates'][number], known: NumberInput): boolean {
  const { allow } = limitsOf(known)
  return [rate.low, rate.likely, rate.high].some((figure) => figure !== undefined && !allow(figure))
}

/** Inputs in money that every plan turns into the household's currency, so that a rate for each must be there. */
const CONVERTED = /^(price|cover|cost|door|mover|employer)\.|^labour\.friend-thanks$|^storage\.handling$/

function missingRates(numbers: ReadonlyMap<string, NumberInput>, money: string): Problem[] {
  const used = [...numbers.values()].filter(
    ({ id, unit }) => CONVERTED.test(id) && /^[A-Z]{3}(\/|$)/.test(unit),
  )
  const currencies = new Set(used.map(({ unit }) => unit.slice(0, 3)))
  return [...currencies]
    .filter((currency) => currency !== money && !numbers.has(`exchange.${currency}`))
    .map((currency) => ({
      file: 'exchange.csv',
      line: 1,
      column: 'from',
      found: 'no such row',
      expected: `a rate from ${currency} into ${money}: prices of the reference tables are in ${currency}`,
      fix: `Add a row ${currency},${money},… with the rate and its date.`,
    }))
}

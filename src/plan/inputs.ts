import type { Household } from '../tables/household.js'
import { PROVIDERS } from '../tables/household-columns.js'
import type { Problem } from '../tables/problem.js'
import { householdInputs } from './inputs/household-inputs.js'
import { ownRates } from './inputs/own-rates.js'
import { referenceInputs } from './inputs/reference-inputs.js'
import { type InputGathering, type InputTable, inputGathering } from './inputs/table.js'
import type { References } from './plan-context.js'

export { withChanges } from './inputs/changes.js'
export { wageOf } from './inputs/reference-inputs.js'
export {
  ADVISED_COVER,
  type Change,
  type ChoiceInput,
  CREWS,
  HAND_WORK,
  type InputTable,
  PACKED,
  PORT_WAITS,
} from './inputs/table.js'

/**
 * The inputs of a household's plan before any scenario changes them: reference figures, then what the household's
 * files say, then its own rates over both. Only what can matter to this household is an input.
 *
 * @returns the table as far as it goes, so that scenarios can be checked beside what is wrong, and a problem for each
 * rate that names no input or that stands outside low and high
 */
export function inputsOf(
  household: Household,
  reference: References,
): { readonly table: InputTable; readonly problems: readonly Problem[] } {
  const gathering = inputGathering()
  referenceInputs(gathering, household, reference)
  householdInputs(gathering, household, reference)
  ownRates(gathering, household)
  leaveOutIdleRates(gathering, household, reference)
  const { numbers, choices, problems } = gathering
  return { table: { numbers, choices }, problems }
}

/** Rates of exchange.csv that turn no amount of this move are no inputs. */
function leaveOutIdleRates(
  { numbers }: InputGathering,
  { facts, inventory, vehicles }: Household,
  { customs }: References,
): void {
  const ofCustoms = customs.jurisdictionOfCountry.get(facts.destination_country)?.currency
  const money = new Set([
    ...[...numbers.values()]
      .filter(({ id, unit }) => !id.startsWith('exchange.') && /^[A-Z]{3}(\/|$)/.test(unit))
      .map(({ unit }) => unit.slice(0, 3)),
    ...[...inventory, ...vehicles].map(({ currency }) => currency),
    ofCustoms,
  ])
  for (const id of [...numbers.keys()])
    if (id.startsWith('exchange.') && !money.has(id.slice('exchange.'.length))) numbers.delete(id)
}

/** The word for a provider choice once the service level is known. */
export const isProvider = (word: string): word is (typeof PROVIDERS)[number] =>
  (PROVIDERS as readonly string[]).includes(word)

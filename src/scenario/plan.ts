import type { Decimal } from 'decimal.js'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { exact } from '../quantity/exact.js'
import type { Household } from '../tables/household.js'
import type { Reference } from '../tables/reference.js'
import { costCells } from './cost-cells.js'
import type { InputTable } from './inputs.js'
import { insuranceCells } from './insurance-cells.js'
import { type Cell, Ledger, refuseUnbounded } from './ledger.js'
import type { PlanContext } from './plan-context.js'
import { quoteCells } from './quote-cells.js'
import { timeCells } from './time-cells.js'
import { type Carriage, optionCells, transportOption } from './transport-options.js'
import { volumeCells } from './volume-cells.js'

/** One plan: every cell of the move under one set of inputs. */
export interface Sheet<N> {
  readonly cells: ReadonlyMap<string, Cell<N>>
  readonly choices: ReadonlyMap<string, string>
}

/** The ways to carry a household that every plan works out side by side. */
export const TRANSPORT_OPTIONS = [
  '22G1',
  '42G1',
  '45G1',
  'L5G1',
  'groupage',
  '22G1+groupage',
  '45G1+groupage',
] as const

/**
 * The plan of a household's move: volume, containers, every cost line, customs, cover and time.
 *
 * @param m the arithmetic: `exact` for cents, `recorded` for formulas, `bounded` for ranges
 * @param inputs the inputs of one scenario
 * @returns all cells by id; amounts are in the household's currency
 *
 * Throws one sentence naming the cell where an input of nought leaves a figure without a value.
 */
export function planSheet<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  household: Household,
  reference: Reference,
): Sheet<N> {
  const ledger = new Ledger(m, inputs, household.facts.currency, minorUnits(household, reference))
  const context: PlanContext<N> = { ledger, household, reference }
  volumeCells(context)
  const wanted = chosenTransport(inputs, household, reference)
  const carriages = TRANSPORT_OPTIONS.map((id) => optionCells(context, transportOption(id)))
  const carriage = carriages.find(({ option }) => option.id === wanted) as Carriage<N>
  const costs = costCells(context, carriage)
  insuranceCells(context, costs)
  timeCells(context, carriage)
  quoteCells(context, costs)
  ledger.put(
    'cost.total',
    'The whole move',
    ledger.currency,
    m.sum(
      ['cost.origin.total', 'cost.crossing.total', 'cost.destination.total', 'cost.cover.premium'].map((id) =>
        ledger.get(id),
      ),
    ),
  )
  return { cells: ledger.cells, choices: new Map([...ledger.choices, ['transport', wanted]]) }
}

const minorUnits = (household: Household, reference: Reference): number =>
  reference.currencies.find((c) => c.code === household.facts.currency)?.minor_units.toNumber() ?? 2

/**
 * The option `cheapest` stands for: the one that takes everything for the least carriage cost. It is settled before
 * the plan is written, in exact arithmetic, because which formulas a plan has may not hang on its results.
 */
export function chosenTransport(inputs: InputTable, household: Household, reference: Reference): string {
  const wanted = inputs.choices.get('transport')?.value ?? 'cheapest'
  if (wanted !== 'cheapest') return wanted
  const ledger = new Ledger<Decimal>(
    exact,
    inputs,
    household.facts.currency,
    minorUnits(household, reference),
  )
  const context: PlanContext<Decimal> = { ledger, household, reference }
  volumeCells(context)
  const offers = TRANSPORT_OPTIONS.map((id) => {
    const carriage = optionCells(context, transportOption(id))
    return { id, fits: carriage.fits.gte(1), cost: ledger.get(`options.${id}.cost`) }
  })
  refuseUnbounded(ledger.cells)
  const possible = offers.filter((offer) => offer.fits)
  const best = (possible.length > 0 ? possible : offers).reduce((a, b) => (b.cost.lt(a.cost) ? b : a))
  return best.id
}

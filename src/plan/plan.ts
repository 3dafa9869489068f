import type { Decimal } from 'decimal.js'
import { NO_COVER } from '../insurance/index.js'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { exact } from '../quantity/exact.js'
import type { Household } from '../tables/household.js'
import { calendarCells } from './calendar-cells.js'
import { employerCells } from './cells/employer.js'
import { costCells, type ServiceCost } from './cost-cells.js'
import { coverChanges, coverOutcomesOf } from './cover-question.js'
import { type CustomsFindings, cheapestImporter, dutyCells } from './customs-cells.js'
import { ADVISED_COVER, type InputTable } from './inputs.js'
import { insuranceCells } from './insurance-cells.js'
import { type Cell, Ledger, refuseUnbounded } from './ledger.js'
import { type PlanContext, providerOf, type References } from './plan-context.js'
import { quoteCells } from './quote-cells.js'
import { UnusableInput } from './refusal.js'
import { timeCells } from './time-cells.js'
import { type Carriage, optionCells, transportOption } from './transport-options.js'
import { volumeCells } from './volume-cells.js'

/** One plan: every cell of the move under one set of inputs, and what customs makes of it. */
export interface Sheet<N> {
  readonly cells: ReadonlyMap<string, Cell<N>>
  readonly choices: ReadonlyMap<string, string>
  readonly customs: CustomsFindings
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
 * @param inputs the inputs of one scenario, choices settled (`settled`)
 * @returns all cells by id; amounts are in the household's currency
 *
 * Throws one sentence naming the id where a choice names what is not there.
 */
export function planSheet<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  household: Household,
  reference: References,
): Sheet<N> {
  const final = settled(inputs, household, reference)
  const context = contextOf(m, final, household, reference)
  const { ledger } = context
  const { costs, carriage } = upToCustoms(context, ledger.choice('transport'))
  const customs = dutyCells(context, costs, ledger.choice('importer'))
  timeCells(context, carriage)
  quoteCells(context, costs)
  const parts = [
    'cost.origin.total',
    'cost.crossing.total',
    'cost.destination.total',
    'cost.customs.total',
    'cost.cover.premium',
  ]
  const known = parts.filter((id) => ledger.cells.has(id))
  const bill = ledger.put(
    'cost.total',
    known.length === parts.length ? 'The whole move' : 'The whole move, customs not determined',
    ledger.currency,
    m.sum(known.map((id) => ledger.get(id))),
  )
  employerCells(context, bill)
  return { cells: ledger.cells, choices: ledger.choices, customs }
}

function contextOf<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  household: Household,
  reference: References,
): PlanContext<N> {
  const { currency } = household.facts
  const minorUnits = reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  return { ledger: new Ledger(m, inputs, currency, minorUnits), household, reference }
}

interface Settled<N> {
  readonly costs: Map<string, ServiceCost<N>>
  readonly carriage: Carriage<N>
}

function upToCustoms<N extends Num<N>>(context: PlanContext<N>, transport: string): Settled<N> {
  volumeCells(context)
  const carriages = TRANSPORT_OPTIONS.map((id) => optionCells(context, transportOption(id)))
  return afterOptions(context, carriages, transport)
}

function afterOptions<N extends Num<N>>(
  context: PlanContext<N>,
  carriages: readonly Carriage<N>[],
  transport: string,
): Settled<N> {
  const carriage = carriages.find(({ option }) => option.id === transport)
  if (!carriage)
    throw new UnusableInput(
      `unknown choice "${transport}" of transport; there are: ${TRANSPORT_OPTIONS.join(', ')}`,
    )
  calendarCells(context, carriage)
  const costs = costCells(context, carriage)
  insuranceCells(context, costs)
  return { costs, carriage }
}

/**
 * The inputs with `cheapest` and `least charges` replaced by what they stand for: the option that takes everything
 * for the least carriage cost, the importer with whom customs charges least. Both are settled before the plan is
 * written, in exact arithmetic, because which formulas a plan has may not hang on its results.
 */
export function settled(stated: InputTable, household: Household, reference: References): InputTable {
  const inputs = withAdvisedCover(stated, household, reference)
  const transport = inputs.choices.get('transport')
  const importer = inputs.choices.get('importer')
  if (!transport || !importer) return inputs
  if (transport.value !== 'cheapest' && importer.value !== 'least charges') return inputs
  const context = contextOf<Decimal>(exact, inputs, household, reference)
  volumeCells(context)
  const carriages = TRANSPORT_OPTIONS.map((id) => optionCells(context, transportOption(id)))
  const chosen = transport.value === 'cheapest' ? cheapest(context, carriages) : transport.value
  const { costs } = afterOptions(context, carriages, chosen)
  refuseUnbounded(context.ledger.cells)
  const person = importer.value === 'least charges' ? cheapestImporter(context, costs) : importer.value
  const choices = new Map(inputs.choices)
  choices.set('transport', { ...transport, value: chosen })
  choices.set('importer', { ...importer, value: person })
  return { ...inputs, choices }
}

/**
 * The inputs with the cover `advised` replaced by the least-cost cover that the household can bear, and with the mover
 * for the services it asks for. Neither premiums nor those services depend on which carriage is taken, so any will do.
 */
function withAdvisedCover(inputs: InputTable, household: Household, reference: References): InputTable {
  const cover = inputs.choices.get('cover')
  if (cover?.value !== ADVISED_COVER) return inputs
  const without = withWords(inputs, [{ id: 'cover', value: NO_COVER }])
  const context = contextOf<Decimal>(exact, without, household, reference)
  const transport = context.ledger.choice('transport')
  upToCustoms(context, transport === 'cheapest' ? TRANSPORT_OPTIONS[0] : transport)
  refuseUnbounded(context.ledger.cells)
  const { cells } = context.ledger
  const [best] = coverOutcomesOf(reference, { inputs: without, sheet: { cells } })
  return withWords(
    inputs,
    coverChanges(reference, best?.cover ?? NO_COVER, (service) => providerOf(context, service)),
  )
}

function withWords(inputs: InputTable, words: readonly { id: string; value: string }[]): InputTable {
  const choices = new Map(inputs.choices)
  for (const { id, value } of words) {
    const choice = choices.get(id)
    if (choice) choices.set(id, { ...choice, value })
  }
  return { ...inputs, choices }
}

function cheapest({ ledger }: PlanContext<Decimal>, carriages: readonly Carriage<Decimal>[]): string {
  const offers = carriages.map(({ option, fits }) => ({
    id: option.id,
    fits: fits.gte(1),
    cost: ledger.get(`options.${option.id}.cost`),
  }))
  const possible = offers.filter((offer) => offer.fits)
  return (possible.length > 0 ? possible : offers).reduce((a, b) => (b.cost.lt(a.cost) ? b : a)).id
}

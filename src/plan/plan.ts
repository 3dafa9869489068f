import type { Decimal } from 'decimal.js'
import { NO_COVER } from '../insurance/index.js'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { exact } from '../quantity/exact.js'
import type { Household } from '../tables/household.js'
import { calendarCells } from './calendar-cells.js'
import { employerCells } from './cells/employer.js'
import type { HandWork } from './cells/hand-task.js'
import { handWorkCells, type Job, liftedJobs } from './cells/hand-work.js'
import { costCells, type ServiceCost } from './cost-cells.js'
import { coverChanges, coverOutcomesOf } from './cover-question.js'
import { type CustomsGround, customsGround } from './customs/ground.js'
import { withoutReliefCells } from './customs/without-relief.js'
import { type CustomsFindings, customsCells } from './customs-cells.js'
import { LayeredMap, layersOf } from './inputs/layered.js'
import { ADVISED_COVER, type InputTable } from './inputs.js'
import { insuranceCells, valueCells } from './insurance-cells.js'
import { type Cell, Ledger, refuseUnbounded } from './ledger.js'
import { PHASE_TOTALS } from './phases.js'
import { type PlanContext, providerOf, type References } from './plan-context.js'
import { quoteCells } from './quote-cells.js'
import { UnusableInput } from './refusal.js'
import { asChanged, shipmentOf } from './shipment.js'
import { sharedStep } from './steps.js'
import { timeCells } from './time-cells.js'
import { optionCells, optionLabel, type TransportPlan, transportOptions } from './transport-options.js'
import { volumeCells } from './volume-cells.js'
import { decide, pick, type WayLedger, WayNumber } from './ways.js'

/** One plan: every cell of the move under one set of inputs, and what customs makes of it. */
export interface Sheet<N> {
  readonly cells: ReadonlyMap<string, Cell<N>>
  readonly choices: ReadonlyMap<string, string>
  /** The ways to carry the household that were worked out in full, in the order `transport.taken` counts them. */
  readonly carriages: readonly CarriageWay[]
  /** Ids of the cells that hang on which of them is taken. */
  readonly hanging: ReadonlySet<string>
}

/** One way to carry everything, worked out in full: the option, and what customs makes of it. */
export interface CarriageWay {
  readonly option: string
  /** One for each way to declare, in the order `importer.taken` counts them. */
  readonly customs: readonly CustomsFindings[]
}

/** The cells that say which way a plan took, where there was a choice. */
export const TRANSPORT_TAKEN = 'transport.taken'

/**
 * The plan of a household's move: volume, containers, every cost line, customs, cover and time.
 *
 * Where the container or the importer is left open, every possibility is worked out and the cheapest whole move that
 * takes everything is the plan; the choice is made inside the sheet, in the arithmetic it is written in.
 *
 * @param m the arithmetic: `exact` for cents, `recorded` for formulas, `bounded` for ranges
 * @param hanging what the exact sheet of the same inputs has; needed by readings that keep formulas
 * @param only the carriages among which `cheapest` chooses; all that are offered, if left out
 * @returns all cells by id; amounts are in the household's currency
 *
 * Throws one sentence naming the id where a choice names what is not there.
 */
export function planSheet<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  household: Household,
  reference: References,
  hanging: ReadonlySet<string> = new Set(),
  only?: readonly string[],
): Sheet<N> {
  const context = contextOf(m, resolveChoices(inputs, household, reference), household, reference)
  const { ledger } = context
  sharedStep(context, 'volume', volumeCells)
  const options = transportOptions(reference)
  const plans = options.map((option) => optionCells(context, option))
  sharedStep(context, 'values', valueCells)
  const jobs = handWorkCells(context)
  const customs = customsGround(context)
  const wanted = ledger.choice('transport')
  if (wanted !== 'cheapest') {
    const transport = plans.find(({ option }) => option.id === wanted)
    if (!transport) {
      throw new UnusableInput(
        `unknown choice "${wanted}" of transport; there are: ${options.map(({ id }) => id).join(', ')}`,
      )
    }
    const { findings, costs } = withCarriage(context, transport, jobs, customs, (value) => value)
    withoutReliefCells(context, customs)
    quoteCells(context, costs)
    return sheetOf(ledger, [{ option: wanted, customs: findings }], hanging)
  }
  const open = plans.filter(({ option }) => only === undefined || only.includes(option.id))
  const sameForAll = (value: N) => new WayNumber(value, false)
  const jobsOfAWay = liftedJobs(jobs, sameForAll)
  const { outcomes, hanging: hangs } = decide(
    ledger,
    {
      preposition: 'with',
      id: TRANSPORT_TAKEN,
      label: `Carriage taken, counted in the order ${open.map(({ option }) => option.id).join(', ')}`,
      least: 'cost.total',
    },
    open.map((transport) => ({
      id: transport.option.id,
      label: optionLabel(reference, transport.option.id),
      write: (way: WayLedger<N>) => ({
        option: transport.option.id,
        ...withCarriage({ ...context, ledger: way }, ofThisWay(transport), jobsOfAWay, customs, sameForAll),
      }),
      works: () => new WayNumber(transport.fits, true),
    })),
    hanging,
  )
  withoutReliefCells(context, customs)
  quoteCells(
    context,
    costsTaken(
      ledger,
      outcomes.map(({ costs }) => costs),
    ),
  )
  return sheetOf(
    ledger,
    outcomes.map(({ option, findings }) => ({ option, customs: findings })),
    hangs,
  )
}

const sheetOf = <N extends Num<N>>(
  { cells, choices }: Ledger<N>,
  carriages: readonly CarriageWay[],
  hanging: ReadonlySet<string>,
): Sheet<N> => ({ cells, choices, carriages, hanging })

/** What every step works from, before any cell is written. */
export function contextOf<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  household: Household,
  reference: References,
): PlanContext<N> {
  const changed = asChanged(inputs, household)
  const { currency } = changed.facts
  const minorUnits = reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  return {
    ledger: new Ledger(m, inputs, currency, minorUnits),
    household: changed,
    shipment: shipmentOf(changed),
    reference,
  }
}

/** The figures of a carriage, marked as hanging on its being taken. */
const ofThisWay = <N extends Num<N>>({
  option,
  containers,
  groupageUnits,
  teu,
  fits,
}: TransportPlan<N>): TransportPlan<WayNumber<N>> => ({
  option,
  containers: new WayNumber(containers, true),
  groupageUnits: new WayNumber(groupageUnits, true),
  teu: new WayNumber(teu, true),
  fits: new WayNumber(fits, true),
})

/** What every service costs under the carriage taken. */
function costsTaken<N extends Num<N>>(
  ledger: Ledger<N>,
  ways: readonly ReadonlyMap<string, ServiceCost<WayNumber<N>>>[],
): ReadonlyMap<string, ServiceCost<N>> {
  const taken = ledger.get(TRANSPORT_TAKEN)
  const of = (id: string, part: 'byMover' | 'paid') =>
    pick(
      ledger.m,
      taken,
      ways.map((costs) => costs.get(id)?.[part].value ?? ledger.m.of(0)),
    )
  return new Map(
    [...(ways[0] ?? [])].map(([id, { service, provider }]) => [
      id,
      { service, provider, byMover: of(id, 'byMover'), paid: of(id, 'paid') },
    ]),
  )
}

/** All that follows once it is known how the goods are carried. */
function withCarriage<N extends Num<N>, G extends Num<G>>(
  context: PlanContext<N>,
  transport: TransportPlan<N>,
  jobs: ReadonlyMap<HandWork, Job<N>>,
  customs: CustomsGround<G>,
  lift: (value: G) => N,
): { readonly findings: readonly CustomsFindings[]; readonly costs: ReadonlyMap<string, ServiceCost<N>> } {
  const { ledger } = context
  calendarCells(context, transport)
  const costs = costCells(context, transport, jobs)
  insuranceCells(context, costs)
  const findings = customsCells(context, costs, customs, lift)
  timeCells(context, transport)
  const written = PHASE_TOTALS.filter((id) => ledger.written(id))
  const bill = ledger.put(
    'cost.total',
    written.length === PHASE_TOTALS.length ? 'The whole move' : 'The whole move, customs not determined',
    ledger.currency,
    ledger.m.sum(written.map((id) => ledger.get(id))),
  )
  employerCells(context, bill)
  return { findings, costs }
}

/**
 * The inputs with the cover `advised` replaced by the least-cost cover that the household can bear, and with the mover
 * for the services it asks for. Neither premiums nor those services depend on which carriage is taken, so any will do.
 */
export function resolveChoices(inputs: InputTable, household: Household, reference: References): InputTable {
  if (inputs.choices.get('cover')?.value !== ADVISED_COVER) return inputs
  const without = withWords(inputs, [{ id: 'cover', value: NO_COVER }])
  const context = coverGround<Decimal>(exact, without, household, reference)
  refuseUnbounded(context.ledger.cells)
  const { cells } = context.ledger
  const [best] = coverOutcomesOf(reference, { inputs: without, sheet: { cells } })
  return withWords(
    inputs,
    coverChanges(reference, best?.cover ?? NO_COVER, (service) => providerOf(context, service)),
  )
}

/**
 * The cells that the cover decision reads, and those they rest on, in whatever arithmetic.
 *
 * @param without inputs with no cover bought
 */
export function coverGround<N extends Num<N>>(
  m: Arithmetic<N>,
  without: InputTable,
  household: Household,
  reference: References,
): PlanContext<N> {
  const context = contextOf(m, without, household, reference)
  sharedStep(context, 'volume', volumeCells)
  const plans = transportOptions(reference).map((option) => optionCells(context, option))
  const wanted = context.ledger.choice('transport')
  const transport = plans.find(({ option }) => option.id === wanted) ?? plans[0]
  if (!transport) throw new Error('containers.csv has no row: a move needs a way to be carried')
  sharedStep(context, 'values', valueCells)
  calendarCells(context, transport)
  insuranceCells(context, costCells(context, transport, handWorkCells(context)))
  return context
}

function withWords(inputs: InputTable, words: readonly { id: string; value: string }[]): InputTable {
  const { below, above } = layersOf(inputs.choices)
  const changed = new Map(above)
  for (const { id, value } of words) {
    const choice = inputs.choices.get(id)
    if (choice) changed.set(id, { ...choice, value })
  }
  return { ...inputs, choices: new LayeredMap(below, changed) }
}

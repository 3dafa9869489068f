import type { Decimal } from 'decimal.js'
import {
  outputId,
  type RankingChange,
  type RecordedScenario,
  rankCorrelations,
  rankingChanges,
  recordScenarios,
  scenarioTornado,
  simulationPlan,
  simulationSobol,
  type TornadoBar,
} from '../analysis/index.js'
import { firstOf, inputText, listed, numberText, unitText, usualDecimals } from '../paper/format.js'
import type { Move, Plan } from '../plan/index.js'
import { exact } from '../quantity/index.js'
import { jsonText } from '../tables/as-json.js'
import { type Command, DECIDED_ANEW, namedPlan, openPlans, planOptions } from './command.js'
import { textTable } from './text-table.js'

/** Inputs shown; the rest move the result by little. */
const shown = 20

export const tornadoCommand: Command = {
  name: 'tornado',
  words: '[DIR]',
  says: 'which inputs matter most: each from its low to its high alone, and which could change the order of the scenarios',
  options: {
    ...planOptions,
    cell: { value: 'ID', says: 'the result wanted; cost.total otherwise' },
    scenario: { value: 'NAME', says: 'the scenario of the table; the first one otherwise' },
    json: { says: 'print JSON, with every input' },
  },
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const plan = namedPlan(plans, args.text('scenario'))
    const cell = args.text('cell') ?? 'cost.total'
    const scenarios = recordScenarios(move, plans)
    const bars = scenarios
      .filter(({ name }) => name === plan.name)
      .flatMap((scenario) => scenarioTornado(scenario, cell))
      .filter(({ effect }) => effect > 0)
    const changes = rankingChanges(move, scenarios, cell)
    const drivers = driversOf(move, scenarios, plan.name, cell)
    io.out(
      args.flags.has('json')
        ? jsonText({ scenario: plan.name, cell, inputs: bars, rankingChanges: changes, drivers })
        : `${tornadoText(move, plan, cell, bars, changes)}\n\n${driversText(drivers)}\n\n${DECIDED_ANEW}`,
    )
    return 0
  },
}

/** How many of the drawn figures get Sobol indices: those whose ranks go with the result most. */
const driversShown = 10

interface Driver {
  readonly id: string
  readonly rankCorrelation: number
  readonly firstOrder: number
  readonly total: number
}

/** What drives the uncertainty when everything is drawn at once, not one input at a time. */
function driversOf(move: Move, scenarios: readonly RecordedScenario[], name: string, cell: string): Driver[] {
  const plan = simulationPlan(
    move,
    scenarios.filter((s) => s.name === name),
    [cell],
  )
  const output = outputId(name, cell)
  const strongest = rankCorrelations(plan, output).slice(0, driversShown)
  const indices = new Map(
    simulationSobol(
      plan,
      output,
      strongest.map(({ id }) => id),
    ).map((index) => [index.id, index]),
  )
  return strongest.flatMap(({ id, correlation }) => {
    const index = indices.get(id)
    return index
      ? [{ id, rankCorrelation: correlation, firstOrder: index.firstOrder, total: index.total }]
      : []
  })
}

function driversText(drivers: readonly Driver[]): string {
  const two = (x: number): string => numberText(exact.of(x), 2)
  return [
    'What drives the result when everything is drawn at once: rank correlation; share of the variance that the figure explains alone, and with its interactions (Sobol indices, correlations left out, good to about 0.03)',
    textTable(
      ['figure', 'rank correlation', 'alone', 'with interactions'],
      drivers.map((d) => [d.id, two(d.rankCorrelation), two(Math.max(0, d.firstOrder)), two(d.total)]),
    ),
  ].join('\n')
}

function tornadoText(
  move: Move,
  plan: Plan,
  cell: string,
  bars: readonly TornadoBar[],
  changes: readonly RankingChange[],
): string {
  const found = plan.sheet.cells.get(cell)
  const unit = found?.unit ?? ''
  const minor = move.reference.currencies
    .find((c) => c.code === move.household.facts.currency)
    ?.minor_units.toNumber()
  // A share is shown as it stands, not in per cent, so that small ones keep their digits.
  const decimals = unit === '1' ? 4 : usualDecimals(unit, minor ?? 2)
  const figure = (x: number | Decimal): string => numberText(exact.of(x), decimals)
  const rows = bars
    .slice(0, shown)
    .map((bar) => [
      bar.id,
      inputText(bar.low, ''),
      inputText(bar.likely, ''),
      inputText(bar.high, ''),
      bar.unit,
      figure(bar.atLow),
      figure(bar.atHigh),
      figure(bar.effect),
    ])
  const heads = ['input', 'low', 'likely', 'high', 'unit', 'result at low', 'at high', 'effect']
  const rest = bars.length - rows.length
  const shownUnit = unit === '1' ? 'share of one' : unitText(unit)
  return [
    `${found?.label ?? cell} [${shownUnit}] in “${plan.name}”: ${figure(found?.value ?? 0)} as planned; one input at a time`,
    rows.length > 0 ? textTable(heads, rows) : 'No input with a range moves this result.',
    ...(rest > 0
      ? [`and ${rest} ${rest === 1 ? 'input' : 'inputs'} that matter less; --json lists all`]
      : []),
    '',
    ...rankingText(changes, cell),
  ].join('\n')
}

function rankingText(changes: readonly RankingChange[], cell: string): string[] {
  if (changes.length === 0)
    return [`No input alone, within its range, changes the order of the scenarios by ${cell}.`]
  return [
    `Inputs that alone could change the order of the scenarios by ${cell}:`,
    ...changes.map(({ id, unit, atLow, atHigh, overtakes }) => {
      const values = [...new Set(overtakes.map(({ at }) => inputText(at, unit)))]
      const where = values.length > 4 ? firstOf(values, 3) : listed(values)
      return `  ${id} at ${where}\n    low: ${atLow.join(' < ')}\n    high: ${atHigh.join(' < ')}`
    }),
  ]
}

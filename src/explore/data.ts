import type { Decimal } from 'decimal.js'
import type { Recommendation, RecordedScenario } from '../analysis/index.js'
import { recommend, recordScenarios, scenarioTornado, summaryCells, totalRanges } from '../analysis/index.js'
import { compile, dependsOn } from '../bulk/index.js'
import { COMMAND } from '../paper/command-line.js'
import { usualDecimals } from '../paper/format.js'
import type { Change, Move, Plan } from '../plan/index.js'
import { PHASE_TOTALS, PHASES } from '../plan/phases.js'
import { TRANSPORT_TAKEN } from '../plan/plan.js'
import { UnusableInput } from '../plan/refusal.js'
import { optionLabel, transportOptions } from '../plan/transport-options.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { nearest } from '../tables/nearest.js'
import type { PageData, PageInput, PageRow, PageScenario } from './page-data.js'
import { sliderRange } from './slider.js'
import { shellWord } from './state.js'

export interface ExploreOptions {
  /** The household's folder as the command line names it; without one the page tells no command with a folder. */
  readonly folder?: string
  /** Changes the plans were made with, on top of every scenario. */
  readonly set?: readonly Change[]
  /** Ids of inputs to show instead of those that move the total most. */
  readonly inputs?: readonly string[]
  /** Scenario to recommend; without it the one that asks least of the household. */
  readonly recommend?: string
}

/** What a household decides, or is asked about first: shown whether or not it has a range. */
const ALWAYS = [
  'delay.days',
  'storage.months',
  'own.people',
  'own.hour-value',
  'insured.share',
  'cost.origin.wage',
  'cost.destination.wage',
] as const
const MOST_RANGED = 14

const OTHERS = [
  'cost.total',
  'employer.total',
  'employer.gives',
  'employer.left-to-pay',
  'work.own.hours',
  'work.own.value',
  'volume.packed',
  'time.door-to-door',
  'time.port.charged-days',
  'time.port.delay-cost',
  'value.insured',
] as const
const OF_OPTION = ['cost', 'fits', 'containers', 'fill', 'mass-share'] as const

/**
 * What the page of trade-offs calculates and shows: the scenarios compiled over the inputs that can be moved.
 *
 * Throws one sentence, naming the nearest, where `options.inputs` names what is no input.
 */
export function exploreData(move: Move, stated: readonly Plan[], options: ExploreOptions = {}): PageData {
  const recommendation = recommend(move, stated, options.recommend)
  const recorded = recordScenarios(move, recommendation.plans)
  const inputs = pageInputs(move, recorded, options)
  const set = options.set ?? []
  const command = [
    `${COMMAND} explore`,
    ...(options.folder === undefined ? [] : [shellWord(options.folder)]),
    ...(options.inputs === undefined ? [] : [`--inputs ${shellWord(options.inputs.join(','))}`]),
    ...set.map(({ id, value }) => `--set ${shellWord(`${id}=${value}`)}`),
  ].join(' ')
  return pageDataOf(move, recommendation, recorded, inputs, command)
}

/** What the page shows of plans made anew, over the inputs that it has already. */
export function exploreDataAgain(move: Move, stated: readonly Plan[], page: PageData): PageData {
  const recommendation = recommend(move, stated)
  const recorded = recordScenarios(move, recommendation.plans)
  return pageDataOf(move, recommendation, recorded, page.inputs, page.command)
}

function pageDataOf(
  move: Move,
  recommendation: Recommendation,
  recorded: readonly RecordedScenario[],
  inputs: readonly PageInput[],
  command: string,
): PageData {
  const { plans } = recommendation
  const { currency } = move.household.facts
  const minorUnits = move.reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  const first = plans[0]
  if (first === undefined) throw new Error('a page of trade-offs needs at least one scenario')
  const row = (id: string): PageRow[] => {
    const cell = recorded.map(({ sheet }) => sheet.cells.get(id)).find((found) => found !== undefined)
    if (cell === undefined) return []
    const label = PHASES.find(({ total }) => total === id)?.label ?? cell.label
    return [{ id, label, unit: cell.unit, decimals: usualDecimals(cell.unit, minorUnits) }]
  }
  const told = summaryCells(plans)
  return {
    currency,
    minorUnits,
    scenarios: recorded.map((scenario) => pageScenario(move, scenario, inputs)),
    recommended: plans.indexOf(recommendation.plan),
    ranges: totalRanges(move, plans).map(({ p10, p50, p90 }) => ({ p10, p50, p90 })),
    recommendation: { sentence: recommendation.sentence, rule: recommendation.rule },
    inputs,
    options: transportOptions(move.reference).map(({ id }) => ({
      id,
      label: optionLabel(move.reference, id),
    })),
    phases: PHASE_TOTALS.flatMap(row),
    rows: OTHERS.flatMap(row).filter(({ id }) => !id.startsWith('employer.') || told.includes(id)),
    command,
  }
}

function pageScenario(
  move: Move,
  { name, sheet }: RecordedScenario,
  inputs: readonly PageInput[],
): PageScenario {
  const cells = [
    ...PHASE_TOTALS,
    ...OTHERS,
    TRANSPORT_TAKEN,
    ...transportOptions(move.reference).flatMap(({ id }) => OF_OPTION.map((part) => `options.${id}.${part}`)),
  ]
  const outputs = new Map(
    cells.flatMap((id) => {
      const cell = sheet.cells.get(id)
      return cell ? [[id, cell.value] as const] : []
    }),
  )
  return {
    name,
    carriages: sheet.carriages.map(({ option }) => option),
    program: compile(
      outputs,
      inputs.map(({ id }) => id),
    ),
  }
}

/** The inputs of the page, what the household decides first, then by how far each moves the total. */
function pageInputs(
  move: Move,
  recorded: readonly RecordedScenario[],
  { inputs: named, set = [] }: ExploreOptions,
): PageInput[] {
  for (const id of named ?? []) {
    if (!move.inputs.numbers.has(id)) {
      const names = nearest(id, move.inputs.numbers.keys())
      throw new UnusableInput(`unknown input "${id}"; nearest: ${names.join(', ')}`)
    }
  }
  const effects = new Map<string, number>()
  for (const scenario of recorded) {
    for (const { id, effect } of scenarioTornado(scenario, 'cost.total'))
      effects.set(id, Math.max(effect, effects.get(id) ?? 0))
  }
  const ranked = [...effects]
    .filter(([, effect]) => effect > 0)
    .toSorted(([, a], [, b]) => b - a)
    .map(([id]) => id)
  const exchange = [...move.inputs.numbers.keys()].filter((id) => id.startsWith('exchange.'))
  const always: readonly string[] = [...ALWAYS, ...exchange]
  const wanted = [
    ...always,
    ...set.map(({ id }) => id),
    ...(named ?? ranked.filter((id) => !always.includes(id)).slice(0, MOST_RANGED)),
  ]
  const rows = [...new Set(wanted)].flatMap((id) => move.inputs.numbers.get(id) ?? [])
  const reached = reachedBy(
    recorded,
    rows.map(({ id }) => id),
  )
  return rows
    .filter(({ id }) => reached.has(id) || named?.includes(id))
    .map((row) => pageInput(row, recorded, effects.get(row.id) ?? 0))
}

/** Which of these inputs any figure of the page depends on. */
function reachedBy(recorded: readonly RecordedScenario[], ids: readonly string[]): ReadonlySet<string> {
  const reached = new Set<string>()
  for (const { sheet } of recorded) {
    const outputs = new Map(
      ['cost.total', 'work.own.value', 'value.insured', 'time.door-to-door'].flatMap((id) => {
        const cell = sheet.cells.get(id)
        return cell ? [[id, cell.value] as const] : []
      }),
    )
    const program = compile(outputs, ids)
    for (const id of outputs.keys()) for (const input of dependsOn(program, id)) reached.add(input)
  }
  return reached
}

function pageInput(row: NumberInput, recorded: readonly RecordedScenario[], effect: number): PageInput {
  const planned = recorded.map(({ plan }) => plan.inputs.numbers.get(row.id)?.likely ?? row.likely)
  const { min, max, step } = sliderRange(row, planned)
  const decides = (ALWAYS as readonly string[]).includes(row.id) || !row.low.lt(row.high)
  return {
    id: row.id,
    label: row.label,
    unit: row.unit,
    group: decides ? 'decide' : 'price',
    low: row.low.toFixed(),
    likely: row.likely.toFixed(),
    high: row.high.toFixed(),
    min: min.toFixed(),
    max: max.toFixed(),
    step: step.toFixed(),
    planned: planned.map((value: Decimal) => value.toFixed()),
    source: row.source,
    confirmed: row.confirmed,
    effect,
  }
}

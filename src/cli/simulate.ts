import { extname } from 'node:path'
import {
  COVER_CAUTION,
  type CoverOutcome,
  chanceBeats,
  chanceOver,
  chanceText,
  convergence,
  coverAdvice,
  coverCells,
  coverLabel,
  coverOutcomesOf,
  coverQuestion,
  drawsOf,
  type LossTolerance,
  onlyCells,
  parquetOf,
  RANGE_SHAPES,
  type RangeShape,
  recommend,
  recommendationFacts,
  recordScenarios,
  type SafetyStep,
  type Simulation,
  type Summary,
  safetySteps,
  simulate,
  simulationPlan,
  summary,
} from '../analysis/index.js'
import { simulateOnThreads } from '../analysis/workers.js'
import { numberText } from '../paper/format.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/index.js'
import { exact } from '../quantity/index.js'
import { type Args, UsageError } from './args.js'
import { type Command, namedPlan, openPlans, planOptions } from './command.js'
import { recommendationText } from './compare.js'
import { textTable } from './text-table.js'

/** Fewer draws than this are done before threads have started. */
const drawsForThreads = 200_000
const billed = 'cost.total'
const borne = 'risk.total'
/** How many steps of convergence are printed. */
const stopsShown = 6

/** What the simulation says of one scenario. */
interface ScenarioRisk {
  readonly scenario: string
  /** The bills as planned, without chance. */
  readonly planned: number
  readonly billed: Summary
  readonly billedOverBudget?: number
  readonly withLosses: Summary
  readonly withLossesOverBudget?: number
  /** Chance of costing less than each other scenario, losses included. */
  readonly beats: Readonly<Record<string, number>>
  readonly convergence: readonly Summary[]
  readonly covers: readonly CoverOutcome[]
  readonly safety: readonly SafetyStep[]
  readonly tolerance: LossTolerance
  readonly advice: { readonly cover: string; readonly sentence: string }
}

export const simulateCommand: Command = {
  name: 'simulate',
  words: '[DIR]',
  says: 'how sure the totals are: ranges, delays, damage and loss drawn many times; and which cover is worth its premium',
  options: {
    ...planOptions,
    draws: { value: 'N', says: 'how many moves are drawn; 100000 otherwise' },
    budget: { value: 'N', says: 'tells the chance of going over this amount, in the household’s currency' },
    start: {
      value: 'N',
      says: 'where the draws start, a whole number, 1 otherwise: the same start gives the same draws, and so the same figures, on every machine',
    },
    spread: {
      value: RANGE_SHAPES.join('|'),
      says: 'how a low-likely-high range spreads; pert otherwise: the middle is likely, the ends are rare',
    },
    scenario: { value: 'NAME', says: 'the cover decision of this scenario only' },
    out: { value: 'FILE.parquet', says: 'writes every draw of every total and cover there' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const draws = wholeAsked(args, 'draws', 100_000, 1000)
    const start = wholeAsked(args, 'start', 1, 0)
    const budget = budgetAsked(args.text('budget'))
    const shape = spreadAsked(args.text('spread'))
    const out = args.text('out')
    if (out !== undefined && extname(out) !== '.parquet')
      throw new UsageError(`--out ${out}: end the name in .parquet`)
    const { move, plans: stated } = await openPlans(args)
    const recommendation = recommend(move, stated)
    const { plans } = recommendation
    const decided = args.text('scenario') === undefined ? plans : [namedPlan(plans, args.text('scenario'))]
    const { currency } = move.household.facts
    const scenarios = recordScenarios(move, plans, 'booked now')
    const totals = [billed, borne]
    const covers = coverCells(move.reference.covers.map(({ id }) => id))
    const prepared = simulationPlan(move, scenarios, [...totals, ...covers], { start, shape })
    // The cover is decided exactly and not drawn: what each one leaves is only for who asks for all draws.
    const wanted = out === undefined ? onlyCells(prepared, totals) : prepared
    const simulation = await run(wanted, draws)
    const labels = new Map(move.reference.covers.map(({ id, label }) => [id, label]))
    const again = await run(
      simulationPlan(move, recordScenarios(move, plans, 'chosen again'), [billed], { start, shape }),
      draws,
    )
    const results = plans.map((plan) => ({
      ...riskOf(move, simulation, plan, plans, labels, budget),
      chosenAgain: summary(drawsOf(again, plan.name, billed)),
    }))
    if (out !== undefined) {
      await replaceFile(
        out,
        parquetOf(simulation.columns, { start: String(start), draws: String(draws), currency }),
      )
    }
    if (args.flags.has('json')) {
      io.out(
        JSON.stringify(
          {
            draws,
            start,
            spread: shape,
            currency,
            budget,
            recommendation: recommendationFacts(recommendation),
            scenarios: results,
            caution: COVER_CAUTION,
          },
          null,
          2,
        ),
      )
      return 0
    }
    io.out(
      [
        `${draws.toLocaleString('en-GB')} moves drawn from start ${start}; amounts in ${currency}. The same start gives the same draws.`,
        `As billed, with the container booked now: what outgrows it goes by the cheaper of a second one and a share\n${summaryTable(results, 'billed', budget)}`,
        `As billed, with the carriage chosen again as if everything had been known at booking\n${againTable(results)}`,
        `With the damage and loss that the chosen cover leaves to you\n${summaryTable(results, 'withLosses', budget)}`,
        ...(results.length > 1
          ? [`Chance of costing less than the other, losses included\n${beatsTable(results)}`]
          : []),
        `How the figures settle as draws are added, losses included\n${convergenceTable(results)}`,
        ...results
          .filter(({ scenario }) => decided.some(({ name }) => name === scenario))
          .map((r) => coverText(r, labels)),
        recommendationText(recommendation),
        COVER_CAUTION,
      ].join('\n\n'),
    )
    if (out !== undefined) io.err(`${out}: ${draws} draws`)
    return 0
  },
}

/** Runs the draws; too many of them are refused as a command line that cannot be carried out. */
const run = async (prepared: Simulation['plan'], draws: number): Promise<Simulation> =>
  draws > drawsForThreads ? await simulateOnThreads(prepared, draws) : simulate(prepared, draws)

function riskOf(
  move: Move,
  simulation: Simulation,
  plan: Plan,
  plans: readonly Plan[],
  labels: ReadonlyMap<string, string>,
  budget: number | undefined,
): ScenarioRisk {
  const { name } = plan
  const [bills, all] = [drawsOf(simulation, name, billed), drawsOf(simulation, name, borne)]
  const { tolerance } = coverQuestion(move.reference, plan.inputs, plan.sheet.cells)
  const covers = coverOutcomesOf(move.reference, plan)
  const { currency } = move.household.facts
  const others = plans.filter((other) => other.name !== name)
  return {
    scenario: name,
    planned: plan.sheet.cells.get(billed)?.value.toNumber() ?? Number.NaN,
    billed: summary(bills),
    withLosses: summary(all),
    ...(budget === undefined
      ? {}
      : { billedOverBudget: chanceOver(bills, budget), withLossesOverBudget: chanceOver(all, budget) }),
    beats: Object.fromEntries(
      others.map((other) => [other.name, chanceBeats(all, drawsOf(simulation, other.name, borne))]),
    ),
    convergence: convergence(all),
    covers,
    safety: safetySteps(covers),
    tolerance,
    advice: coverAdvice(covers, tolerance, currency, labels, plan.sheet.choices.get('cover')),
  }
}

const whole = (x: number): string => numberText(exact.of(x), 0)
const percent = (x: number, decimals = 1): string => `${numberText(exact.of(x).times(100), decimals)} %`

function againTable(
  results: readonly { readonly scenario: string; readonly chosenAgain: Summary }[],
): string {
  const row = (label: string, figure: (s: Summary) => number): string[] => [
    label,
    ...results.map(({ chosenAgain }) => whole(figure(chosenAgain))),
  ]
  return textTable(
    ['', ...results.map(({ scenario }) => scenario)],
    [
      row('P10', (s) => s.p10),
      row('P50', (s) => s.p50),
      row('P90', (s) => s.p90),
      row('Mean', (s) => s.mean),
    ],
  )
}

function summaryTable(
  results: readonly ScenarioRisk[],
  which: 'billed' | 'withLosses',
  budget: number | undefined,
): string {
  const over = which === 'billed' ? 'billedOverBudget' : 'withLossesOverBudget'
  const row = (label: string, figure: (s: Summary) => number): string[] => [
    label,
    ...results.map((r) => whole(figure(r[which]))),
  ]
  return textTable(
    ['', ...results.map(({ scenario }) => scenario)],
    [
      ...(which === 'billed'
        ? [['as planned, every input likely', ...results.map((r) => whole(r.planned))]]
        : []),
      row('P10: one move in ten costs less', (s) => s.p10),
      row('P50: half cost less', (s) => s.p50),
      row('P90: one in ten costs more', (s) => s.p90),
      [
        'mean ± standard error',
        ...results.map((r) => `${whole(r[which].mean)} ± ${whole(Math.max(1, r[which].standardError))}`),
      ],
      row('mean of the worst 5 %', (s) => s.worstTwentieth),
      ...(budget === undefined
        ? []
        : [[`chance over ${whole(budget)}`, ...results.map((r) => percent(r[over] ?? 0))]]),
    ],
    'right',
  )
}

function beatsTable(results: readonly ScenarioRisk[]): string {
  return textTable(
    ['', ...results.map(({ scenario }) => `than ${scenario}`)],
    results.map(({ scenario, beats }) => [
      scenario,
      ...results.map((other) => (other.scenario === scenario ? '' : percent(beats[other.scenario] ?? 0))),
    ]),
    'right',
  )
}

function convergenceTable(results: readonly ScenarioRisk[]): string {
  const stops = (results[0]?.convergence ?? []).slice(-stopsShown)
  const at = (r: ScenarioRisk, draws: number): string => {
    const found = r.convergence.find((s) => s.draws === draws)
    return found ? `${whole(found.mean)} / ${whole(found.p90)}` : ''
  }
  return textTable(
    ['draws', ...results.map(({ scenario }) => `${scenario}: mean / P90`)],
    stops.map(({ draws }) => [draws.toLocaleString('en-GB'), ...results.map((r) => at(r, draws))]),
    'right',
  )
}

function coverText(
  { scenario, covers, safety, tolerance, advice }: ScenarioRisk,
  labels: ReadonlyMap<string, string>,
): string {
  const table = textTable(
    [
      '',
      'premium and services asked for',
      'expected damage borne',
      `with it × ${numberText(exact.of(tolerance.loading), 2)}`,
      `chance of bearing over ${whole(tolerance.amount)}`,
      `exceeded in ${chanceText(tolerance.chance)}`,
      'everything lost leaves',
      'general average leaves',
      'bearable',
    ],
    covers.map((c) => [
      coverLabel(labels, c.cover),
      whole(c.certain),
      whole(c.expectedRetained),
      whole(c.cost),
      percent(c.chanceOverTolerance, 3),
      whole(c.rarelyMore),
      whole(c.worstTotalLoss),
      whole(c.worstGeneralAverage),
      c.bearable ? 'yes' : 'no',
    ]),
    'right',
  )
  const steps = safety.map(({ cover, chance, price }, k) =>
    k === 0
      ? `${coverLabel(labels, cover)} (${percent(chance, 3)})`
      : `${coverLabel(labels, cover)} for ${whole(price)} more (${percent(chance, 3)})`,
  )
  const ruin = tolerance.ruin === undefined ? '' : `, and that ${whole(tolerance.ruin)} would ruin you`
  return [
    `Which cover, for \u201c${scenario}\u201d: you said you could bear a loss of ${whole(tolerance.amount)}${ruin}; worked out exactly, whatever the draws`,
    table,
    `Each further step of safety, with the chance of bearing over ${whole(tolerance.amount)}: ${steps.join('; ')}`,
    advice.sentence,
  ].join('\n')
}

function wholeAsked(args: Args, option: string, usual: number, least: number): number {
  const text = args.text(option)
  if (text === undefined) return usual
  const number = Number(text)
  if (/^\d+$/.test(text) && number >= least && number <= 2 ** 31 - 1) return number
  throw new UsageError(`--${option} ${text}: give a whole number, ${least} or more`)
}

function budgetAsked(text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const amount = Number(text)
  if (text.trim() !== '' && Number.isFinite(amount) && amount >= 0) return amount
  throw new UsageError(
    `--budget ${text}: give an amount without separators or currency, as in --budget 20000`,
  )
}

function spreadAsked(text = 'pert'): RangeShape {
  const shape = RANGE_SHAPES.find((known) => known === text)
  if (shape) return shape
  throw new UsageError(`--spread ${text}: there are ${RANGE_SHAPES.join(', ')}`)
}

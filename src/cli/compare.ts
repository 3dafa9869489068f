import {
  type ComparisonRow,
  compare,
  type Recommendation,
  recommend,
  recommendationFacts,
  type TotalRange,
  totalRanges,
} from '../analysis/index.js'
import { figureText, isDate, numberText, unitText, usualDecimals } from '../paper/format.js'
import type { Move, Plan } from '../plan/index.js'
import { exact } from '../quantity/exact.js'
import { csvCell } from '../tables/as-data.js'
import { jsonText } from '../tables/as-json.js'
import { dayIn } from '../time/day-number.js'
import { type Command, openPlans, planOptions } from './command.js'
import { textTable } from './text-table.js'

export const compareCommand: Command = {
  name: 'compare',
  words: '[DIR]',
  says: 'prints the scenarios side by side',
  options: {
    ...planOptions,
    cells: {
      value: 'id,id',
      says: 'other cells than the summary; * at the end of an id takes all that begin so',
    },
    inputs: { says: 'list every input with its value instead' },
    differences: { says: 'show what each scenario differs from the first' },
    json: { says: 'print JSON' },
    csv: { says: 'print CSV, every figure in full, a line for each cell' },
  },
  async run(args, io) {
    const { move, plans: stated } = await openPlans(args)
    if (args.flags.has('inputs')) {
      io.out(args.flags.has('json') ? jsonText(inputList(stated)) : inputTableText(stated))
      return 0
    }
    const recommendation = recommend(move, stated)
    const { plans } = recommendation
    const asked = args
      .text('cells')
      ?.split(',')
      .map((id) => id.trim())
    const ranges = totalRanges(move, plans)
    const rows = compare(
      plans,
      asked?.flatMap((id) => matching(plans, id)),
    )
    if (args.flags.has('csv')) {
      io.out(comparisonCsv(plans, rows, args.flags.has('differences')))
      return 0
    }
    io.out(
      args.flags.has('json')
        ? comparisonJson(recommendation, rows, ranges)
        : `${comparisonText(move, plans, rows, ranges, args.flags.has('differences'))}\n\n${recommendationText(recommendation)}`,
    )
    return 0
  },
}

function matching(plans: readonly Plan[], id: string): string[] {
  if (!id.endsWith('*')) return [id]
  return [...(plans[0]?.sheet.cells.keys() ?? [])].filter((cell) => cell.startsWith(id.slice(0, -1)))
}

/** Where the totals are likely to end, below them in a table. */
function rangeLines(plans: readonly Plan[], ranges: readonly TotalRange[]): string[][] {
  const whole = (amount: number): string => numberText(exact.of(amount), 0)
  const line = (label: string, textOf: (range: TotalRange) => string): string[] => [
    `  ${label}`,
    ...plans.map(({ name }) => {
      const range = ranges.find(({ scenario }) => scenario === name)
      return range ? textOf(range) : ''
    }),
  ]
  return [
    line('eight moves in ten end between', ({ p10, p90 }) => `${whole(p10)} \u2013 ${whole(p90)}`),
    line('half end above', ({ p50 }) => whole(p50)),
  ]
}

/** The comparison as a table for a terminal. */
export function comparisonText(
  move: Move,
  plans: readonly Plan[],
  rows: readonly ComparisonRow[],
  ranges: readonly TotalRange[] = [],
  differences = false,
): string {
  const { currency } = move.household.facts
  const minor = move.reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  const shown = rows.flatMap((row): string[][] => {
    const decimals = row.unit === '1' ? 2 : usualDecimals(row.unit, minor)
    const figures = differences ? row.differences : row.values
    if (isDate(row.unit)) {
      const texts = differences
        ? figures.map((v) => figureText(v, 'day', 0))
        : figures.map((v) => dayIn(v) ?? '\u2013')
      return [[row.label, ...texts]]
    }
    const line = [
      `${row.label} [${row.unit === '1' ? '1' : unitText(row.unit)}]`,
      ...figures.map((v) => numberText(v, decimals)),
    ]
    const beside = row.id === 'cost.total' && ranges.length > 0 && !differences
    return beside ? [line, ...rangeLines(plans, ranges)] : [line]
  })
  const transport = ['Carriage', ...plans.map((plan) => plan.sheet.choices.get('transport') ?? '')]
  const cover = ['Cover', ...plans.map((plan) => plan.sheet.choices.get('cover') ?? '')]
  const table = textTable(['', ...plans.map((plan) => plan.name)], [transport, cover, ...shown], 'right')
  const below = plans.some((plan) => {
    const p10 = ranges.find(({ scenario }) => scenario === plan.name)?.p10
    return p10 !== undefined && plan.sheet.cells.get('cost.total')?.value.lt(p10)
  })
  return below && !differences
    ? `${table}\nA planned total may lie below its range: it takes every figure as likely, and most can go further up than down.`
    : table
}

/** The comparison for a spreadsheet or another program: figures in full, days as dates, choices first. */
export function comparisonCsv(
  plans: readonly Plan[],
  rows: readonly ComparisonRow[],
  differences = false,
): string {
  const chosen = (id: string, label: string): string[] => [
    id,
    label,
    '',
    ...plans.map((plan) => plan.sheet.choices.get(id) ?? ''),
  ]
  const lines = rows.map(({ id, label, unit, values, differences: gaps }) => {
    const figures = differences ? gaps : values
    const day = isDate(unit) && !differences
    const texts = figures.map((value) => (day ? (dayIn(value) ?? '') : (value?.toString() ?? '')))
    return [id, label, isDate(unit) && differences ? 'd' : unit, ...texts]
  })
  const head = ['id', 'label', 'unit', ...plans.map(({ name }) => name)]
  return [head, chosen('transport', 'Carriage'), chosen('cover', 'Cover'), ...lines]
    .map((cells) => cells.map(csvCell).join(','))
    .join('\n')
}

/** The recommendation as it is printed below a table. */
export const recommendationText = ({ sentence, rule }: Recommendation): string =>
  `Recommended: ${sentence}\nThe rule: ${rule}`

function comparisonJson(
  recommendation: Recommendation,
  rows: readonly ComparisonRow[],
  ranges: readonly TotalRange[],
): string {
  const scenarios = recommendation.plans.map((plan) => ({
    name: plan.name,
    choices: Object.fromEntries(plan.sheet.choices),
  }))
  return jsonText({ scenarios, rows, ranges, recommendation: recommendationFacts(recommendation) })
}

function inputList(plans: readonly Plan[]) {
  const [plan] = plans
  if (!plan) return []
  const numbers = [...plan.inputs.numbers.values()]
  const choices = [...plan.inputs.choices.values()].map((c) => ({ ...c, unit: c.kind }))
  return [...numbers, ...choices]
}

function inputTableText(plans: readonly Plan[]): string {
  const [plan] = plans
  if (!plan) return ''
  const numbers = [...plan.inputs.numbers.values()].map((n) =>
    [n.id, n.low, n.likely, n.high].map(String).concat(n.unit),
  )
  const choices = [...plan.inputs.choices.values()].map((c) => [
    c.id,
    '',
    c.value,
    '',
    c.allowed.join('|') || c.kind,
  ])
  return textTable(['id', 'low', 'likely', 'high', 'unit or words'], [...numbers, ...choices])
}

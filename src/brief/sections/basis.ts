import type { Decimal } from 'decimal.js'
import type { TornadoBar } from '../../analysis/tornado.js'
import { type ChartTheme, tornadoChart } from '../../charts/specs/index.js'
import type { Block, Section, TableRow } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { ENGLISH } from '../../paper/figure-text.js'
import { unitText } from '../../paper/format.js'
import { isShare } from '../../paper/locale.js'
import type { BriefSource } from '../figure.js'

/** How many inputs the chart of what matters shows. */
const SHOWN_BARS = 12

const GROUPS: readonly (readonly [start: RegExp, title: string])[] = [
  [/^price\.freight/, 'Freight'],
  [/^price\.|^storage\.|^door\.|^demurrage|^detention/, 'Prices of services'],
  [/^cost\..*wage$|^labour\.|^own\./, 'Labour'],
  [/^exchange\./, 'Exchange rates'],
  [/^cover\.|^insured\.|^loss\.|^insurance\./, 'Cover'],
  [/^duty\.|^customs\./, 'Customs'],
  [/^time\.|^delay\.|^groupage\.wait/, 'Time'],
  [/^container\.|^stowage\.|^road-limit|^car\.|^groupage\./, 'Containers and stowage'],
  [/^volume\.|^density\.|^mass\.|^carton\./, 'Packing and mass'],
  [/^origin\.|^destination\.|^inspection/, 'The two homes'],
]

/** A share of one in per cent, as people read it; nothing where the figure is a factor, a count or has a unit. */
const shareOr = (unit: string, low: Decimal, high: Decimal, likely: Decimal): string | undefined =>
  isShare(unit, low, high)
    ? ENGLISH.percent(likely, Math.min(4, likely.times(100).decimalPlaces()))
    : undefined

/** Which inputs matter, and every input the recommended scenario used, with its source and how sure we are. */
export function basisSection(source: BriefSource, theme: ChartTheme, bars: readonly TornadoBar[]): Section {
  const { recommended: plan, move } = source
  const total = plan.sheet.cells.get('cost.total')?.value.toNumber() ?? 0
  const used = [...plan.inputs.numbers.values()].filter(
    ({ id }) => plan.sheet.cells.has(id) && !/^(line|vehicle|item|quote)\./.test(id),
  )
  const number = (id: string, end: 'low' | 'likely' | 'high') => {
    const row = plan.inputs.numbers.get(id)
    return row ? row[end].toSignificantDigits(6).toString() : ''
  }
  const sources = [...new Set(used.map((row) => row.source))].sort()
  const sourceMark = (from: string) => `S${sources.indexOf(from) + 1}`
  const rows = (title: string, start: RegExp | undefined): TableRow[] => {
    const mine = used.filter(({ id }) =>
      start
        ? start.test(id) && GROUPS.find(([s]) => s.test(id))?.[1] === title
        : !GROUPS.some(([s]) => s.test(id)),
    )
    if (mine.length === 0) return []
    return [
      { kind: 'group', cells: [cell(title), cell(''), cell(''), cell('')] },
      ...mine.map(({ id, label, low, likely, high, unit, source: from, confirmed }) => ({
        cells: [
          { text: [label], trace: id },
          cell(
            shareOr(unit, low, high, likely) ??
              `${number(id, 'likely')}${unit === '1' ? '' : `\u00a0${unitText(unit)}`}`,
          ),
          cell(
            low.eq(likely) && high.eq(likely)
              ? ''
              : isShare(unit, low, high)
                ? ENGLISH.range(low, high, unit, (a, b) => `${a} \u2013 ${b}`)
                : `${number(id, 'low')} \u2013 ${number(id, 'high')}`,
          ),
          cell(`${sourceMark(from)} ${confirmed}`),
        ],
      })),
    ]
  }
  const sure = new Map<string, number>()
  for (const { confirmed } of used) sure.set(confirmed, (sure.get(confirmed) ?? 0) + 1)
  const count = (word: string) => sure.get(word) ?? 0
  const items = used.length
  const lines = [...plan.sheet.cells.keys()].filter((id) => /^item\./.test(id)).length
  const top = bars.slice(0, SHOWN_BARS)
  const chart: Block[] =
    top.length > 0
      ? [
          {
            kind: 'chart',
            id: 'tornado',
            caption: `What one input alone does to the total of \u201c${plan.name}\u201d, the ${top.length} that matter most`,
            chart: tornadoChart(
              top.map(({ label, atLow, atHigh }) => ({ label, atLow, atHigh })),
              total,
              `total cost, ${move.household.facts.currency}`,
              theme,
            ),
          },
        ]
      : []
  return {
    id: 'basis',
    title: 'What the figures rest on',
    blocks: [
      {
        kind: 'paragraph',
        text: [
          `Besides your own lists, this plan used ${items} inputs: ${count('stated')} stated by you, ${count(
            'looked up',
          )} looked up in a published source, ${count('secondary')} in a text that quotes it, ${count('from memory')} from memory and ${count(
            'common practice',
          )} of common practice without a source. The last two kinds are the ones to replace with written offers. Sizes and masses of furniture come from a table of ${lines} values.`,
        ],
      },
      ...chart,
      {
        kind: 'table',
        fine: true,
        caption: `Inputs of \u201c${plan.name}\u201d`,
        columns: [
          { label: 'Input' },
          { label: 'Likely', numeric: true },
          { label: 'Range', numeric: true },
          { label: 'Source (listed below), and how sure' },
        ],
        rows: [...GROUPS.flatMap(([start, title]) => rows(title, start)), ...rows('Other', undefined)],
      },
      { kind: 'paragraph', text: ['Sources:'] },
      { kind: 'list', fine: true, items: sources.map((from) => [`${sourceMark(from)} \u2013 ${from}`]) },
    ],
  }
}

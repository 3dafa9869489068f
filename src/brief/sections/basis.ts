import type { Decimal } from 'decimal.js'
import type { TornadoBar } from '../../analysis/tornado.js'
import { type ChartTheme, tornadoChart } from '../../charts/specs/index.js'
import type { Block, Section, TableRow } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { isShare } from '../../paper/locale.js'
import { type Sentence, says } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import { type BriefSource, inputCounts, inputsUsed } from '../figure.js'
import { inputLabel } from '../names.js'

/** How many inputs the chart of what matters shows. */
const SHOWN_BARS = 12

const GROUPS: readonly (readonly [start: RegExp, title: Sentence])[] = [
  [/^price\.freight/, says`Freight`],
  [/^price\.|^storage\.|^door\.|^demurrage|^detention/, says`Prices of services`],
  [/^cost\..*wage$|^labour\.|^own\./, says`Labour`],
  [/^exchange\./, says`Exchange rates`],
  [/^cover\.|^insured\.|^loss\.|^insurance\./, says`Cover`],
  [/^duty\.|^customs\./, says`Customs`],
  [/^time\.|^delay\.|^groupage\.wait/, says`Time`],
  [/^container\.|^stowage\.|^road-limit|^car\.|^groupage\./, says`Containers and stowage`],
  [/^volume\.|^density\.|^mass\.|^carton\./, says`Packing and mass`],
  [/^origin\.|^destination\.|^inspection/, says`The two homes`],
]

/** Which inputs matter, and every input the recommended scenario used, with its source and how sure we are. */
export function basisSection(
  source: BriefSource,
  words: Words,
  theme: ChartTheme,
  bars: readonly TornadoBar[],
): Section {
  const { line } = words
  const { recommended: plan, move } = source
  const total = plan.sheet.cells.get('cost.total')?.value.toNumber() ?? 0
  const used = inputsUsed(plan)
  const span = (low: Decimal, high: Decimal, unit: string) =>
    words.locale.range(
      low.toSignificantDigits(6),
      high.toSignificantDigits(6),
      unit,
      (a, b) => `${a} \u2013 ${b}`,
    )
  const sources = [...new Set(used.map((row) => row.source))].sort()
  const sourceMark = (from: string) => `S${sources.indexOf(from) + 1}`
  const rows = (title: Sentence, start: RegExp | undefined): TableRow[] => {
    const mine = used.filter(({ id }) =>
      start
        ? start.test(id) && GROUPS.find(([s]) => s.test(id))?.[1] === title
        : !GROUPS.some(([s]) => s.test(id)),
    )
    if (mine.length === 0) return []
    return [
      { kind: 'group', cells: [cell(words.tell(title)), cell(''), cell(''), cell('')] },
      ...mine.map(({ id, label, low, likely, high, unit, source: from, confirmed }) => ({
        cells: [
          { text: [inputLabel(words, move, id, label)], trace: id },
          // The likely value is a share where the whole range is one.
          cell(
            isShare(unit, low, high)
              ? words.locale.percent(likely, Math.min(4, likely.times(100).decimalPlaces()))
              : span(likely, likely, unit),
          ),
          cell(low.eq(likely) && high.eq(likely) ? '' : span(low, high, unit)),
          cell(`${sourceMark(from)} ${words.phrase(confirmed)}`),
        ],
      })),
    ]
  }
  const lines = [...plan.sheet.cells.keys()].filter((id) => /^item\./.test(id)).length
  const top = bars.slice(0, SHOWN_BARS)
  const chart: Block[] =
    top.length > 0
      ? [
          {
            kind: 'chart',
            id: 'tornado',
            caption: line`What one input alone does to the total of \u201c${plan.name}\u201d, the ${String(top.length)} that matter most`,
            chart: tornadoChart(
              top.map(({ id, label, atLow, atHigh }) => ({
                label: inputLabel(words, move, id, label),
                atLow,
                atHigh,
              })),
              total,
              `total cost, ${move.household.facts.currency}`,
              theme,
            ),
          },
        ]
      : []
  return {
    id: 'basis',
    title: words.say('annex.basis'),
    blocks: [
      {
        kind: 'paragraph',
        text: [
          words.say('decision.basis', inputCounts(plan)),
          ' ',
          line`Sizes and masses of furniture come from a table of ${String(lines)} values.`,
        ],
      },
      ...chart,
      {
        kind: 'table',
        fine: true,
        caption: line`Inputs of \u201c${plan.name}\u201d`,
        columns: [
          { label: line`Input` },
          { label: line`Likely`, numeric: true },
          { label: line`Range`, numeric: true },
          { label: line`Source (listed below), and how sure` },
        ],
        rows: [...GROUPS.flatMap(([start, title]) => rows(title, start)), ...rows(says`Other`, undefined)],
      },
      { kind: 'paragraph', text: [line`Sources:`] },
      { kind: 'list', fine: true, items: sources.map((from) => [`${sourceMark(from)} \u2013 ${from}`]) },
    ],
  }
}

import { cellOf, recordScenarios } from '../../analysis/recorded-scenarios.js'
import { Columns, compile } from '../../bulk/index.js'
import { type ChartTheme, labourChart, rangesChart } from '../../charts/specs/index.js'
import type { Block, Section, TableRow } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { PHASES } from '../../plan/phases.js'
import { providers } from '../../plan/providers.js'
import { exact } from '../../quantity/exact.js'
import { type BriefSource, bare, figure, hasCell } from '../figure.js'
import type { LikelyRange } from '../front/decision.js'
import { OFFER_HEADS, OFFER_PARTS } from '../front/movers.js'
import { costLabel, providerWords } from '../names.js'

/** Every cost line by phase with who does it, and what labour at the origin does to the totals. */
export function costSection(
  source: BriefSource,
  words: Words,
  theme: ChartTheme,
  ranges: ReadonlyMap<string, LikelyRange>,
): Section {
  const { line } = words
  const { plans, move } = source
  const who = plans.map((plan) => providers(move, plan))
  const { currency } = move.household.facts
  // Inputs such as wages stand under the same phases; only amounts of the statement are lines.
  const ids = [
    ...new Set(
      plans.flatMap((plan) =>
        [...plan.sheet.cells.values()].flatMap(({ id, unit, kind }) =>
          unit === currency && kind === 'derived' ? [id] : [],
        ),
      ),
    ),
  ]
  const rows = PHASES.flatMap(({ phase }): TableRow[] => {
    const label = words.say(`phase.${phase}`)
    const lines = ids.filter(
      (id) => id.startsWith(`cost.${phase}.`) && !/\.total$/.test(id) && plans.every((p) => hasCell(p, id)),
    )
    const shown = lines.filter((id) => {
      const service = id.split('.').at(-1) ?? ''
      const paid = plans.some((plan) => !plan.sheet.cells.get(id)?.value.isZero())
      return paid || who.some((w) => ['self', 'friends', 'employer'].includes(w.get(service) ?? ''))
    })
    if (shown.length === 0) return []
    const total = `cost.${phase}.total`
    return [
      { kind: 'group', cells: [cell(label), ...plans.map(() => cell(''))] },
      ...shown.map((id) => {
        const service = id.split('.').at(-1) ?? ''
        return {
          cells: [
            { text: [costLabel(words, move, id, plans[0]?.sheet.cells.get(id)?.label ?? id)], trace: id },
            ...plans.map((plan, i) => {
              const provider = who[i]?.get(service)
              return {
                text: [bare(figure(source, plan, id))],
                ...(provider ? { small: providerWords(words, provider) } : {}),
              }
            }),
          ],
        }
      }),
      ...(plans.every((plan) => hasCell(plan, total))
        ? [
            {
              kind: 'total' as const,
              cells: [
                { text: [words.say('paper.total-of', { label })], trace: total },
                ...plans.map((plan) => cell(bare(figure(source, plan, total)))),
              ],
            },
          ]
        : []),
    ]
  })
  const blocks: Block[] = [
    {
      kind: 'paragraph',
      text: words.text`Each line is rounded once, and the totals add up the rounded lines. Under each amount stands who does the work; a zero beside you or friends stands for hours instead of money. Lines that cost nobody anything are left out.`,
    },
    {
      kind: 'table',
      caption: line`Cost lines by phase, ${currency}`,
      columns: [{ label: line`Line` }, ...plans.map((plan) => ({ label: plan.name, numeric: true }))],
      rows: [
        ...rows,
        {
          kind: 'total',
          cells: [
            { text: [line`The whole move`], trace: 'cost.total' },
            ...plans.map((plan) => cell(bare(figure(source, plan, 'cost.total')))),
          ],
        },
      ],
    },
  ]
  const labour = labourSweep(source, words, theme)
  return {
    id: 'costs',
    title: words.say('annex.costs'),
    blocks: [
      ...blocks,
      rangesBlock(source, words, theme, ranges),
      ...(labour ? [labour] : []),
      ...offers(source, words),
    ],
  }
}

/** Where the total of each scenario is likely to end. */
const rangesBlock = (
  { plans, move }: BriefSource,
  words: Words,
  theme: ChartTheme,
  ranges: ReadonlyMap<string, LikelyRange>,
): Block => ({
  kind: 'chart',
  id: 'ranges',
  caption: words.line`Where the total is likely to end: eight moves in ten inside the bar, one below it and one above. The diamond is the plan, every input likely.`,
  chart: rangesChart(
    plans.map((plan) => {
      const likely = plan.sheet.cells.get('cost.total')?.value.toNumber() ?? 0
      const range = ranges.get(plan.name)
      return {
        scenario: plan.name,
        low: range?.low.toNumber() ?? likely,
        likely,
        high: range?.high.toNumber() ?? likely,
      }
    }),
    move.household.facts.currency,
    theme,
  ),
})

/** Wages of the sweep, as shares of the likely one. */
const WAGE_STEPS = ['0.5', '1', '2', '3', '4']

function labourSweep({ plans, move }: BriefSource, words: Words, theme: ChartTheme): Block | undefined {
  const wage = plans[0]?.inputs.numbers.get('cost.origin.wage')
  if (!wage) return undefined
  const wages = WAGE_STEPS.map((share) => wage.likely.times(exact.of(share)).toNumber())
  const points = recordScenarios(move, plans).flatMap((scenario) => {
    const program = compile(new Map([['total', cellOf(scenario, 'cost.total')]]), [wage.id])
    const totals = new Columns(program).evaluate(new Map([[wage.id, Float64Array.from(wages)]])).get('total')
    return wages.map((at, k) => ({ scenario: scenario.name, wage: at, total: totals?.[k] ?? Number.NaN }))
  })
  return {
    kind: 'chart',
    id: 'labour',
    caption: words.line`Total cost against the hourly labour cost at the origin. Where labour is cheap, having movers do the work costs little more than doing it oneself.`,
    chart: labourChart(points, wage.unit, move.household.facts.currency, theme, wage.likely.toNumber()),
  }
}

/** Movers' offers brought to one footing, for the recommended scenario; nothing where the household has none. */
function offers(source: BriefSource, words: Words): Block[] {
  const { line } = words
  const { recommended: plan, move } = source
  const names = [...plan.sheet.cells.keys()].flatMap((id) => /^quotes\.(.+)\.stated$/.exec(id)?.[1] ?? [])
  if (names.length === 0) return []
  return [
    {
      kind: 'table',
      caption: words.say('movers.caption', { scenario: plan.name, currency: move.household.facts.currency }),
      columns: [{ label: '' }, ...names.map((label) => ({ label, numeric: true }))],
      rows: OFFER_PARTS.map((part) => ({
        ...(part === 'like-for-like' ? { kind: 'total' as const } : {}),
        cells: [
          { text: [words.say(OFFER_HEADS[part])], trace: `quotes.*.${part}` },
          ...names.map((name) => cell(bare(figure(source, plan, `quotes.${name}.${part}`)))),
        ],
      })),
    },
    {
      kind: 'paragraph',
      text: [
        line`An offer for less volume, or without a service, looks cheap for that reason alone. Only the last row can be compared.`,
      ],
    },
  ]
}

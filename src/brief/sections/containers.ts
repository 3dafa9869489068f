import { type ChartTheme, containerCostChart } from '../../charts/specs/index.js'
import { TRANSPORT_OPTIONS } from '../../scenario/plan.js'
import { planQuestions } from '../../scenario/providers.js'
import { optionLabel, transportOption } from '../../scenario/transport-options.js'
import type { Block, Section, TableCell } from '../blocks.js'
import { cell } from '../blocks.js'
import { type BriefSource, figure, hasCell } from '../figure.js'

/** Every way to carry the goods of the recommended scenario: space, fill, mass, and cost for each cubic metre. */
export function containerSection(source: BriefSource, theme: ChartTheme, more: readonly Block[]): Section {
  const { recommended: plan, move } = source
  const context = planQuestions(move, plan)
  const options = TRANSPORT_OPTIONS.map((id) => ({ id, label: optionLabel(context, transportOption(id)) }))
  const chosen = plan.sheet.choices.get('transport')
  const of = (option: string, name: string): TableCell =>
    hasCell(plan, `options.${option}.${name}`)
      ? cell(figure(source, plan, `options.${option}.${name}`))
      : cell('\u2013')
  const js = (id: string) => plan.sheet.cells.get(id)?.value.toNumber()
  const possible = (id: string) => js(`options.${id}.fits`) === 1
  return {
    id: 'containers',
    title: 'Containers compared',
    blocks: [
      {
        kind: 'paragraph',
        text: [
          'A container is priced by the box, so a price for each cubic metre means nothing until it says which cubic metres: those between the walls (nominal), those that goods can really take (usable), or those this household ships. Only the last is what you pay. Carriage cost is haulage, terminals, freight and its surcharges.',
        ],
      },
      {
        kind: 'table',
        caption: `Ways to carry the goods of \u201c${plan.name}\u201d`,
        columns: [
          { label: 'Carriage' },
          { label: 'Boxes', numeric: true },
          { label: 'Shared, chargeable', numeric: true },
          { label: 'Usable', numeric: true },
          { label: 'Fill', numeric: true },
          { label: 'Payload used', numeric: true },
          { label: 'Carriage cost', numeric: true },
          { label: 'Per shipped m³', numeric: true },
        ],
        rows: options.map(({ id, label }) => ({
          ...(id === chosen ? { kind: 'total' as const } : {}),
          cells: [
            {
              text: [
                label,
                id === chosen ? ' (chosen)' : '',
                possible(id) ? '' : ' \u2013 not possible: vehicle',
              ],
              small: `options.${id}.cost`,
            },
            {
              text: hasCell(plan, `options.${id}.boxes`)
                ? [{ ...figure(source, plan, `options.${id}.boxes`), unit: 'count' }]
                : ['\u2013'],
            },
            of(id, 'groupage-units'),
            of(id, 'usable-m3'),
            of(id, 'fill'),
            of(id, 'mass-share'),
            of(id, 'cost'),
            of(id, 'cost-per-shipped-m3'),
          ],
        })),
      },
      {
        kind: 'chart',
        id: 'containers',
        caption: 'Container size against carriage cost for each cubic metre',
        chart: containerCostChart(
          options
            .filter(({ id }) => !id.includes('+') && possible(id))
            .map(({ id, label }) => {
              const nominal = js(`options.${id}.cost-per-nominal-m3`)
              const usable = js(`options.${id}.cost-per-usable-m3`)
              return {
                label,
                ...(nominal === undefined ? {} : { nominal }),
                ...(usable === undefined ? {} : { usable }),
                shipped: js(`options.${id}.cost-per-shipped-m3`) ?? 0,
              }
            }),
          move.household.facts.currency,
          theme,
        ),
      },
      ...more,
    ],
  }
}

import { carriageCurves } from '../../analysis/carriage-curves.js'
import { type ChartTheme, carriageChart, containerCostChart } from '../../charts/specs/index.js'
import { costAt, switches } from '../../cost/crossover.js'
import type { Block, Section, TableCell } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { amount, says, several } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import { transportOptions } from '../../plan/transport-options.js'
import { type BriefSource, bare, figure, hasCell } from '../figure.js'
import { optionWords } from '../front/carriage.js'

/** Every way to carry the goods of the recommended scenario: space, fill, mass, and cost for each cubic metre. */
export function containerSection(source: BriefSource, words: Words, theme: ChartTheme): Section {
  const { line } = words
  const currency = source.move.household.facts.currency
  const { recommended: plan, move } = source
  const options = transportOptions(move.reference).map(({ id }) => ({
    id,
    label: optionWords(words, move, id),
  }))
  const chosen = plan.sheet.choices.get('transport')
  const of = (option: string, name: string): TableCell =>
    hasCell(plan, `options.${option}.${name}`)
      ? cell(figure(source, plan, `options.${option}.${name}`))
      : cell('\u2013')
  const alone = (option: string, name: string): TableCell =>
    hasCell(plan, `options.${option}.${name}`)
      ? cell(bare(figure(source, plan, `options.${option}.${name}`)))
      : cell('\u2013')
  const js = (id: string) => plan.sheet.cells.get(id)?.value.toNumber()
  const possible = (id: string) => js(`options.${id}.fits`) === 1
  return {
    id: 'containers',
    title: words.say('annex.containers'),
    blocks: [
      {
        kind: 'paragraph',
        text: words.text`A container is priced by the box, so a price for each cubic metre means nothing until it says which cubic metres: those between the walls (nominal), those that goods can really take (usable), or those this household ships. Only the last is what you pay. Carriage cost is haulage, terminals, freight and its surcharges.`,
      },
      ...(plan.inputs.choices.get('transport')?.value === 'cheapest'
        ? [
            {
              kind: 'paragraph' as const,
              text: words.text`Taken is the way with which the whole move costs least: days at the port, both doors, charges and cover count as well as carriage.`,
            },
          ]
        : []),
      {
        kind: 'table',
        caption: line`Ways to carry the goods of \u201c${plan.name}\u201d`,
        columns: [
          { label: line`Carriage` },
          { label: line`Boxes`, numeric: true },
          { label: line`Shared, chargeable m³`, numeric: true },
          { label: line`Usable m³`, numeric: true },
          { label: line`Fill`, numeric: true },
          { label: line`Payload used`, numeric: true },
          { label: line`Carriage, ${currency}`, numeric: true },
          { label: line`${currency} per shipped m³`, numeric: true },
          { label: line`The whole move, ${currency}`, numeric: true },
        ],
        rows: options.map(({ id, label }) => ({
          ...(id === chosen ? { kind: 'total' as const } : {}),
          cells: [
            {
              text: [
                label,
                id === chosen ? ` ${line`(chosen)`}` : '',
                possible(id) ? '' : ` \u2013 ${line`not possible: vehicle`}`,
              ],
              trace: `options.${id}.cost`,
            },
            {
              text: hasCell(plan, `options.${id}.containers`)
                ? [{ ...figure(source, plan, `options.${id}.containers`), unit: 'count' }]
                : ['\u2013'],
            },
            alone(id, 'groupage-units'),
            alone(id, 'usable-m3'),
            of(id, 'fill'),
            of(id, 'mass-share'),
            alone(id, 'cost'),
            alone(id, 'cost-per-shipped-m3'),
            hasCell(plan, `with.${id}.cost.total`)
              ? cell(bare(figure(source, plan, `with.${id}.cost.total`, 0)))
              : cell('\u2013'),
          ],
        })),
      },
      {
        kind: 'chart',
        id: 'containers',
        caption: line`Container size against carriage cost for each cubic metre`,
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
      ...crossover(source, words, theme),
    ],
  }
}

/** The volumes at which the cheapest option changes, as a chart; nothing where no option takes the vehicles. */
function crossover({ recommended: plan, move }: BriefSource, words: Words, theme: ChartTheme): Block[] {
  const packed = plan.sheet.cells.get('volume.packed')?.value
  if (!packed?.gt(0)) return []
  const label = (id: string) => optionWords(words, move, id)
  // Half as much again, to the next ten: far enough to see where a growing list leads.
  const most = packed.times('1.5').div(10).ceil().times(10)
  const curves = carriageCurves(move, plan, most)
  const found = switches(curves)
  const chosen = plan.sheet.choices.get('transport')
  // The ways that are cheapest somewhere, the one chosen, and the cheapest here: one line alone compares nothing.
  const nearest = [...curves].sort((a, b) => costAt(a, packed).cmp(costAt(b, packed))).slice(0, 3)
  const shown = curves.filter(
    (curve) =>
      curve.id === chosen ||
      nearest.includes(curve) ||
      found.some((s) => s.from === curve.id || s.to === curve.id),
  )
  if (shown.length === 0) return []
  const told = found.map((s) => says`${words.inSentence(label(s.from))} up to ${amount(s.m3, 'm3', 2)}`)
  const last = found.at(-1)
  return [
    {
      kind: 'chart',
      id: 'crossover',
      caption: last
        ? words.line`Carriage cost against packed volume, all else as planned. Cheapest: ${several(told)}, then ${words.inSentence(label(last.to))}, as far as drawn.`
        : words.line`Carriage cost against packed volume, all else as planned.`,
      chart: carriageChart(
        shown.map(({ id, stretches }) => ({
          label: label(id),
          points: stretches.flatMap(({ aboveM3, upToM3, fixed, perM3 }) =>
            [aboveM3, upToM3].map((m3) => ({
              m3: m3.toNumber(),
              cost: fixed.plus(perM3.times(m3)).toNumber(),
            })),
          ),
        })),
        found.map((s) => ({
          m3: s.m3.toNumber(),
          cost: s.cost.toNumber(),
          from: label(s.from),
          to: label(s.to),
        })),
        move.household.facts.currency,
        theme,
        packed.toNumber(),
      ),
    },
  ]
}

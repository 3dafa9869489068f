import type { ChartTheme } from '../charts/specs/index.js'
import { leaveChart } from '../charts/specs/leave.js'
import { cell, paragraph, type Section } from '../paper/blocks.js'
import { amount, inside } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import type { Move } from '../plan/move.js'
import { Exact, exact } from '../quantity/exact.js'
import type { LeaveItem } from './items.js'
import type { CurvePoint, LeaveSet } from './sets.js'
import { adviceWords, itemReason, type SetPacked, setSentence } from './words.js'

/** What ship, sell or leave came to. */
export interface LeaveFindings {
  readonly items: readonly LeaveItem[]
  readonly sets: readonly LeaveSet[]
  /** What packing the container of the first set found; left out where there is no set. */
  readonly packed?: SetPacked | undefined
  readonly curve: readonly CurvePoint[]
  /** Share of today's value that a sale brings, of one. */
  readonly saleShare: number
}

/** Ship, sell or leave as a paper: the sets first, the curve, then every thing with its reason. */
export function leaveSections(
  move: Move,
  words: Words,
  { items, sets, packed, curve, saleShare }: LeaveFindings,
  theme: ChartTheme,
): Section[] {
  const { line, locale, tell } = words
  const { currency } = move.household.facts
  const whole = (value: LeaveItem['marginal'] | undefined) =>
    cell(value === undefined ? '\u2013' : locale.number(value, 0))
  const byGain = [...items].sort((a, b) => (b.gain?.toNumber() ?? -1e12) - (a.gain?.toNumber() ?? -1e12))
  return [
    {
      id: 'sets',
      title: line`What to leave, taken together`,
      blocks: [
        sets.length > 0
          ? {
              kind: 'list',
              items: sets.map((set, at) => [tell(setSentence(move, set, at === 0 ? packed : undefined))]),
            }
          : paragraph(
              line`There is no smaller container to aim at: everything goes in one of each already, or shares one.`,
            ),
        ...sets.slice(0, 1).map((set) => ({
          kind: 'table' as const,
          caption: line`The set for one ${inside(`container.${set.transport}`, set.label)}, ${currency}`,
          columns: [
            { label: line`Line` },
            { label: line`What` },
            { label: 'm³', numeric: true },
            { label: line`Sells for`, numeric: true },
            { label: line`Replacing`, numeric: true },
          ],
          rows: set.items.map((item) => ({
            cells: [
              cell(item.id),
              cell(item.label),
              cell(locale.number(item.m3, 2)),
              whole(item.resale),
              whole(item.replacement),
            ],
          })),
        })),
        {
          kind: 'chart',
          id: 'leave',
          caption: line`Saving and gain against the volume left behind, the best set at each point`,
          chart: leaveChart(
            curve.map(({ m3, saved, gain }) => ({
              m3: m3.toNumber(),
              saved: saved.toNumber(),
              gain: gain.toNumber(),
            })),
            currency,
            theme,
            {
              volume: line`packed volume left behind, m³`,
              saved: line`cheaper move`,
              gain: line`after selling and replacing`,
              alt: (points, best) =>
                line`What leaving things comes to, ${currency}: ${points}; best at ${best}.`,
              number: (x, unit) => locale.number(new Exact(x), unit === 'm3' ? 1 : 0),
              ...(words.english ? {} : { format: '.0f' }),
            },
          ),
        },
      ],
    },
    {
      id: 'things',
      title: line`Thing by thing`,
      blocks: [
        paragraph(
          line`Each alone, the plan made anew without it, not an average for each cubic metre. Sales are counted at ${amount(exact.of(saleShare), '1')} of what a thing would sell for today. Gains of single things do not add up: two of them may save the same carton or the same share of a container.`,
        ),
        {
          kind: 'table',
          fine: true,
          caption: line`Ship, sell or leave, ${currency}, the greatest gain first`,
          columns: [
            { label: line`Thing` },
            { label: line`Advice` },
            { label: line`Shipping`, numeric: true },
            { label: line`Sells for`, numeric: true },
            { label: line`Replacing`, numeric: true },
            { label: line`Leaving gains`, numeric: true },
            { label: line`Why` },
          ],
          rows: byGain.map((item) => ({
            cells: [
              cell(`${item.id} ${item.label}`),
              cell(tell(adviceWords(item.advice))),
              whole(item.marginal),
              whole(item.resale),
              whole(item.replacement),
              whole(item.gain),
              cell(tell(itemReason(move, item))),
            ],
          })),
        },
      ],
    },
  ]
}

import type { ChartTheme } from '../charts/specs/index.js'
import { leaveChart } from '../charts/specs/leave.js'
import { cell, paragraph, type Section } from '../paper/blocks.js'
import { ENGLISH } from '../paper/figure-text.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import type { LeaveItem } from './items.js'
import type { CurvePoint, LeaveSet } from './sets.js'
import { itemReason, setSentence } from './words.js'

/** Ship, sell or leave as a paper: the sets first, the curve, then every thing with its reason. */
export function leaveSections(
  move: Move,
  items: readonly LeaveItem[],
  sets: readonly LeaveSet[],
  curve: readonly CurvePoint[],
  saleShare: number,
  theme: ChartTheme,
): Section[] {
  const { currency } = move.household.facts
  const whole = (value: LeaveItem['marginal'] | undefined) =>
    cell(value === undefined ? '\u2013' : ENGLISH.number(value, 0))
  const byGain = [...items].sort((a, b) => (b.gain?.toNumber() ?? -1e12) - (a.gain?.toNumber() ?? -1e12))
  return [
    {
      id: 'sets',
      title: 'What to leave, taken together',
      blocks: [
        sets.length > 0
          ? { kind: 'list', items: sets.map((set) => [setSentence(move, set)]) }
          : paragraph(
              'There is no smaller container to aim at: everything goes in one of each already, or shares one.',
            ),
        ...sets.slice(0, 1).map((set) => ({
          kind: 'table' as const,
          caption: `The set for one ${set.label.toLowerCase()}, ${currency}`,
          columns: [
            { label: 'Line' },
            { label: 'What' },
            { label: 'm³', numeric: true },
            { label: 'Sells for', numeric: true },
            { label: 'Replacing', numeric: true },
          ],
          rows: set.items.map((item) => ({
            cells: [
              cell(item.id),
              cell(item.label),
              cell(ENGLISH.number(item.m3, 2)),
              whole(item.resale),
              whole(item.replacement),
            ],
          })),
        })),
        {
          kind: 'chart',
          id: 'leave',
          caption: 'Saving and gain against the volume left behind, the best set at each point',
          chart: leaveChart(
            curve.map(({ m3, saved, gain }) => ({
              m3: m3.toNumber(),
              saved: saved.toNumber(),
              gain: gain.toNumber(),
            })),
            currency,
            theme,
          ),
        },
      ],
    },
    {
      id: 'things',
      title: 'Thing by thing',
      blocks: [
        paragraph(
          `Each alone, the plan made anew without it, not an average for each cubic metre. Sales are counted at ${ENGLISH.percent(exact.of(saleShare))} of what a thing would sell for today. Gains of single things do not add up: two of them may save the same carton or the same share of a container.`,
        ),
        {
          kind: 'table',
          fine: true,
          caption: `Ship, sell or leave, ${currency}, the greatest gain first`,
          columns: [
            { label: 'Thing' },
            { label: 'Advice' },
            { label: 'Shipping', numeric: true },
            { label: 'Sells for', numeric: true },
            { label: 'Replacing', numeric: true },
            { label: 'Leaving gains', numeric: true },
            { label: 'Why' },
          ],
          rows: byGain.map((item) => ({
            cells: [
              cell(`${item.id} ${item.label}`),
              cell(item.advice),
              whole(item.marginal),
              whole(item.resale),
              whole(item.replacement),
              whole(item.gain),
              cell(itemReason(move, item)),
            ],
          })),
        },
      ],
    },
  ]
}

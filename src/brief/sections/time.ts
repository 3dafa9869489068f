import { type ChartTheme, timelineChart } from '../../charts/specs/index.js'
import { tasksOf, wantedDates, wantedWords } from '../../dates/index.js'
import type { Block, Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { isoDay } from '../../time/day-number.js'
import type { MoveDates } from '../dates.js'
import { type BriefSource, figure, hasCell } from '../figure.js'
import { dayText } from '../names.js'
import type { CustomsBrief } from './customs.js'

/** Port delay against storage, and every day to keep, as a list and on a time line. */
export function timeSection(
  source: BriefSource,
  theme: ChartTheme,
  dates: MoveDates,
  customs: CustomsBrief | undefined,
): Section {
  const { recommended: plan, plans } = source
  const rows = [
    'time.door-to-door',
    'time.on.last-free-day',
    'time.on.release',
    'time.on.delivery',
    'time.port.charged-days',
    'time.away.charged-days',
    'time.port.first-day',
    'time.port.tenth-day',
    'time.port.delay-cost',
    'time.storage.cost',
    'time.storage.saves',
  ].flatMap((id) => {
    const label = plans.map((p) => p.sheet.cells.get(id)?.label).find((text) => text !== undefined)
    return label === undefined
      ? []
      : [
          {
            cells: [
              { text: [label], trace: id },
              ...plans.map((p) => (hasCell(p, id) ? cell(figure(source, p, id)) : cell('\u2013'))),
            ],
          },
        ]
  })
  const deadlines = [
    ...dates.deadlines,
    ...(customs?.deadlines ?? []).map((d) => ({ on: d.on, what: d.what, why: d.note ?? 'customs law' })),
  ].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
  return {
    id: 'dates',
    title: 'Dates, the port and storage',
    blocks: [
      {
        kind: 'table',
        caption: `Days to keep in \u201c${plan.name}\u201d`,
        columns: [{ label: 'Day' }, { label: 'What' }, { label: 'Why then' }],
        rows: deadlines.map((d) => ({
          cells: [cell(dayText(d.on).replaceAll(' ', '\u00a0')), cell(d.what), cell(d.why)],
        })),
      },
      taskTable(source),
      ...wantedBlocks(source),
      {
        kind: 'chart',
        id: 'timeline',
        caption: 'The move on a time line, likely days',
        chart: timelineChart(dates.steps, theme),
      },
      {
        kind: 'paragraph',
        text: [
          'Free days, days of demurrage (in the terminal) and days of detention (outside it) are counted differently by different carriers. Ask for the tariff in writing, and count from the day it names.',
        ],
      },
      {
        kind: 'table',
        caption: 'Time, the port and a warehouse instead',
        columns: [{ label: '' }, ...plans.map((p) => ({ label: p.name, numeric: true }))],
        rows,
      },
    ],
  }
}

/** What has to be started when, by whom: the latest starts that are in time in nine cases of ten. */
function taskTable({ move, recommended }: BriefSource): Block {
  const day = (on: number): string => dayText(isoDay(on)).replaceAll(' ', '\u00a0')
  return {
    kind: 'table',
    caption: 'What to start when, so that it is done in time in nine cases of ten',
    columns: [
      { label: 'Start by' },
      { label: 'What' },
      { label: 'Who' },
      { label: 'Done by' },
      { label: 'If missed' },
    ],
    rows: tasksOf(move, recommended).map((task) => ({
      cells: [
        cell(day(task.startBySure)),
        cell(task.slack < 0 ? `${task.label} (${-task.slack} days too late already)` : task.label),
        cell(task.owner),
        cell(day(task.finishBy)),
        cell(task.ifMissed),
      ],
    })),
    fine: true,
  }
}

/** The dates a household wants: the chance and the latest loading. What would have to give has prices: `quaybook dates`. */
function wantedBlocks({ move, recommended }: BriefSource): Block[] {
  return wantedDates(move, recommended).map((wanted) => ({
    kind: 'paragraph',
    text: [
      ...wantedWords({ ...wanted, gives: [] }, move.household.facts.currency).map((text) => `${text} `),
      ...(wanted.gives.length > 0
        ? ['quaybook dates tells what would bring it forward, and at what price.']
        : []),
    ],
  }))
}

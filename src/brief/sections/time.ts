import { type ChartTheme, timelineChart } from '../../charts/specs/index.js'
import { type Task, tasksOf, waitingWords, waitOrStore } from '../../dates/index.js'
import type { Block, Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { amount } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import { exact } from '../../quantity/exact.js'
import { isoDay } from '../../time/day-number.js'
import { paperName } from '../customs-brief.js'
import type { MoveDates } from '../dates.js'
import { type BriefSource, figure, hasCell } from '../figure.js'
import type { CustomsBrief } from './customs.js'

/** Port delay against storage, and every day to keep, as a list and on a time line. */
export function timeSection(
  source: BriefSource,
  words: Words,
  theme: ChartTheme,
  dates: MoveDates,
  customs: CustomsBrief | undefined,
): Section {
  const { recommended: plan, plans } = source
  const { line } = words
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
              { text: [words.phrase(label)], trace: id },
              ...plans.map((p) => (hasCell(p, id) ? cell(figure(source, p, id)) : cell('\u2013'))),
            ],
          },
        ]
  })
  const deadlines = [
    ...dates.deadlines,
    ...(customs?.deadlines ?? []).map((d) => ({ on: d.on, what: d.what, why: d.note ?? line`customs law` })),
  ].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
  return {
    id: 'dates',
    title: words.say('annex.dates'),
    blocks: [
      {
        kind: 'table',
        caption: line`Days to keep in \u201c${plan.name}\u201d`,
        columns: [{ label: line`Day` }, { label: line`What` }, { label: line`Why then` }],
        rows: deadlines.map((d) => ({
          cells: [cell(words.locale.day(d.on).replaceAll(' ', '\u00a0')), cell(d.what), cell(d.why)],
        })),
      },
      taskTable(source, words),
      {
        kind: 'chart',
        id: 'timeline',
        caption: line`The move on a time line, likely days`,
        chart: timelineChart(dates.steps, theme),
      },
      {
        kind: 'paragraph',
        text: words.text`Free days, days of demurrage (in the terminal) and days of detention (outside it) are counted differently by different carriers. Ask for the tariff in writing, and count from the day it names.`,
      },
      ...waitingBlocks(source, words),
      {
        kind: 'table',
        caption: line`Time, the port and a warehouse instead`,
        columns: [{ label: '' }, ...plans.map((p) => ({ label: p.name, numeric: true }))],
        rows,
      },
    ],
  }
}

/** What has to be started when, by whom: the latest starts that are in time in nine cases of ten. */
function taskTable({ move, recommended }: BriefSource, words: Words): Block {
  const { line } = words
  const day = (on: number): string => words.locale.day(isoDay(on)).replaceAll(' ', '\u00a0')
  return {
    kind: 'table',
    caption: line`What to start when, so that it is done in time in nine cases of ten`,
    columns: [
      { label: line`Start by` },
      { label: line`What` },
      { label: line`Who` },
      { label: line`Done by` },
      { label: line`If missed` },
    ],
    rows: tasksOf(move, recommended).map((task) => ({
      cells: [
        cell(day(task.startBySure)),
        cell(
          task.slack < 0
            ? line`${taskName(words, task)} (${amount(exact.of(-task.slack), 'day')} too late already)`
            : taskName(words, task),
        ),
        cell(words.say(`owner.${task.owner}`)),
        cell(day(task.finishBy)),
        cell(missText(words, task)),
      ],
    })),
    fine: true,
  }
}

/** A task by its name in the language of the paper. */
const taskName = (words: Words, { label, paper }: Task): string =>
  paper ? words.say('date.paper', { paper: paperName(words, paper.label, paper.form) }) : words.phrase(label)

/** What missing a task leads to; of a paper, what it is for. */
const missText = (words: Words, { ifMissed, paper }: Task): string =>
  paper
    ? words.line`Relief or release waits for the paper: ${words.phrase(paper.why)}`
    : words.phrase(ifMissed)

/** From which day a warehouse costs less than waiting in the container; nothing for goods that share one. */
function waitingBlocks({ move, recommended }: BriefSource, words: Words): Block[] {
  const waits = waitOrStore(move, recommended)
  if (waits.length === 0) return []
  return [
    {
      kind: 'warnings',
      warnings: waits.map((wait) => ({
        severity: 'note',
        text: words.tell(waitingWords(wait, move.household.facts.currency)),
        scenarios: [],
        cells: ['time.port.first-day', 'time.storage.cost'],
      })),
    },
  ]
}

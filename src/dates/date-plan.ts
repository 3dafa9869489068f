import type { Decimal } from 'decimal.js'
import type { Move, Plan } from '../plan/move.js'
import { csvCell } from '../tables/as-data.js'
import { isoDay } from '../time/day-number.js'
import { deadlinesOf, type MoveDeadline } from './deadlines.js'
import { type Task, tasksOf } from './tasks.js'
import { type WaitOrStore, waitOrStore } from './waiting.js'
import { type WantedDate, wantedDates } from './wanted.js'

/** The dates of one plan: what to start when, what must not pass, and what the household wants. */
export interface DatePlan {
  readonly household: string
  readonly scenario: string
  readonly currency: string
  readonly asOf: string
  readonly tasks: readonly Task[]
  readonly deadlines: readonly MoveDeadline[]
  readonly wanted: readonly WantedDate[]
  readonly waiting: readonly WaitOrStore[]
}

/** Works the dates of a plan out. Throws one sentence where lead-times.csv does not hold together. */
export function datePlan(move: Move, plan: Plan): DatePlan {
  const { facts } = move.household
  return {
    household: facts.name,
    scenario: plan.name,
    currency: facts.currency,
    asOf: facts.as_of,
    tasks: tasksOf(move, plan),
    deadlines: deadlinesOf(move, plan),
    wanted: wantedDates(move, plan),
    waiting: waitOrStore(move, plan),
  }
}

const HEADER = [
  'id',
  'what',
  'owner',
  'start_by',
  'start_by_90_percent',
  'finish_by',
  'days_low',
  'days_likely',
  'days_high',
  'slack_days',
  'before',
  'if_missed',
  'cost_if_missed',
  'currency',
  'rule',
  'confirmed',
  'done_on',
]

/** tasks.csv: tasks and deadlines in one list by day, with an empty column to tick off in. */
export function tasksCsv({ tasks, deadlines, currency }: DatePlan): string {
  const amount = (cost: Decimal | undefined): string => cost?.toFixed(2) ?? ''
  const rows = [
    ...tasks.map((task) => ({
      day: task.startBySure,
      cells: [
        task.id,
        task.label,
        task.owner,
        isoDay(task.startBy),
        isoDay(task.startBySure),
        isoDay(task.finishBy),
        ...[task.days.low, task.days.likely, task.days.high, task.slack].map(String),
        task.before,
        task.ifMissed,
        amount(task.missCosts),
        task.missCosts ? currency : '',
        task.rule,
        task.confirmed,
        '',
      ],
    })),
    ...deadlines.map((deadline) => ({
      day: deadline.on,
      cells: [
        deadline.id,
        deadline.label,
        deadline.owner,
        '',
        '',
        isoDay(deadline.on),
        '',
        '',
        '',
        deadline.slack === undefined ? '' : String(deadline.slack),
        '',
        deadline.ifMissed,
        amount(deadline.missCosts),
        deadline.missCosts ? currency : '',
        deadline.rule,
        deadline.confirmed,
        '',
      ],
    })),
  ].sort((a, b) => a.day - b.day)
  return `${[HEADER, ...rows.map(({ cells }) => cells)].map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

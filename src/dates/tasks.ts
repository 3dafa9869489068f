import type { Decimal } from 'decimal.js'
import { documentsDue } from '../customs/papers/documents.js'
import { restrictions } from '../customs/papers/restrictions.js'
import type { Move, Plan } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { UnusableInput } from '../plan/refusal.js'
import type { LeadTime } from '../tables/reference.js'
import { MILESTONES } from '../tables/reference-columns.js'
import { dayNumber } from '../time/day-number.js'
import { andThen, type DayOdds, dayWithChance, exactly, pertDays } from '../time/day-odds.js'
import { cellDays } from './arrival.js'

/** How sure a start has to be: the share of cases in which the task is done in time. */
export const SURE = 0.9

/** Something to be done before a day of the move. Days are day numbers. */
export interface Task {
  readonly id: string
  readonly label: string
  /** The paper a task is to get: its parts, to be said in another language. */
  readonly paper?: TaskPaper | undefined
  readonly owner: string
  readonly days: { readonly low: number; readonly likely: number; readonly high: number }
  /** The latest start at likely durations, and the one that is in time in nine cases of ten. */
  readonly startBy: number
  readonly startBySure: number
  readonly finishBy: number
  /** What waits for it, and the day of the move that follows from the last task of this row of tasks. */
  readonly before: string
  readonly milestone: number
  readonly earliestStart: number
  /** Days between the earliest start and the latest sure one; below zero it is too late. */
  readonly slack: number
  readonly ifMissed: string
  readonly missCosts?: Decimal | undefined
  readonly rule: string
  readonly confirmed: string
}

/** A paper by its parts. */
export interface TaskPaper {
  readonly label: string
  readonly form: string | undefined
  readonly why: string
}

interface Step {
  readonly id: string
  readonly label: string
  readonly paper?: TaskPaper
  readonly owner: string
  readonly odds: DayOdds
  readonly days: Task['days']
  readonly before: string
  readonly beforeLabel: string
  readonly ifMissed: string
  readonly costCell: string | undefined
  readonly rule: string
  readonly confirmed: string
}

/** The days of a plan that tasks lead up to, by their words in lead-times.csv. */
export function milestones(move: Move, plan: Plan): ReadonlyMap<string, number> {
  const cell = (id: string): number => plan.sheet.cells.get(`time.on.${id}`)?.value.toNumber() ?? 0
  const first = (days: readonly string[]): number => Math.min(...days.map(dayNumber), Number.MAX_SAFE_INTEGER)
  return new Map([
    ['leave', first(move.household.people.map((p) => p.leaves_on))],
    ['arrive', first(move.household.people.map((p) => p.arrives_on))],
    // A share of a container is booked before the goods are fetched, however long it then waits for its fill.
    [
      'cut-off',
      Math.min(
        cell('cut-off'),
        cell('loading') + Math.ceil(plan.inputs.numbers.get('time.to-port-days')?.likely.toNumber() ?? 0),
      ),
    ],
    ...['loading', 'sailing', 'discharge', 'release', 'delivery'].map((id) => [id, cell(id)] as const),
  ])
}

const SAYS: Readonly<Record<string, string>> = {
  leave: 'leaving',
  arrive: 'arriving at the destination',
  loading: 'loading',
  'cut-off': 'the closing date',
  sailing: 'sailing',
  discharge: 'the ship’s arrival',
  release: 'release',
  delivery: 'delivery',
}

/**
 * Every task that leads up to a day of the move, worked back from that day: latest starts, slack against today, and
 * what missing it leads to. Earliest first.
 *
 * Throws one sentence where lead-times.csv names what is neither a row nor a day of the move, or goes round.
 */
export function tasksOf(move: Move, plan: Plan): Task[] {
  const today = dayNumber(move.household.facts.as_of)
  const days = new Map(milestones(move, plan))
  const steps = [...stepsOf(move, plan), ...papersOf(move, plan, days)]
  const byId = new Map(steps.map((step) => [step.id, step]))
  const waitsFor = (step: Step): { path: readonly Step[]; milestone: number } => {
    const path: Step[] = []
    for (let at: Step | undefined = step; at; at = byId.get(at.before)) {
      if (path.includes(at))
        throw new UnusableInput(`lead-times.csv: ${step.id} waits for itself by way of ${at.before}`)
      path.push(at)
    }
    const last = path.at(-1)?.before ?? ''
    const milestone = days.get(last)
    if (milestone === undefined) {
      throw new UnusableInput(
        `lead-times.csv: ${step.id} is before "${last}"; there are: ${[...MILESTONES, ...byId.keys()].join(', ')}`,
      )
    }
    return { path, milestone }
  }
  const starts = new Map<string, number>()
  const earliest = (id: string): number => {
    const known = starts.get(id)
    if (known !== undefined) return known
    const done = steps
      .filter((step) => step.before === id)
      .map((step) => earliest(step.id) + Math.ceil(step.days.likely))
    const start = Math.max(today, ...done)
    starts.set(id, start)
    return start
  }
  const tasks = steps.map((step): Task => {
    const { path, milestone } = waitsFor(step)
    const after = path.slice(1)
    const finishBy = milestone - total(after.map((each) => each.days.likely))
    const startBy = finishBy - Math.ceil(step.days.likely)
    const left = path.map((each) => each.odds).reduce(andThen, exactly(0))
    // Where the most is little more than the likely, the likely days are the more careful figure.
    const startBySure = Math.min(startBy, milestone - dayWithChance(left, SURE))
    const earliestStart = earliest(step.id)
    const { id, label, paper, owner, ifMissed, rule, confirmed } = step
    return {
      ...{ id, label, paper, owner, ifMissed, rule, confirmed, startBy, startBySure, finishBy, milestone },
      days: step.days,
      before: step.beforeLabel,
      earliestStart,
      slack: startBySure - earliestStart,
      missCosts: step.costCell === undefined ? undefined : plan.sheet.cells.get(step.costCell)?.value,
    }
  })
  return tasks.sort((a, b) => a.startBySure - b.startBySure || (a.id < b.id ? -1 : 1))
}

const total = (days: readonly number[]): number => days.reduce((sum, d) => sum + Math.ceil(d), 0)

/**
 * The earliest day on which the goods can be loaded if everything that must come first is started today, at likely
 * durations.
 */
export function earliestLoading(move: Move, plan: Plan): number {
  const today = dayNumber(move.household.facts.as_of)
  const toCutOff = milestones(move, plan)
  const gap = (toCutOff.get('cut-off') ?? 0) - (toCutOff.get('loading') ?? 0)
  const done = tasksOf(move, plan).map((task) => {
    const finished = task.earliestStart + Math.ceil(task.days.likely)
    if (task.before === SAYS.loading) return finished
    return task.before === SAYS['cut-off'] ? finished - gap : today
  })
  return Math.max(today, ...done)
}

/** The rows of lead-times.csv that this plan has a use for. */
function stepsOf(move: Move, plan: Plan): Step[] {
  const { leadTimes } = move.reference
  const who = providers(move, plan)
  const uses = leadTimes.filter((row) => row.before !== 'due' && needed(move, plan, row))
  const used = new Set(uses.map((row) => row.id))
  const labels = new Map(leadTimes.map((row) => [row.id, row.label]))
  /** A row that this plan has no use for hands on what waits for it. */
  const waiting = (before: string): string => {
    const row = used.has(before) ? undefined : leadTimes.find((each) => each.id === before)
    return row ? waiting(row.before) : before
  }
  return uses.map((row) => {
    const odds = oddsOf(plan, row)
    const before = waiting(row.before)
    return {
      id: row.id,
      label: row.label,
      owner: ownerOf(row, who.get('packing')),
      ...odds,
      before,
      beforeLabel: SAYS[before] ?? labels.get(before) ?? before,
      ifMissed: row.if_missed,
      costCell: row.cost_cell,
      rule: row.source,
      confirmed: row.confirmed,
    }
  })
}

const ownerOf = (row: LeadTime, packing: string | undefined): string =>
  row.owner !== 'packer' ? row.owner : packing === 'mover' || packing === 'employer' ? 'mover' : 'household'

function oddsOf(plan: Plan, row: LeadTime): Pick<Step, 'odds' | 'days'> {
  if (row.days_cell !== undefined) {
    const likely = plan.sheet.cells.get(row.days_cell)?.value
    const range = plan.range.cells.get(row.days_cell)?.value
    if (!likely)
      throw new UnusableInput(
        `lead-times.csv: ${row.id} takes its days from ${row.days_cell}, which is no cell`,
      )
    const number = (value: Decimal | undefined) => (value ?? likely).toNumber()
    const days = { low: number(range?.low), likely: likely.toNumber(), high: number(range?.high) }
    return { days, odds: cellDays(plan, row.days_cell) }
  }
  const likely = row.likely?.toNumber() ?? 0
  const days = { low: row.low?.toNumber() ?? likely, likely, high: row.high?.toNumber() ?? likely }
  return { days, odds: pertDays(days.low, days.likely, days.high) }
}

/** How documents.csv names a list that somebody has to certify before the goods leave. */
const STAMPED = /\b(?:list|inventory)\b.*\b(?:stamped|certified)\b/

function needed(move: Move, plan: Plan, row: LeadTime): boolean {
  switch (row.only_for) {
    case 'vehicle':
      return plan.shipment.vehicles.length > 0
    case 'container':
      return plan.sheet.choices.get('transport') !== 'groupage'
    case 'cover':
      return plan.inputs.choices.get('cover')?.value !== 'none'
    case 'storage':
      return plan.inputs.numbers.get('storage.months')?.likely.gt(0) ?? false
    case 'quarantine':
      return restrictions(move.reference.customs, plan.sheet.customs.move).some(
        ({ rule }) => rule.kind === 'quarantine',
      )
    case 'stamp':
      return documentsDue(move.reference.customs, plan.sheet.customs.move, move.household.facts.as_of).some(
        ({ label }) => STAMPED.test(label),
      )
    default:
      return true
  }
}

/** Papers with a day of their own, each with the time it takes to get. */
function papersOf(move: Move, plan: Plan, days: Map<string, number>): Step[] {
  const row = move.reference.leadTimes.find((each) => each.before === 'due')
  if (!row) return []
  const odds = oddsOf(plan, row)
  return documentsDue(move.reference.customs, plan.sheet.customs.move, move.household.facts.as_of).flatMap(
    ({ row: paper, due, label, form, why }): Step[] => {
      // The last day to import with relief is a deadline, not a paper.
      if (due === undefined || paper.id.endsWith('last-day')) return []
      const day = `due ${due}`
      days.set(day, dayNumber(due))
      return [
        {
          id: `paper.${paper.id}`,
          label: `Paper: ${label}${form === undefined ? '' : ` (${form})`}`,
          paper: { label, form, why },
          owner: row.owner,
          ...odds,
          before: day,
          beforeLabel: 'the day it has to be there',
          ifMissed: `${row.if_missed}: ${why}`,
          costCell: row.cost_cell,
          rule: paper.source,
          confirmed: paper.confirmed,
        },
      ]
    },
  )
}

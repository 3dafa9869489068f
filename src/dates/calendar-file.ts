import ical, { ICalAlarmType, ICalCalendarMethod } from 'ical-generator'
import { isoDay } from '../time/day-number.js'
import type { DatePlan } from './date-plan.js'

const MS_A_MINUTE = 60_000
const SECONDS_A_DAY = 86_400
/** Days before the day itself on which a calendar program speaks up. */
const WARN_TASK = 3
const WARN_DEADLINE = 7

/**
 * The dates of a plan as an iCalendar file (RFC 5545): a whole-day event for each task's latest sure start and for
 * each deadline, with an alarm. An event keeps its UID whatever its day is, and a later file has a higher SEQUENCE,
 * so that a second import moves the events instead of doubling them.
 *
 * @param made when the file is written
 */
export function calendarFile(plan: DatePlan, made: Date): string {
  const { household, scenario } = plan
  const calendar = ical({
    name: nameText(`${household}: ${scenario}`),
    prodId: { company: 'quaybook', product: 'dates', language: 'EN' },
    method: ICalCalendarMethod.PUBLISH,
  })
  const sequence = Math.floor(made.getTime() / MS_A_MINUTE)
  const event = (
    id: string,
    day: number,
    summary: string,
    says: readonly string[],
    owner: string,
    warnDays: number,
  ) => {
    const start = new Date(`${isoDay(day)}T00:00:00Z`)
    calendar.createEvent({
      id: `${uidPart(household)}-${uidPart(id)}@quaybook.invalid`,
      start,
      allDay: true,
      stamp: made,
      sequence,
      summary,
      description: says.filter((text) => text !== '').join('\n'),
      categories: [{ name: owner }],
      alarms: [{ type: ICalAlarmType.display, trigger: warnDays * SECONDS_A_DAY, description: summary }],
    })
  }
  for (const task of plan.tasks) {
    event(
      `task-${task.id}`,
      task.startBySure,
      `Start by today: ${task.label}`,
      [
        `Finish by ${isoDay(task.finishBy)}, before ${task.before}. ${task.days.low} to ${task.days.high} days.`,
        task.slack < 0 ? `Too late by ${-task.slack} days on the day of the plan.` : '',
        `If missed: ${task.ifMissed}.`,
        `Rule: ${task.rule} (${task.confirmed}).`,
      ],
      task.owner,
      WARN_TASK,
    )
  }
  for (const deadline of plan.deadlines) {
    event(
      `deadline-${deadline.id}`,
      deadline.on,
      deadline.label,
      [`If missed: ${deadline.ifMissed}.`, `Rule: ${deadline.rule} (${deadline.confirmed}).`],
      deadline.owner,
      WARN_DEADLINE,
    )
  }
  return `${calendar.toString()}\r\n`
}

/** The calendar's name as a TEXT value (RFC 5545, 3.3.11): the library writes it as it is given, on one line or more. */
const nameText = (name: string): string => name.replace(/\s+/g, ' ').replace(/[\\;,]/g, '\\$&')

/** A name as a part of a UID: letters and digits of ASCII, hyphens between. */
const uidPart = (name: string): string =>
  name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')

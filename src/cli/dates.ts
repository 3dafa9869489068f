import { join } from 'node:path'
import { calendarFile, type DatePlan, datePlan, tasksCsv, waitingWords, wantedWords } from '../dates/index.js'
import { replaceFile } from '../paper/replace-file.js'
import { ENGLISH_WORDS } from '../paper/words.js'
import { isoDay } from '../time/day-number.js'
import { type Command, namedPlan, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'
import { textTable } from './text-table.js'

export const dates: Command = {
  name: 'dates',
  words: '[DIR]',
  says: 'plans the dates back from the move and the day wanted; writes tasks.csv and dates.ics for a calendar',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where both files go; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario; the first one otherwise' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const plan = datePlan(move, namedPlan(plans, args.text('scenario')))
    const paths = { tasks: join(outFolder(args), 'tasks.csv'), calendar: join(outFolder(args), 'dates.ics') }
    await replaceFile(paths.tasks, tasksCsv(plan))
    await replaceFile(paths.calendar, calendarFile(plan, new Date()))
    io.out(args.flags.has('json') ? JSON.stringify(plan, null, 2) : datesText(plan))
    io.err(`${paths.tasks}\n${paths.calendar}`)
    return 0
  },
}

/** The dates of a plan for a terminal. */
function datesText(plan: DatePlan): string {
  const { wanted, waiting, currency } = plan
  const slack = (days: number | undefined): string => (days === undefined ? '' : String(days))
  const rows = [
    ...plan.tasks.map((task) => ({
      day: task.startBySure,
      cells: [
        isoDay(task.startBySure),
        `start: ${task.label}`,
        task.owner,
        isoDay(task.finishBy),
        slack(task.slack),
      ],
    })),
    ...plan.deadlines.map((deadline) => ({
      day: deadline.on,
      cells: [
        isoDay(deadline.on),
        deadline.label,
        deadline.owner,
        isoDay(deadline.on),
        slack(deadline.slack),
      ],
    })),
  ].sort((a, b) => a.day - b.day)
  return [
    `${plan.household}, “${plan.scenario}”, as of ${plan.asOf}. Starts are the latest that are in time in nine cases of ten; slack counts from today, or from the day planned.`,
    '',
    ...(wanted.length > 0
      ? wanted.flatMap((each) => [...wantedWords(each, currency).map(ENGLISH_WORDS.tell), ''])
      : [
          'No wanted date: write goods_wanted_on or home_wanted_on into household.csv to plan back from it.',
          '',
        ]),
    textTable(
      ['day', 'what', 'owner', 'done by', 'slack'],
      rows.map(({ cells }) => cells),
    ),
    '',
    ...waiting.map((each) => ENGLISH_WORDS.tell(waitingWords(each, currency))),
  ].join('\n')
}

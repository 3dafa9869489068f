import { type Explanation, explain } from '../analysis/index.js'
import { isDate } from '../paper/format.js'
import { recordedSheet } from '../plan/index.js'
import { dayIn } from '../time/day-number.js'
import { UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions } from './command.js'

export const explainCommand: Command = {
  name: 'explain',
  words: 'ID [DIR]',
  says: 'shows where a figure comes from: its formula, what that is made of, and the source of each input',
  options: {
    ...planOptions,
    scenario: { value: 'NAME', says: 'the scenario; the first one otherwise' },
    depth: { value: 'N', says: 'how many steps down; all otherwise' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const [id, ...rest] = args.words
    if (id === undefined)
      throw new UsageError('which figure? quaybook explain ID, as in quaybook explain cost.total')
    const depth = args.text('depth')
    if (depth !== undefined && !/^\d+$/.test(depth))
      throw new UsageError(`--depth ${depth}: write a whole number`)
    const folder = householdFolder({ ...args, words: rest })
    const { move, plans } = await openPlans(args, folder)
    const plan = namedPlan(plans, args.text('scenario'))
    const found = explain(recordedSheet(move, plan), id)
    io.out(
      args.flags.has('json')
        ? JSON.stringify(found, null, 2)
        : explanationText(found, Number(depth ?? Number.POSITIVE_INFINITY)),
    )
    return 0
  },
}

function explanationText(e: Explanation, depth: number, indent = ''): string {
  const origin = e.source === undefined ? '' : `  (${e.source}; ${e.confirmed})`
  const value = isDate(e.unit)
    ? (dayIn(e.value) ?? 'no such day')
    : `${e.value.toSignificantDigits(12)} ${e.unit}`
  const head = `${indent}${e.id} = ${value}  ${e.label}${origin}`
  const formula = e.formula === undefined ? [] : [`${indent}  = ${e.formula}`]
  const below = depth > 0 ? e.from.map((inner) => explanationText(inner, depth - 1, `${indent}    `)) : []
  return [head, ...formula, ...below].join('\n')
}

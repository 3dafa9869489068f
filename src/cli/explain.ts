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
    const sheet = recordedSheet(move, plan)
    io.out(
      args.flags.has('json')
        ? JSON.stringify(explain(sheet, id), null, 2)
        : explanationText(
            explain(sheet, id, 'as a worksheet', {
              ...(depth === undefined ? {} : { depth: Number(depth) }),
              ...(/^(volume|mass|value|line)\./.test(id) ? {} : { stopsAt: isListOfThings }),
            }),
          ),
    )
    return 0
  },
}

function explanationText(e: Explanation, indent = ''): string {
  const origin = e.source === undefined ? '' : `  (${e.source}; ${e.confirmed})`
  const head = `${indent}${e.id} = ${valueText(e)}  ${e.label}${origin}`
  const inner = `${indent}    `
  if (e.ways) {
    const { by, each } = e.ways
    const listed = each.map(
      ({ id, value, taken }) => `${inner}${taken ? '→' : ' '} ${id} = ${value.toSignificantDigits(12)}`,
    )
    if (by === e.id) return [head, `${indent}  the least that works of:`, ...listed].join('\n')
    const taken = e.from.map((way) => explanationText(way, inner))
    const which = each.find((way) => way.taken)?.id ?? 'none'
    return [head, `${indent}  as ${which}, one of ${each.length} ways (explain ${by})`, ...taken].join('\n')
  }
  if (isListOfThings(e.id) && e.from.length === 0 && e.formula !== undefined)
    return `${head}  (explain ${e.id})`
  const { shown, zeros } = worksheetLines(e)
  const first = shown.filter(({ toldBefore }) => !toldBefore)
  const again = shown.filter(({ toldBefore }) => toldBefore).map((line) => `${line.id} = ${valueText(line)}`)
  const said = isLongSum(e) ? `the sum of ${e.from.length} lines` : e.formula
  return [
    head,
    ...(said === undefined ? [] : [`${indent}  = ${said}`]),
    ...first.map((line) => explanationText(line, inner)),
    ...(again.length > 0 ? [`${inner}as above: ${again.join(', ')}`] : []),
    ...(zeros.length > 0 ? [`${inner}at 0: ${zeros.join(', ')}`] : []),
  ].join('\n')
}

/** Sums over the inventory: a bill tells them by their amount, as it would name the list, and not thing by thing. */
const isListOfThings = (id: string): boolean =>
  /^(volume|mass)\.room\.|^(volume\.(to-pack|in-cartons|crated)|value\.)/.test(id)

/** A sum of more lines than this is told by its lines alone, and those that come to 0 by their ids. */
const LONG_SUM = 5

const isLongSum = ({ formula, from }: Explanation): boolean =>
  from.length > LONG_SUM && formula?.startsWith('sum(') === true

function worksheetLines(e: Explanation): {
  readonly shown: readonly Explanation[]
  readonly zeros: readonly string[]
} {
  const { from } = e
  if (!isLongSum(e)) return { shown: from, zeros: [] }
  const zeros = from.filter(({ value }) => value.isZero())
  return { shown: from.filter((line) => !zeros.includes(line)), zeros: zeros.map(({ id }) => id) }
}

const valueText = ({ unit, value }: Explanation): string => {
  if (isDate(unit)) return dayIn(value) ?? 'no such day'
  if (/^[A-Z]{3}$/.test(unit)) return `${value.toFixed(2)} ${unit}`
  const shown = value.abs().lt(1) ? value.toSignificantDigits(4) : value.toDecimalPlaces(4)
  return unit === '1' ? shown.toString() : `${shown} ${unit}`
}

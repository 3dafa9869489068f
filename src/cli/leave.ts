import { join } from 'node:path'
import { recommend } from '../analysis/index.js'
import { briefPictures } from '../brief/index.js'
import { chartTheme } from '../charts/theme-file.js'
import {
  type LeaveSet,
  leastLossSolver,
  leaveCurve,
  leaveItems,
  leaveSections,
  leaveSets,
  openLeaveFigures,
  planWithout,
  type SetPacked,
  setSentence,
} from '../leave/index.js'
import { packedInto } from '../load/packed-plans.js'
import { keepPackedRooms, readPackedRooms } from '../load/packed-rooms-file.js'
import { numberText } from '../paper/format.js'
import { paperHtml } from '../paper/html.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import { day } from '../paper/sentence.js'
import { ENGLISH_WORDS } from '../paper/words.js'
import { wordsIn } from '../paper/words-file.js'
import type { Move, Plan } from '../plan/index.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'
import { textTable } from './text-table.js'

/** How many things the command prints; the page has all. */
const SHOWN = 15

export const leaveCommand: Command = {
  name: 'leave',
  words: '[DIR]',
  says: 'ship, sell or leave: what each thing costs to ship against selling and replacing it, and the set to leave for a smaller container',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where the page goes; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario; the recommended one otherwise' },
    'sale-share': {
      value: 'N',
      says: 'share of today’s value that a sale before the move brings, as in 0.5',
    },
    language: { value: 'en|fr|es|de', says: 'language of the page; English otherwise' },
    strings: { value: 'FILE', says: 'texts of another language: a CSV with the columns id and the language' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const folder = householdFolder(args)
    const { move, plans } = await openPlans(args, folder)
    const words = await wordsIn(args.text('language'), args.text('strings'))
    const name = args.text('scenario')
    const plan = name === undefined ? recommend(move, plans).plan : namedPlan(plans, name)
    const figures = openLeaveFigures()
    const saleShare = shareOf(args, figures.saleShare)
    const items = leaveItems(move, plan, saleShare)
    const solve = await leastLossSolver()
    const sets = leaveSets(move, plan, items, solve)
    const curve = leaveCurve(move, plan, items, solve, figures.curvePoints)
    const [best] = sets
    const packed = best && (await packedSet(folder, move, plan, best))
    const { facts } = move.household
    const { line, locale } = words
    const paper = {
      kind: line`Ship, sell or leave`,
      household: facts.name,
      from: locale.place(facts.origin_place, facts.origin_country),
      to: locale.place(facts.destination_place, facts.destination_country),
      stated: line`Scenario “${plan.name}”. Prices and rules as of ${day(facts.as_of)}. Amounts in ${facts.currency}.`,
      recommended: plan.name,
      sections: leaveSections(move, words, { items, sets, packed, curve, saleShare }, chartTheme()),
    }
    const path = join(outFolder(args), 'leave.html')
    await replaceFile(
      path,
      paperHtml(paper, {
        css: pageCss('brief'),
        words,
        copy: 'client',
        pictures: await briefPictures(paper),
      }),
    )
    if (args.flags.has('json')) {
      io.out(JSON.stringify({ scenario: plan.name, items, sets, packed, curve }, null, 2))
      return 0
    }
    const worth = items
      .filter(({ gain, advice }) => gain?.gt(0) && advice !== 'must travel')
      .sort((a, b) => (b.gain && a.gain ? b.gain.cmp(a.gain) : 0))
    const rows = worth
      .slice(0, SHOWN)
      .map(({ id, label, advice, marginal, resale, replacement, gain }) => [
        `${id} ${label}`,
        advice,
        numberText(marginal, 0),
        resale ? numberText(resale, 0) : '',
        replacement ? numberText(replacement, 0) : '',
        gain ? numberText(gain, 0) : '',
      ])
    io.out(
      rows.length > 0
        ? `Better left than shipped, each alone (${facts.currency})\n${textTable(['', 'advice', 'shipping', 'sells for', 'replacing', 'gains'], rows)}`
        : 'Nothing is better left than shipped, each thing by itself.',
    )
    for (const set of sets)
      io.out(`\n${ENGLISH_WORDS.tell(setSentence(move, set, set === best ? packed : undefined))}`)
    if (best)
      io.out(
        `\nTo plan with it: ${best.items.map(({ id }) => `--set take.${id}=leave`).join(' ')} --set transport=${best.transport}`,
      )
    io.out(`\n${path}`)
    return 0
  },
}

/** The container of a set packed piece by piece without it; what is found is kept in the household's folder. */
async function packedSet(folder: string, move: Move, plan: Plan, set: LeaveSet): Promise<SetPacked> {
  const rooms = await readPackedRooms(folder)
  const left = planWithout(
    move,
    plan,
    set.items.map(({ id }) => id),
    set.transport,
  )
  const packed = packedInto(move, left, set.transport, rooms, (text) => process.stderr.write(`${text}\n`))
  await keepPackedRooms(folder, rooms)
  return packed
}

function shareOf(args: Args, otherwise: number): number {
  const text = args.text('sale-share')
  if (text === undefined) return otherwise
  const share = Number(text)
  if (text !== '' && share >= 0 && share <= 1) return share
  throw new UsageError(`--sale-share ${text}: write a share from 0 to 1, as in 0.5`)
}

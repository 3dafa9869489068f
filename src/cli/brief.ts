import { recommend } from '../analysis/index.js'
import { annexNames, chosenAnnexes, senderOf, writeBrief } from '../brief/index.js'
import { type LoadResult, loadPlan } from '../load/index.js'
import { keptOrFound } from '../load/kept-loads-file.js'
import { openComparison } from '../movers/index.js'
import { chromiumPath } from '../paper/print.js'
import { wordsIn } from '../paper/words-file.js'
import type { Move, Plan } from '../plan/index.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, MOST_ON_PAPER, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'

export const brief: Command = {
  name: 'brief',
  words: '[DIR]',
  says: 'writes the client brief: brief.html and brief.pdf to send, annexes.html to look up, brief.json for other programs',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    recommend: {
      value: 'NAME',
      says: 'the scenario to recommend; the one that asks least of the household otherwise',
    },
    annex: {
      value: 'a,b|all|none',
      says: `annexes to put behind the brief, the others go into annexes.html: ${annexNames.join(', ')}`,
    },
    language: { value: 'en|fr|es|de', says: 'language of the brief; English otherwise' },
    strings: { value: 'FILE', says: 'texts of another language: a CSV with the columns id and the language' },
    copy: { value: 'client|analyst', says: 'the analyst’s copy names the cell of every figure' },
    load: {
      value: 'SECONDS',
      says: 'show the load plan of the recommended scenario, to be turned: the one that was found last, else search so long',
    },
    'no-pdf': { says: 'write no PDF, even where a Chromium is found' },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args, householdFolder(args), MOST_ON_PAPER)
    const recommendation = recommend(move, plans, args.text('recommend'))
    const folder = householdFolder(args)
    const sender = senderOf(folder)
    const movers = openComparison(folder, move, recommendation.plan)
    const chromium = args.flags.has('no-pdf') ? undefined : chromiumPath()
    const paths = await writeBrief(outFolder(args), move, plans, {
      recommendation,
      words: await wordsIn(args.text('language'), args.text('strings')),
      copy: copyOf(args.text('copy')),
      annexes: chosenAnnexes(args.text('annex') ?? 'none'),
      ...(sender ? { sender } : {}),
      ...(movers ? { movers } : {}),
      ...(chromium === undefined ? {} : { chromium }),
      ...(await packed(args, move, recommendation.plan)),
    })
    io.out(paths.join('\n'))
    return 0
  },
}

function copyOf(text = 'client'): 'client' | 'analyst' {
  if (text === 'client' || text === 'analyst') return text
  throw new UsageError(`--copy ${text}: write client or analyst`)
}

/** The load plan that was kept last for these goods, or one that is looked for now. */
async function packed(args: Args, move: Move, plan: Plan): Promise<{ load?: LoadResult }> {
  const asked = args.text('load')
  if (asked === undefined) return {}
  const seconds = Number(asked)
  if (!(seconds > 0)) throw new UsageError(`--load ${asked}: write the seconds to search, as in --load 10`)
  const load = await keptOrFound(householdFolder(args), move, plan, {}, async () => {
    const result = loadPlan(move, plan, { seconds, now: () => performance.now() })
    return { effort: { work: result.workAllowed, seed: 1, searches: 1 }, result }
  })
  return { load }
}

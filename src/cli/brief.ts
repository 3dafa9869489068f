import { recommend } from '../analysis/index.js'
import { writeBrief } from '../brief/index.js'
import { type LoadResult, loadPlan } from '../load/index.js'
import type { Move, Plan } from '../plan/index.js'
import { type Args, UsageError } from './args.js'
import { type Command, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'

export const brief: Command = {
  name: 'brief',
  words: '[DIR]',
  says: 'writes the client brief, brief.html to read and print, brief.json for other programs',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    recommend: {
      value: 'NAME',
      says: 'the scenario to recommend; the one that asks least of the household otherwise',
    },
    load: {
      value: 'SECONDS',
      says: 'pack the recommended scenario piece by piece and show it, to be turned',
    },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const recommendation = recommend(move, plans, args.text('recommend'))
    const load = packed(args, move, recommendation.plan)
    const { html, json } = await writeBrief(outFolder(args), move, plans, { recommendation, ...load })
    io.out(`${html}\n${json}`)
    return 0
  },
}

function packed(args: Args, move: Move, plan: Plan): { load?: LoadResult } {
  const asked = args.text('load')
  if (asked === undefined) return {}
  const seconds = Number(asked)
  if (!(seconds > 0)) throw new UsageError(`--load ${asked}: write the seconds to search, as in --load 10`)
  return { load: loadPlan(move, plan, { seconds, now: () => performance.now() }) }
}

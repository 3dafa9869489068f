import { join, relative } from 'node:path'
import { compare, recommend, totalRanges } from '../analysis/index.js'
import { senderOf, writeBrief } from '../brief/index.js'
import { writeExplore } from '../explore/index.js'
import { openComparison } from '../movers/index.js'
import { COMMAND } from '../paper/command-line.js'
import { chromiumPath } from '../paper/print.js'
import { type Command, householdFolder, MOST_ON_PAPER, openPlans, planOptions } from './command.js'
import { comparisonText, recommendationText } from './compare.js'
import { notebookOptions, outFolder, report, runAll } from './notebooks.js'

export const start: Command = {
  name: 'start',
  words: '[DIR]',
  says: 'the whole job: checks the files, runs the notebooks, writes the brief, compares the scenarios',
  options: { ...planOptions, ...notebookOptions },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args, householdFolder(args), MOST_ON_PAPER)
    const out = outFolder(args)
    const recommendation = recommend(move, plans)
    const folder = householdFolder(args)
    const page = join(out, 'explore.html')
    const papers = async (): Promise<readonly string[]> => {
      const sender = senderOf(folder)
      const movers = openComparison(folder, move, recommendation.plan)
      const chromium = chromiumPath()
      const written = await writeBrief(out, move, plans, {
        recommendation,
        ...(sender ? { sender } : {}),
        ...(movers ? { movers } : {}),
        ...(chromium === undefined ? {} : { chromium }),
      })
      await writeExplore(page, move, plans, {
        sources: { household: folder, reference: args.text('reference') },
      })
      return written
    }
    // The notebooks run in kernels and the browser prints: neither waits for the other. Both end before a fault of one is told.
    const both = [runAll(args, io, join(out, 'notebooks')), papers()] as const
    await Promise.allSettled(both)
    const [runs, written] = await Promise.all(both)
    const ranges = totalRanges(move, recommendation.plans)
    const shown = (path: string) => `  ${relative('.', path)}`
    io.out(
      `\n${move.household.facts.name}: ${move.household.facts.origin_place} to ${move.household.facts.destination_place}\n`,
    )
    io.out(comparisonText(move, recommendation.plans, compare(recommendation.plans), ranges))
    io.out(`\n${recommendationText(recommendation)}`)
    io.out(
      `\nThe brief to send, its annexes, and every figure for other programs:\n${written.map(shown).join('\n')}\nA page to move inputs on and see the totals follow:\n${shown(page)}`,
    )
    io.out(
      `The notebooks, executed:\n${runs.map((run) => shown(run.output.replace(/\.ipynb$/, '.html'))).join('\n')}`,
    )
    io.out(`Where a figure comes from: ${COMMAND} explain ID. Change an input: npm start -- --set id=value`)
    return report(runs, io)
  },
}

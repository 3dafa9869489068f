import { isUnlikely, type Problem, problemLines } from '../tables/problem.js'
import { type Command, householdFolder, openPlans, planOptions, Refusal } from './command.js'

export const check: Command = {
  name: 'check',
  words: '[DIR]',
  says: 'reads a household’s files and says what in them is wrong or unlikely; writes nothing',
  options: planOptions,
  async run(args, io) {
    const folder = householdFolder(args)
    try {
      const { move, plans } = await openPlans(args)
      const { inventory, people, vehicles } = move.household
      for (const line of problemLines(move.questions)) io.out(line)
      io.out(
        `${folder}: ${inventory.length} inventory lines, ${people.length} people, ` +
          `${vehicles.length} vehicles, ${plans.length} scenarios.`,
      )
      io.out(counts(move.questions, move.filledCells))
      return 0
    } catch (error) {
      if (!(error instanceof Refusal)) throw error
      for (const line of problemLines(error.problems)) io.err(line)
      io.err(`${counts(error.problems, error.filledCells)} Nothing was calculated or written.`)
      return 2
    }
  },
}

/** How a check ends: what is wrong, what is unlikely, and in how many cells nothing was found. */
function counts(problems: readonly Problem[], filled: number | undefined): string {
  const unlikely = problems.filter(isUnlikely).length
  const wrong = problems.length - unlikely
  const fine =
    filled === undefined ? 'the rest not looked at' : `${Math.max(0, filled - problems.length)} cells fine`
  return `${wrong} wrong, ${unlikely} unlikely, ${fine}.`
}

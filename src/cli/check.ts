import { planScenarios } from '../plan/index.js'
import { countOf, isUnlikely, type Problem, problemLines } from '../tables/problem.js'
import { type Command, householdFolder, openMove, planOptions, Refusal, setChanges } from './command.js'

export const check: Command = {
  name: 'check',
  words: '[DIR]',
  says: 'reads a household’s files and says what in them is wrong or unlikely; writes nothing',
  options: planOptions,
  async run(args, io) {
    const folder = householdFolder(args)
    try {
      const move = await openMove(folder, args)
      const plans = planScenarios(move, setChanges(args))
      if (!plans.ok) throw new Refusal(plans.problems, move.filledCells)
      const { inventory, people, vehicles } = move.household
      for (const line of problemLines(move.questions)) io.out(line)
      io.out(
        `${folder}: ${counted(inventory.length, 'inventory line')}, ${people.length} ${people.length === 1 ? 'person' : 'people'}, ` +
          `${counted(vehicles.length, 'vehicle')}, ${counted(plans.value.length, 'scenario')}.`,
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

const counted = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`

/** How a check ends: what is wrong, what is unlikely, and in how many cells nothing was found. */
function counts(problems: readonly Problem[], filled: number | undefined): string {
  const unlikely = countOf(problems.filter(isUnlikely))
  const wrong = countOf(problems) - unlikely
  const fine =
    filled === undefined ? 'the rest not looked at' : `${Math.max(0, filled - wrong - unlikely)} cells fine`
  return `${wrong} wrong, ${unlikely} unlikely, ${fine}.`
}

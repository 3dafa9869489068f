import { type Command, householdFolder, openPlans, planOptions } from './command.js'

export const check: Command = {
  name: 'check',
  words: '[DIR]',
  says: 'reads a household’s files and says everything that is wrong in them; writes nothing',
  options: planOptions,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const { inventory, people, vehicles } = move.household
    io.out(
      `${householdFolder(args)}: ${inventory.length} inventory lines, ${people.length} people, ` +
        `${vehicles.length} vehicles, ${plans.length} scenarios; no problems.`,
    )
    return 0
  },
}

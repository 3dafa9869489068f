import { join } from 'node:path'
import { writeExplore } from '../explore/index.js'
import {
  type Command,
  householdFolder,
  MOST_ON_SCREEN,
  openPlans,
  planOptions,
  setChanges,
} from './command.js'
import { outFolder } from './notebooks.js'

export const explore: Command = {
  name: 'explore',
  words: '[DIR]',
  says: 'writes explore.html: choose otherwise or move inputs and see the totals of all scenarios follow, in any browser',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    inputs: { value: 'id,id', says: 'show these inputs instead of those that move the total most' },
    'without-lists': { says: 'leave the household’s own lists out of the file: then only numbers move' },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args, householdFolder(args), MOST_ON_SCREEN)
    const inputs = args
      .text('inputs')
      ?.split(',')
      .map((id) => id.trim())
      .filter((id) => id !== '')
    const [folder] = args.words
    io.out(
      await writeExplore(join(outFolder(args), 'explore.html'), move, plans, {
        ...(folder === undefined ? {} : { folder }),
        ...(inputs === undefined ? {} : { inputs }),
        set: setChanges(args),
        ...(args.flags.has('without-lists')
          ? {}
          : { sources: { household: householdFolder(args), reference: args.text('reference') } }),
      }),
    )
    return 0
  },
}

import { writeBrief } from '../brief/index.js'
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
  },
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const recommend = args.text('recommend')
    const { html, json } = await writeBrief(
      outFolder(args),
      move,
      plans,
      recommend === undefined ? {} : { recommend },
    )
    io.out(`${html}\n${json}`)
    return 0
  },
}

import { join } from 'node:path'
import { enquiryFiles } from '../brief/index.js'
import { replaceFile } from '../paper/replace-file.js'
import { type Command, namedPlan, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'

export const enquiry: Command = {
  name: 'enquiry',
  words: '[DIR]',
  says: 'writes an enquiry that brings like-for-like quotes, and the form that comes back as quotes.csv',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario to ask for; the first one otherwise' },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const { html, csv } = await enquiryFiles(move, namedPlan(plans, args.text('scenario')))
    const paths = {
      page: join(outFolder(args), 'enquiry.html'),
      form: join(outFolder(args), 'quote-form.csv'),
    }
    await replaceFile(paths.page, html)
    await replaceFile(paths.form, csv)
    io.out(`${paths.page}\n${paths.form}`)
    return 0
  },
}

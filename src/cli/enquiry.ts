import { join } from 'node:path'
import { Temporal } from 'temporal-polyfill'
import { recommend } from '../analysis/index.js'
import { ENQUIRY_FORMS, type EnquiryForm, enquiryFiles, planInForm, senderOf } from '../brief/index.js'
import { openRules } from '../movers/index.js'
import { replaceFile } from '../paper/replace-file.js'
import { wordsIn } from '../paper/words-file.js'
import { isDay } from '../tables/fields.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions, Refusal } from './command.js'
import { outFolder } from './notebooks.js'

export const enquiry: Command = {
  name: 'enquiry',
  words: '[DIR]',
  says: 'writes an enquiry that brings like-for-like quotes, and the form that comes back for quaybook movers',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario to ask for; the recommended one otherwise' },
    form: {
      value: 'full|part|own work',
      says: 'ask for full service, a part of it, or what one cannot do oneself; as planned otherwise',
    },
    language: { value: 'en|fr|es|de', says: 'language of the enquiry; English otherwise' },
    strings: { value: 'FILE', says: 'texts of another language: a CSV with the columns id and the language' },
    'reply-by': {
      value: 'DATE',
      says: 'the day by which answers are wanted; two weeks from today otherwise',
    },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const folder = householdFolder(args)
    const name = args.text('scenario')
    const scenario = name === undefined ? recommend(move, plans).plan : namedPlan(plans, name)
    const plan = planInForm(move, scenario, formOf(args))
    if (!plan.ok) throw new Refusal(plan.problems)
    const rules = openRules(folder)
    const sender = senderOf(folder)
    const { html, csv } = await enquiryFiles(
      move,
      plan.value,
      {
        rules,
        replyBy: replyBy(args, move.household.facts.as_of, rules.replyDays),
        ...(sender ? { sender } : {}),
      },
      await wordsIn(args.text('language'), args.text('strings')),
    )
    const paths = {
      page: join(outFolder(args), 'enquiry.html'),
      form: join(outFolder(args), 'answer-form.csv'),
    }
    await replaceFile(paths.page, html)
    await replaceFile(paths.form, csv)
    io.out(`${paths.page}\n${paths.form}`)
    return 0
  },
}

function formOf(args: Args): EnquiryForm {
  const text = args.text('form') ?? 'as planned'
  const form = ENQUIRY_FORMS.find((known) => known === text)
  if (form) return form
  throw new UsageError(`--form ${text}: there are ${ENQUIRY_FORMS.join(', ')}`)
}

function replyBy(args: Args, asOf: string, days: number): string {
  const text = args.text('reply-by')
  if (text === undefined) return Temporal.PlainDate.from(asOf).add({ days }).toString()
  if (isDay(text)) return text
  throw new UsageError(`--reply-by ${text}: write a day as year-month-day, as in 2026-12-12`)
}

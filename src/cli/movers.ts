import { join } from 'node:path'
import { recommend } from '../analysis/index.js'
import { briefPictures } from '../brief/index.js'
import { chartTheme } from '../charts/theme-file.js'
import {
  ANSWERS_FOLDER,
  askedOf,
  billOf,
  compareMovers,
  moversParagraph,
  moversSections,
  openAnswers,
  openRules,
} from '../movers/index.js'
import { numberText } from '../paper/format.js'
import { paperHtml } from '../paper/html.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import { day } from '../paper/sentence.js'
import { ENGLISH_WORDS } from '../paper/words.js'
import { wordsIn } from '../paper/words-file.js'
import { exact } from '../quantity/exact.js'
import { UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'
import { textTable } from './text-table.js'

export const moversCommand: Command = {
  name: 'movers',
  words: '[DIR]',
  says: `compares the movers whose answers lie in DIR/${ANSWERS_FOLDER}: levelled price, weighted answers, red lines, how sure the order is`,
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where the page goes; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario they were asked for; the recommended one otherwise' },
    language: { value: 'en|fr|es|de', says: 'language of the page; English otherwise' },
    strings: { value: 'FILE', says: 'texts of another language: a CSV with the columns id and the language' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const folder = householdFolder(args)
    const name = args.text('scenario')
    const plan = name === undefined ? recommend(move, plans).plan : namedPlan(plans, name)
    const rules = openRules(folder)
    const answers = openAnswers(folder, (questions) => askedOf(move, plan, questions), rules)
    if (answers.length === 0)
      throw new UsageError(
        `no answers in ${join(folder, ANSWERS_FOLDER)}; quaybook enquiry writes the form, one filled-in copy a mover goes there`,
      )
    const comparison = compareMovers(answers, billOf(move, plan), rules)
    const words = await wordsIn(args.text('language'), args.text('strings'))
    const { line, locale } = words
    const { facts } = move.household
    const paper = {
      kind: line`Movers compared`,
      household: facts.name,
      from: locale.place(facts.origin_place, facts.origin_country),
      to: locale.place(facts.destination_place, facts.destination_country),
      stated: line`Scenario “${plan.name}”. Rates of exchange and prices of the model as of ${day(facts.as_of)}.`,
      recommended: plan.name,
      sections: moversSections(move, words, comparison, rules, chartTheme()),
    }
    const path = join(outFolder(args), 'movers.html')
    await replaceFile(
      path,
      paperHtml(paper, {
        css: pageCss('brief'),
        words,
        copy: 'client',
        pictures: await briefPictures(paper),
      }),
    )
    if (args.flags.has('json')) {
      io.out(
        JSON.stringify(
          comparison,
          (_, value: unknown) => (value instanceof Map ? Object.fromEntries(value) : value),
          2,
        ),
      )
      return 0
    }
    const share = (x: number) => `${numberText(exact.of(x * 100), 0)} %`
    const rows = comparison.offers.map((offer) => [
      offer.mover,
      numberText(offer.stated, 0),
      numberText(offer.levelled, 0),
      share(offer.total),
      offer.redLines.length > 0 ? 'excluded' : share(offer.firstShare),
      String(offer.missing.length + offer.unanswered.length),
    ])
    io.out(textTable(['mover', `stated, ${facts.currency}`, 'levelled', 'score', 'first in', 'open'], rows))
    io.out(`\n${ENGLISH_WORDS.tell(moversParagraph(move, comparison, rules))}\n\n${path}`)
    return 0
  },
}

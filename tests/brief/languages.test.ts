import { beforeAll, describe, expect, it } from 'vitest'
import { recommend } from '../../src/analysis/index.js'
import { briefFiles, enquiryFiles } from '../../src/brief/index.js'
import { openRules } from '../../src/movers/index.js'
import { wordsIn } from '../../src/paper/words-file.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { DEMOS } from '../plan/households.js'
import { moveOf, plansOf } from './household.js'
import { ENGLISH, ownWords, texts } from './page-texts.js'

/** What reads the same in English and in the other language. */
const SAME = {
  fr: ['Total', 'Destination', 'Annexes', ', Canada'],
  es: ['Total', ', Chile'],
  de: [', Chile'],
}

describe.each(DEMOS)('the brief of %s', (name) => {
  let move: Move
  let plans: readonly Plan[]
  let own: readonly string[]
  beforeAll(async () => {
    move = await moveOf(name)
    const stated = plansOf(move)
    plans = recommend(move, stated).plans
    own = ownWords(move, plans)
  })

  it.each(['fr', 'es', 'de'])('leaks no English on the pages that are sent in %s', async (language) => {
    const files = await briefFiles(move, plans, { words: await wordsIn(language) })
    const leaks = texts(String(files.get('brief.html')))
      .map((text) => own.reduce((rest, word) => rest.replaceAll(word, ''), text))
      .filter((text) => ENGLISH.test(text))
    expect(leaks).toEqual([])
  })

  it.each(['fr', 'es', 'de'])(
    'leaks no English in the enquiry in %s, but the answers that the form takes',
    async (language) => {
      const [plan] = plans
      if (!plan) throw new Error('no plan')
      const rules = openRules('nowhere')
      const answers = rules.questions.flatMap(({ scores }) => scores.map(({ answer }) => answer))
      const { html } = await enquiryFiles(
        move,
        plan,
        { rules, replyBy: '2026-12-10' },
        await wordsIn(language),
      )
      const leaks = texts(html)
        .map((text) => [...own, ...answers].reduce((rest, word) => rest.replaceAll(word, ''), text))
        .filter((text) => ENGLISH.test(text))
        // The lettering of the one chart is read aloud in English.
        .filter((text) => !text.startsWith('Bars of the packed volume'))
      expect(leaks).toEqual([])
    },
  )

  it.each(Object.entries(SAME))('says nothing in %s as English says it, but %s', async (language, same) => {
    const strip = (html: string) =>
      texts(html)
        .map((text) => own.reduce((rest, word) => rest.replaceAll(word, ''), text))
        .filter((text) => /\p{L}{2}/u.test(text))
    const page = async (of: string) =>
      strip(String((await briefFiles(move, plans, { words: await wordsIn(of) })).get('brief.html')))
    const english = new Set(await page('en'))
    const alike = [...new Set(await page(language))].filter((text) => english.has(text))
    expect(alike.filter((text) => !same.includes(text))).toEqual([])
  })
})

import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { amount, inside, says, several } from '../../src/paper/sentence.js'
import { ENGLISH_WORDS, LANGUAGES, type Words } from '../../src/paper/words.js'
import { wordsIn } from '../../src/paper/words-file.js'
import { exact } from '../../src/quantity/exact.js'
import { hasWords, sentencesOfTheCode } from './said.js'

const reference = fileURLToPath(new URL('../../data/reference', import.meta.url))
const read = (name: string) => readFileSync(join(reference, name), 'utf8')

let words: Map<string, Words>
beforeAll(async () => {
  words = new Map()
  for (const language of Object.keys(LANGUAGES)) words.set(language, await wordsIn(language))
})
const inLanguage = (language: string): Words => words.get(language) ?? ENGLISH_WORDS

describe('the sentences that stand in the code', () => {
  it('are told in every language', () => {
    const said = [...sentencesOfTheCode()].filter(([english]) => hasWords(english))
    expect(said.length).toBeGreaterThan(250)
    const missing = said.filter(([english]) =>
      Object.keys(LANGUAGES).some((language) => !inLanguage(language).has(english)),
    )
    expect(missing.map(([english, file]) => `${file}: ${english}`)).toEqual([])
  })

  it('leave no dead row: every text of the tables is said by the code or stands in a reference table', async () => {
    const said = sentencesOfTheCode()
    const files = (root: string, end: string) =>
      readdirSync(root, { recursive: true, encoding: 'utf8' })
        .filter((name) => name.endsWith(end) && !name.startsWith('strings'))
        .map((name) => readFileSync(join(root, name), 'utf8'))
        .join('\n')
    const everywhere =
      `${files(reference, '.csv')}\n${files(fileURLToPath(new URL('../../src', import.meta.url)), '.ts')}`
        // Texts that run over several lines of the code, and quotation marks as CSV doubles them.
        .replace(/' \+\n\s*'/g, '')
        .replaceAll('""', '"')
    const { parse } = await import('csv-parse/sync')
    const dead = ['sentences.csv', 'rules.csv'].flatMap((name) =>
      (parse(read(`strings/${name}`), { columns: true }) as { en: string }[])
        .map(({ en }) => en)
        .filter(
          (english) =>
            !said.has(english) &&
            !everywhere.includes(english) &&
            // A class of goods is written with hyphens in its table.
            !everywhere.includes(english.replaceAll(' ', '-')),
        ),
    )
    expect(dead).toEqual([])
  })

  it('keep their values, in the order the language wants them', () => {
    const sentence = says`The goods wait ${amount(exact.of(15), 'day')} longer at the port than is free.`
    expect(ENGLISH_WORDS.tell(sentence)).toBe('The goods wait 15\u00a0days longer at the port than is free.')
    expect(inLanguage('de').tell(sentence)).toBe('Das Gut liegt 15\u00a0Tage länger im Hafen als frei ist.')
  })

  it('count what they do not name, but never one thing alone', () => {
    const some = (n: number) => says`${several(['a', 'b', 'c', 'd'].slice(0, n), 2)}`
    expect(ENGLISH_WORDS.tell(some(3))).toBe('a, b and c')
    expect(ENGLISH_WORDS.tell(some(4))).toBe('a, b and 2 more')
    expect(inLanguage('fr').tell(some(4))).toBe('a, b et 2 autres')
  })

  it('write a label small inside a sentence, but in German, whose nouns keep their capital', () => {
    const sentence = says`${inside('service.packing', 'Packing')}`
    expect(inLanguage('fr').tell(sentence)).toBe('emballage')
    expect(inLanguage('de').tell(sentence)).toBe('Einpacken')
  })
})

test.each([
  ['customs/goods-rules.csv', 'what_to_do'],
  ['customs/documents.csv', 'label'],
  ['lead-times.csv', 'label'],
  ['lead-times.csv', 'if_missed'],
  ['movers/questions.csv', 'asked'],
  ['services.csv', 'meaning'],
  ['perils.csv', 'label'],
])('every %s: %s is told in every language', async (file, column) => {
  const { parse } = await import('csv-parse/sync')
  const rows = parse(read(file), { columns: true }) as Record<string, string>[]
  const texts = [...new Set(rows.map((row) => row[column] ?? ''))].filter((text) => text !== '')
  expect(texts.length).toBeGreaterThan(5)
  expect(texts.filter((text) => !inLanguage('fr').has(text))).toEqual([])
})

import { type CsvFile, readGrid } from '../tables/csv.js'
import { type Problem, problemsOf, type Read } from '../tables/problem.js'
import type { Inline, Text } from './blocks.js'
import { ENGLISH_TEXTS } from './english.js'
import { shownFigure } from './figure-text.js'
import { unitText } from './format.js'
import { Locale } from './locale.js'
import { type Sentence, says, type Value } from './sentence.js'

/** The languages that a paper speaks completely, with the tag by which numbers and dates are written. */
export const LANGUAGES = { en: 'en-GB', fr: 'fr', es: 'es', de: 'de' } as const

/** Texts by id, each in several languages: `{name}` in a text is where a value goes. */
export type Strings = ReadonlyMap<string, ReadonlyMap<string, string>>

const PLACEHOLDER = /\{([a-z0-9-]+)\}/g

const placeholders = (text: string): string =>
  [...new Set([...text.matchAll(PLACEHOLDER)].map(([, name]) => name))].sort().join(', ')

/**
 * Reads tables of texts: a column `id`, and one for each language. A table without ids has its texts under their
 * English. The English text says which placeholders a text has; a translation with others, or none at all, is a problem.
 *
 * @param into texts read before, to which a language of the reader's own is added
 */
export function readStrings(files: readonly CsvFile[], into: Strings = new Map()): Read<Strings> {
  const strings = new Map([...into].map(([id, texts]) => [id, new Map(texts)]))
  for (const [id, text] of Object.entries(ENGLISH_TEXTS)) {
    strings.set(id, (strings.get(id) ?? new Map<string, string>()).set('en', text))
  }
  const problems: Problem[] = []
  const grids = files.map((file) => ({ file, grid: readGrid(file) }))
  problems.push(...problemsOf(grids.map(({ grid }) => grid)))
  for (const { file, grid } of grids) {
    if (!grid.ok) continue
    const { header, rows, headerLine } = grid.value
    const idAt = header.includes('id') ? header.indexOf('id') : header.indexOf('en')
    if (idAt < 0) {
      problems.push({
        file: file.file,
        line: headerLine,
        column: 'id',
        found: header.join(','),
        expected: 'a column id and one for each language',
        fix: 'Name the columns, as in id,pt.',
      })
      continue
    }
    for (const { line, cells } of rows) {
      const id = cells[idAt] ?? ''
      const texts = strings.get(id) ?? new Map<string, string>()
      const isNew = !strings.has(id)
      strings.set(id, texts)
      header.forEach((language, at) => {
        if (language === 'id') return
        const problem = (found: string, expected: string, fix: string) =>
          problems.push({ file: file.file, line, column: language, found, expected, fix })
        const text = cells[at] ?? ''
        if (isNew && into.size > 0) problem(id, 'an id that the paper uses', 'Remove the row.')
        else if (text === '') problem('', `the text "${id}" in ${language}`, 'Write the text.')
        else if (texts.has(language)) problem(text, `the text "${id}" once`, 'Remove one of the two rows.')
        else {
          const wanted = placeholders(texts.get('en') ?? cells[header.indexOf('en')] ?? text)
          if (placeholders(text) === wanted) texts.set(language, text)
          else
            problem(
              text,
              wanted === '' ? 'a text without braces' : `a text with ${wanted} in braces`,
              'Use each name in braces as the English text does.',
            )
        }
      })
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: strings }
}

/** Ids that have no text in a language: what is left to translate. */
export const untranslated = (strings: Strings, language: string): string[] =>
  [...strings].filter(([, texts]) => !texts.has(language)).map(([id]) => id)

/** What a paper says, in one language. */
export class Words {
  readonly locale: Locale

  constructor(
    readonly strings: Strings,
    readonly language: string,
  ) {
    const tag = (LANGUAGES as Readonly<Record<string, string>>)[language] ?? language
    this.locale = new Locale(
      tag,
      (unit, one) =>
        strings.get(`unit.${unit}.${one ? 'one' : 'many'}`)?.get(language) ??
        (language === 'en' ? unitText(unit, one) : undefined),
    )
  }

  get english(): boolean {
    return this.language === 'en'
  }

  #template(id: string): string {
    const text = this.strings.get(id)?.get(this.language)
    if (text === undefined) throw new Error(`no text "${id}" in ${this.language}`)
    return text
  }

  /** A text with its values in it. Throws one sentence where there is no such text, or a value is not given. */
  readonly say = (id: string, values: Readonly<Record<string, string>> = {}): string =>
    this.#template(id).replace(PLACEHOLDER, (_, name: string) => {
      const value = values[name]
      if (value === undefined) throw new Error(`the text "${id}" needs a value for "${name}"`)
      return value
    })

  /** A text whose values may be figures, which stay figures. */
  write(id: string, values: Readonly<Record<string, Inline | Text>>): Text {
    const template = this.#template(id)
    const parts: Inline[] = []
    let from = 0
    for (const match of template.matchAll(PLACEHOLDER)) {
      const value = values[match[1] ?? '']
      if (value === undefined) throw new Error(`the text "${id}" needs a value for "${match[1]}"`)
      parts.push(template.slice(from, match.index), ...(isText(value) ? value : [value]))
      from = match.index + match[0].length
    }
    return [...parts, template.slice(from)].filter((part) => part !== '')
  }

  /** The label of a row of a reference table; as the table has it where nobody translated it. */
  label(id: string, otherwise: string): string {
    return this.strings.get(id)?.get(this.language) ?? otherwise
  }

  /** Whether a sentence, or a text of a reference table, stands in this language. */
  readonly has = (english: string): boolean =>
    this.english || this.strings.get(english)?.has(this.language) === true

  /** A text of a reference table, by its English; in English where nobody translated it. */
  readonly phrase = (english: string): string => this.strings.get(english)?.get(this.language) ?? english

  /** A sentence as plain text. */
  readonly tell = (sentence: Sentence): string =>
    this.inline(sentence)
      .map((part) =>
        typeof part === 'string' ? part : part.kind === 'figure' ? shownFigure(part, this.locale) : part.text,
      )
      .join('')

  /** A sentence whose figures stay figures. */
  readonly inline = ({ english, values }: Sentence): Text => {
    const template = this.phrase(english)
    const parts: Inline[] = []
    let from = 0
    for (const match of template.matchAll(PLACEHOLDER)) {
      const value = values[Number(match[1]) - 1]
      if (value === undefined) throw new Error(`the sentence "${english}" has no value {${match[1]}}`)
      parts.push(template.slice(from, match.index), ...this.#shown(value))
      from = match.index + match[0].length
    }
    return [...parts, template.slice(from)].filter((part) => part !== '')
  }

  /** Template tag: a short text in the language of the paper, by its English. */
  readonly line = (parts: TemplateStringsArray, ...values: readonly Value[]): string =>
    this.tell(says(parts, ...values))

  /** Template tag: the same with figures that stay figures. */
  readonly text = (parts: TemplateStringsArray, ...values: readonly Value[]): Text =>
    this.inline(says(parts, ...values))

  #shown(value: Value): Text {
    if (typeof value === 'string') return [value]
    switch (value.kind) {
      case 'sentence':
        return this.inline(value)
      case 'amount':
        return [this.locale.figure(value.value, value.unit, value.decimals)]
      case 'day':
        return [this.locale.day(value.on)]
      case 'label': {
        const text = this.label(value.id, value.otherwise)
        return [value.inside ? this.inSentence(text) : text]
      }
      case 'several': {
        const texts = value.of.map((each) => this.tell(says`${each}`))
        // One more than the most is told rather than counted.
        return texts.length <= value.most + 1
          ? [this.locale.list(texts)]
          : [
              this.tell(
                says`${texts.slice(0, value.most).join(', ')} and ${String(texts.length - value.most)} more`,
              ),
            ]
      }
      default:
        return [value]
    }
  }

  /** A label inside a sentence: German keeps the capitals of its nouns. */
  inSentence(label: string): string {
    return this.language === 'de' ? label : label.toLocaleLowerCase(this.locale.tag)
  }
}

/** English, which needs no table: it stands in the code, for pages and programs that speak nothing else. */
export const ENGLISH_WORDS = new Words(
  new Map(Object.entries(ENGLISH_TEXTS).map(([id, text]) => [id, new Map([['en', text]])])),
  'en',
)

const isText = (value: Inline | Text): value is Text => Array.isArray(value)

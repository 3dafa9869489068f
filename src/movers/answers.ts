import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import { type CsvFile, readGrid } from '../tables/csv.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import { numberReadings } from '../tables/written.js'
import { answersOf, type Question } from './questions.js'

/** The columns of the form that goes out and comes back. */
export const FORM_COLUMNS = ['id', 'asked', 'answer', 'currency', 'note'] as const

/** A price of an offer and the services it is for, in its currency. */
export interface OfferedPrice {
  readonly services: readonly string[]
  readonly price: Decimal
  readonly currency: string
}

/** One mover's answer to the enquiry. */
export interface MoverAnswer {
  readonly file: string
  readonly mover: string
  readonly volumeM3: Decimal
  readonly prices: readonly OfferedPrice[]
  /** Services that the mover does not offer. */
  readonly notOffered: readonly string[]
  /** Services asked for and left blank. */
  readonly unpriced: readonly string[]
  readonly answers: ReadonlyMap<string, string | Decimal>
  readonly unanswered: readonly string[]
}

/** What an answer is read against. */
export interface Asked {
  readonly services: readonly string[]
  /** Services that a form of another scenario may name besides; their prices are set aside. */
  readonly others?: readonly string[]
  readonly questions: readonly Question[]
  /** Currencies for which the household has a dated rate, its own first. */
  readonly currencies: readonly string[]
}

const NUMBER = /^\d+(\.\d+)?$/

/**
 * Reads a mover's answer: the form of the enquiry with its column `answer` filled in. A price is an amount,
 * `included in SERVICE`, or `not offered`; a blank is what is still to be asked.
 *
 * @returns the answer, or every problem of the file
 */
export function readAnswer(csv: CsvFile, asked: Asked): Read<MoverAnswer> {
  const grid = readGrid(csv)
  if (!grid.ok) return grid
  const { header, rows, headerLine, decimalComma } = grid.value
  const problems: Problem[] = []
  const tell = (line: number, column: string, found: string, expected: string, fix: string) =>
    problems.push({ file: csv.file, line, column, found, expected, fix })
  const missing = ['id', 'answer'].filter((name) => !header.includes(name))
  if (missing.length > 0) {
    tell(
      headerLine,
      'header',
      header.join(','),
      `the columns ${FORM_COLUMNS.join(', ')}`,
      'Keep the first line of the form as it was sent.',
    )
    return { ok: false, problems }
  }
  const others = (asked.others ?? []).filter((id) => !asked.services.includes(id))
  const known = [
    'mover',
    'volume_m3',
    ...[...asked.services, ...others].map((id) => `price.${id}`),
    ...asked.questions.map(({ id }) => `question.${id}`),
  ]
  const given = new Map<string, { readonly text: string; readonly currency: string; readonly line: number }>()
  for (const { line, cells } of rows) {
    const of = (name: string) => cells[header.indexOf(name)] ?? ''
    const id = of('id')
    if (!known.includes(id)) tell(line, 'id', id, 'an id of the form', suggestion(id, known))
    else if (given.has(id)) tell(line, 'id', id, 'each id once', 'Remove one of the two rows.')
    else given.set(id, { text: of('answer').trim(), currency: of('currency').trim(), line })
  }
  const amount = (text: string): Decimal | undefined => {
    const readings = numberReadings(text, decimalComma)
    const [plain] = readings
    // A text that can be read two ways is asked about, never guessed.
    return readings.length === 1 && plain !== undefined && NUMBER.test(plain) ? new Exact(plain) : undefined
  }
  const mover = given.get('mover')
  if (!mover || mover.text === '')
    tell(mover?.line ?? headerLine, 'answer', '', 'the name of the mover', 'Write a short name beside mover.')
  const volume = given.get('volume_m3')
  const volumeM3 = amount(volume?.text ?? '')
  if (!volumeM3?.gt(0))
    tell(
      volume?.line ?? headerLine,
      'answer',
      volume?.text ?? '',
      'the cubic metres the prices are for, over 0',
      'Write the number alone beside volume_m3, as in 46.',
    )
  const own = asked.currencies[0] ?? ''
  const currencyOf = (row: { readonly currency: string; readonly line: number }): string => {
    const currency = row.currency === '' ? own : row.currency
    if (!asked.currencies.includes(currency))
      tell(
        row.line,
        'currency',
        currency,
        `one of ${asked.currencies.join(', ')}`,
        `Add a rate of ${currency} to exchange.csv, or write the price in another currency.`,
      )
    return currency
  }
  const prices = new Map<
    string,
    { readonly services: string[]; readonly price: Decimal; readonly currency: string }
  >()
  const included: { readonly service: string; readonly into: string; readonly line: number }[] = []
  const notOffered: string[] = []
  const unpriced: string[] = []
  for (const service of [...asked.services, ...others]) {
    const row = given.get(`price.${service}`)
    const text = row?.text ?? ''
    const into = /^included in (?:price\.)?([a-z0-9-]+)$/i.exec(text)?.[1]
    const price = amount(text)
    if (!row || text === '') {
      if (!others.includes(service)) unpriced.push(service)
    } else if (/^not offered$/i.test(text)) {
      if (!others.includes(service)) notOffered.push(service)
    } else if (into !== undefined) included.push({ service, into, line: row.line })
    else if (price) prices.set(service, { services: [service], price, currency: currencyOf(row) })
    else
      tell(
        row.line,
        'answer',
        text,
        'an amount, "included in SERVICE" or "not offered"',
        'Write the number alone, as in 1450, or included in freight.',
      )
  }
  for (const { service, into, line } of included) {
    const price = prices.get(into)
    if (price) price.services.push(service)
    else
      tell(
        line,
        'answer',
        `included in ${into}`,
        'a service that has a price of its own',
        suggestion(into, [...prices.keys()]),
      )
  }
  const answers = new Map<string, string | Decimal>()
  const unanswered: string[] = []
  for (const question of asked.questions) {
    const row = given.get(`question.${question.id}`)
    const text = row?.text ?? ''
    if (!row || text === '') {
      unanswered.push(question.id)
      continue
    }
    if (question.kind === 'text') answers.set(question.id, text)
    else if (question.kind === 'choice') {
      const choices = answersOf(question)
      const found = choices.find((choice) => choice.toLowerCase() === text.toLowerCase())
      if (found) answers.set(question.id, found)
      else tell(row.line, 'answer', text, `one of ${choices.join(', ')}`, suggestion(text, choices))
    } else {
      const value = amount(text.replace(/\s*%$/, ''))
      if (!value || (question.kind === 'percent' && value.gt(100)))
        tell(
          row.line,
          'answer',
          text,
          question.kind === 'percent' ? 'per cent from 0 to 100' : 'a number, 0 or more',
          'Write the number alone, as in 12.',
        )
      else if (question.kind === 'money' && row.currency !== '' && row.currency !== own)
        tell(row.line, 'currency', row.currency, own, `Write this answer in ${own}.`)
      else answers.set(question.id, value)
    }
  }
  if (problems.length > 0) return { ok: false, problems }
  return {
    ok: true,
    value: {
      file: csv.file,
      mover: mover?.text ?? '',
      volumeM3: volumeM3 ?? new Exact(1),
      prices: [...prices.values()].filter(({ services }) =>
        services.some((id) => asked.services.includes(id)),
      ),
      notOffered,
      unpriced,
      answers,
      unanswered,
    },
  }
}

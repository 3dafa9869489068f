import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import { type CsvFile, readGrid } from '../tables/csv.js'
import type { Problem, Read } from '../tables/problem.js'

/** What a mover is asked besides prices, and what an answer is worth. */
export interface Question {
  readonly id: string
  readonly asked: string
  readonly kind: 'choice' | 'number' | 'percent' | 'money' | 'text'
  /** Of a choice: each answer with its score. Of a figure: the best and the worst value, 1 and 0. */
  readonly scores: readonly { readonly answer: string; readonly score: number }[]
  readonly weight: number
  /** Answers that exclude a mover. */
  readonly redLine: readonly string[]
}

/** The questions with their weights, and the rules by which offers are compared. */
export interface Rules {
  readonly questions: readonly Question[]
  /** Share of the price in the score, of one. */
  readonly priceWeight: number
  readonly outlierBelow: number
  readonly outlierAbove: number
  readonly replyDays: number
}

const KINDS = ['choice', 'number', 'percent', 'money', 'text'] as const

/** Collects the problems of one file. */
function reporter(file: string) {
  const problems: Problem[] = []
  return {
    problems,
    tell: (line: number, column: string, found: string, expected: string, fix: string) => {
      problems.push({ file, line, column, found, expected, fix })
    },
  }
}

/**
 * Reads the questions and figures of data/reference/movers, and the household's own weights where it gave some:
 * weights.csv with the columns `question,weight,red_line`, in which `price` is the share of the price, 0 to 1.
 */
export function readRules(questions: CsvFile, figures: CsvFile, weights?: CsvFile): Read<Rules> {
  const grid = readGrid(questions)
  const numbers = readGrid(figures)
  if (!grid.ok) return grid
  if (!numbers.ok) return numbers
  const { problems, tell } = reporter(questions.file)
  const at = (name: string) => grid.value.header.indexOf(name)
  const list = grid.value.rows.map(({ line, cells }): Question => {
    const of = (name: string) => cells[at(name)] ?? ''
    const kind = KINDS.find((known) => known === of('kind'))
    if (!kind) tell(line, 'kind', of('kind'), `one of ${KINDS.join(', ')}`, 'Write one of them.')
    const scores = parts(of('scores')).map((part) => {
      const cut = part.lastIndexOf(':')
      return { answer: part.slice(0, cut).trim(), score: Number(part.slice(cut + 1)) }
    })
    if (scores.some(({ score }) => !(score >= 0 && score <= 1)))
      tell(line, 'scores', of('scores'), 'answers with scores from 0 to 1', 'Write for example yes:1|no:0.')
    if (kind !== 'choice' && kind !== 'text' && scores.length !== 2)
      tell(line, 'scores', of('scores'), 'the best and the worst value', 'Write for example 2:1|8:0.')
    return {
      id: of('id'),
      asked: of('asked'),
      kind: kind ?? 'text',
      scores,
      weight: Number(of('weight')),
      redLine: parts(of('red_line')),
    }
  })
  const figure = (id: string): number => {
    const row = numbers.value.rows.find(({ cells }) => cells[0] === id)
    if (!row) tell(1, 'id', '', `the row ${id} in ${figures.file}`, 'Add it.')
    return Number(row?.cells[1])
  }
  const rules: Rules = {
    questions: list,
    priceWeight: figure('price-weight'),
    outlierBelow: figure('outlier-below'),
    outlierAbove: figure('outlier-above'),
    replyDays: figure('reply-days'),
  }
  if (problems.length > 0) return { ok: false, problems }
  return weights ? weighted(rules, weights) : { ok: true, value: rules }
}

const parts = (text: string): string[] =>
  text
    .split('|')
    .map((part) => part.trim())
    .filter((part) => part !== '')

/** The rules with the household's own weights and red lines. */
function weighted(rules: Rules, file: CsvFile): Read<Rules> {
  const grid = readGrid(file)
  if (!grid.ok) return grid
  const { problems, tell } = reporter(file.file)
  const { header, rows, headerLine } = grid.value
  const columns = ['question', 'weight', 'red_line']
  const missing = columns.filter((name) => name !== 'red_line' && !header.includes(name))
  if (missing.length > 0) {
    tell(
      headerLine,
      'header',
      header.join(','),
      `the columns ${columns.join(', ')}`,
      'Write question,weight,red_line.',
    )
    return { ok: false, problems }
  }
  let { priceWeight } = rules
  const own = new Map<string, { readonly weight: number; readonly redLine: readonly string[] | undefined }>()
  for (const { line, cells } of rows) {
    const of = (name: string) => cells[header.indexOf(name)] ?? ''
    const id = of('question')
    const text = of('weight')
    const weight = Number(text)
    const most = id === 'price' ? 1 : 100
    if (text === '' || !(weight >= 0 && weight <= most)) {
      tell(
        line,
        'weight',
        text,
        `a number from 0 to ${most}`,
        id === 'price' ? 'Write 0.4 for 40 %.' : 'Write for example 3.',
      )
      continue
    }
    if (id === 'price') {
      priceWeight = weight
      continue
    }
    const question = rules.questions.find((q) => q.id === id)
    if (!question) {
      const known = rules.questions.map((q) => q.id).join(', ')
      tell(line, 'question', id, `price or one of ${known}`, 'Write one of them.')
      continue
    }
    const redLine = header.includes('red_line') ? parts(of('red_line')) : undefined
    const strange =
      question.kind === 'choice' ? redLine?.find((a) => !answersOf(question).includes(a)) : undefined
    if (strange !== undefined)
      tell(line, 'red_line', strange, `answers of ${answersOf(question).join(', ')}`, 'Write one of them.')
    own.set(id, { weight, redLine })
  }
  const questions = rules.questions.map((question) => {
    const mine = own.get(question.id)
    return mine ? { ...question, weight: mine.weight, redLine: mine.redLine ?? question.redLine } : question
  })
  if (problems.length === 0 && questions.every(({ weight }) => weight === 0) && priceWeight === 0)
    tell(headerLine, 'weight', '0', 'a weight over 0 somewhere', 'Give price or a question a weight.')
  return problems.length > 0
    ? { ok: false, problems }
    : { ok: true, value: { ...rules, questions, priceWeight } }
}

/** The answers that a choice takes. */
export const answersOf = (question: Question): string[] => question.scores.map(({ answer }) => answer)

/**
 * What an answer is worth, from 0 to 1: the score of a choice; a straight line from the worst to the best value of a
 * figure, and no further; 1 for any text.
 */
export function scoreOf(question: Question, answer: string | Decimal): number {
  if (question.kind === 'text') return 1
  if (typeof answer === 'string') {
    return question.scores.find((s) => s.answer === answer)?.score ?? 0
  }
  const [best, worst] = question.scores
  if (!best || !worst) return 0
  const from = new Exact(worst.answer)
  const share = answer.minus(from).div(new Exact(best.answer).minus(from)).toNumber()
  return Math.min(1, Math.max(0, share))
}

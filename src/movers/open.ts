// The edge of this folder: the rules of the package and the answers in a household's folder.
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Move, Plan } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import type { CsvFile } from '../tables/csv.js'
import { problemsOf } from '../tables/problem.js'
import { type Asked, type MoverAnswer, readAnswer } from './answers.js'
import { askedOf, billOf } from './bill.js'
import { type Comparison, compareMovers } from './compare.js'
import { type Question, type Rules, readRules } from './questions.js'

/** The folder beside a household's files in which answers are kept, and the household's own weights among them. */
export const ANSWERS_FOLDER = 'movers'
const WEIGHTS = 'weights.csv'

const csv = (path: string, file: string): CsvFile => ({ file, text: readFileSync(path, 'utf8') })

/** The rules of comparison, with the weights of a household's folder where it has some. Throws a Refusal. */
export function openRules(folder: string): Rules {
  const own = (name: string) =>
    csv(
      fileURLToPath(new URL(`../../data/reference/movers/${name}`, import.meta.url)),
      `reference/movers/${name}`,
    )
  const weights = join(folder, ANSWERS_FOLDER, WEIGHTS)
  const rules = readRules(
    own('questions.csv'),
    own('figures.csv'),
    existsSync(weights) ? csv(weights, `${ANSWERS_FOLDER}/${WEIGHTS}`) : undefined,
  )
  if (!rules.ok) throw new Refusal(rules.problems)
  return rules.value
}

/** The answers in a household's folder, one CSV a mover. Throws a Refusal with every problem of every file. */
export function openAnswers(
  folder: string,
  askedOf: (questions: readonly Question[]) => Asked,
  { questions }: Rules,
): readonly MoverAnswer[] {
  const place = join(folder, ANSWERS_FOLDER)
  const names = existsSync(place)
    ? readdirSync(place).filter((name) => name.toLowerCase().endsWith('.csv') && name !== WEIGHTS)
    : []
  const reads = names
    .sort()
    .map((name) => readAnswer(csv(join(place, name), `${ANSWERS_FOLDER}/${name}`), askedOf(questions)))
  const problems = problemsOf(reads)
  const answers = reads.flatMap((read) => (read.ok ? [read.value] : []))
  for (const [at, answer] of answers.entries()) {
    const before = answers.findIndex(({ mover }) => mover === answer.mover)
    if (before < at)
      problems.push({
        file: answer.file,
        line: 2,
        column: 'answer',
        found: answer.mover,
        expected: `another name than in ${answers[before]?.file}`,
        fix: 'Give each mover a name of its own.',
      })
  }
  if (problems.length > 0) throw new Refusal(problems)
  return answers
}

/** The movers whose answers lie in a household's folder, compared for a plan; nothing where there are no answers. */
export function openComparison(folder: string, move: Move, plan: Plan): Comparison | undefined {
  const rules = openRules(folder)
  const answers = openAnswers(folder, (questions) => askedOf(move, plan, questions), rules)
  return answers.length === 0 ? undefined : compareMovers(answers, billOf(move, plan), rules)
}

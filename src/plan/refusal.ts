import { type Problem, problemText } from '../tables/problem.js'

/** Input files or changes that cannot be used: every problem, and nothing calculated. */
export class Refusal extends Error {
  constructor(readonly problems: readonly Problem[]) {
    super(problems.map(problemText).join('\n'))
    this.name = 'Refusal'
  }
}

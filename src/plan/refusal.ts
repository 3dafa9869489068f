import { type Problem, problemText } from '../tables/problem.js'

/** Input files or changes that cannot be used: every problem, and nothing calculated. */
export class Refusal extends Error {
  constructor(readonly problems: readonly Problem[]) {
    super(problems.map(problemText).join('\n'))
    this.name = 'Refusal'
  }
}

/**
 * What was asked for cannot be had from these inputs: an id that is not there, or a cell that they leave without a
 * value. The message says so in one sentence and names what there is; whoever asked can put it right.
 */
export class UnusableInput extends Error {
  constructor(message: string) {
    super(message)
    this.name = 'UnusableInput'
  }
}

import { type Problem, problemLines } from '../tables/problem.js'

/** Input files or changes that cannot be used: every problem, and nothing calculated. */
export class Refusal extends Error {
  declare readonly problems: readonly Problem[]

  /** @param filledCells how many cells of a household's files hold something, where they were read */
  constructor(
    problems: readonly Problem[],
    readonly filledCells?: number,
  ) {
    super(problemLines(problems).join('\n'))
    this.name = 'Refusal'
    // Out of sight of whoever prints the error whole: the message has told them already, and shorter.
    Object.defineProperty(this, 'problems', { value: problems, enumerable: false })
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

/** A plan needs an input that a row of a reference table gives, and the table has no such row. */
export class MissingRow extends UnusableInput {
  /**
   * @param file name of the table
   * @param row  name of the row
   */
  constructor(
    readonly input: string,
    readonly file: string,
    readonly row: string,
  ) {
    super(`the input "${input}" comes from the row ${row} of ${file}, which is not there: put it back`)
    this.name = 'MissingRow'
  }
}

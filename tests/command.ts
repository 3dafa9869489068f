// A command of the program as a person gives it, with what it answers.
import { main } from '../src/cli/main.js'

export interface Answered {
  readonly code: number
  readonly out: string
  readonly err: string
}

export async function run(...words: string[]): Promise<Answered> {
  let [out, err] = ['', '']
  const code = await main(words, {
    out: (text) => {
      out += text
    },
    err: (text) => {
      err += text
    },
  })
  return { code, out, err }
}

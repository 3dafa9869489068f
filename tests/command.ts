import { main } from '../src/cli/main.js'

export interface Answered {
  readonly code: number
  readonly out: string
  readonly err: string
}

/** A command as a person gives it, run in this process: its exit code, and what it wrote to each stream. */
export async function run(...words: string[]): Promise<Answered> {
  let [out, err] = ['', '']
  const code = await main(words, {
    out: (text) => {
      out += `${text}\n`
    },
    err: (text) => {
      err += `${text}\n`
    },
  })
  return { code, out, err }
}

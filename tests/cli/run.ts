import { main } from '../../src/cli/main.js'

/** Runs a command in this process: its exit code, and what it wrote to each stream. */
export async function run(...words: string[]): Promise<{ code: number; out: string; err: string }> {
  let out = ''
  let err = ''
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

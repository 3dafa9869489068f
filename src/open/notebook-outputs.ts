// What cells print, as far as a page shows and a notebook keeps it.
import { textOf } from '../notebook/format.js'
import type { Output } from '../notebook/index.js'

/** Most text of one cell that is shown and kept, characters: a loop that prints must not fill the page. */
const MOST_TEXT = 400_000

/** An output that says why there is none. */
export const failure = (error: unknown): Output => ({
  output_type: 'error',
  ename: 'Kernel',
  evalue: error instanceof Error ? error.message : String(error),
  traceback: [],
})

/** Characters that outputs print. */
export const lengthOf = (outputs: readonly Output[]): number =>
  outputs.reduce((sum, output) => sum + (output.output_type === 'stream' ? textOf(output.text).length : 0), 0)

/** Outputs with the text of streams cut where it grows past reading. */
export function limited(outputs: readonly Output[]): Output[] {
  let left = MOST_TEXT
  return outputs.map((output) => {
    if (output.output_type !== 'stream') return output
    const text = textOf(output.text)
    const kept =
      text.length <= left
        ? text
        : `${text.slice(0, Math.max(0, left))}\n… ${text.length - left} more characters are left out here`
    left -= Math.min(left, text.length)
    return { ...output, text: kept }
  })
}

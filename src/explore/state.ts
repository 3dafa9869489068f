// What the page does with moved inputs. Runs in the browser and in tests alike: no document, no clock.
import { Columns } from '../bulk/machine.js'
import type { PageData, PageInput } from './page-data.js'

/** Moved inputs by id, as decimal text; an input that is not in it stays as each scenario plans it. */
export type Moved = ReadonlyMap<string, string>

/** The outputs of one scenario by cell id. */
export type Figures = ReadonlyMap<string, number>

/** Decimal text of an input that the page takes, or nothing: a number inside the slider's ends. */
export function takenValue(input: PageInput, text: string): string | undefined {
  if (!/^(\d+(\.\d*)?|\.\d+)$/.test(text) || text.length > 24) return undefined
  const value = Number(text)
  // Shortest text of the double: no exponent inside the ends of any slider, and what the machine calculates with.
  const plain = String(value)
  return value >= Number(input.min) && value <= Number(input.max) && !plain.includes('e') ? plain : undefined
}

/** The state that the part of an address behind # stands for; what the page does not know is left out. */
export function movedFrom(inputs: readonly PageInput[], hash: string): Moved {
  const moved = new Map<string, string>()
  const known = new Map(inputs.map((input) => [input.id, input]))
  for (const [id, text] of new URLSearchParams(hash.replace(/^#/, ''))) {
    const input = known.get(id)
    const value = input && takenValue(input, text)
    if (input && value !== undefined && !isPlanned(input, value)) moved.set(id, value)
  }
  return moved
}

/** The part of an address behind #: `delay.days=6&own.people=3`, in the order of the page. */
export const hashOf = (inputs: readonly PageInput[], moved: Moved): string =>
  inputs
    .flatMap(({ id }) => {
      const value = moved.get(id)
      return value === undefined ? [] : [`${encodeURIComponent(id)}=${value}`]
    })
    .join('&')

/** Moved inputs as the command line takes them: `--set delay.days=6 --set own.people=3`. */
export const setText = (inputs: readonly PageInput[], moved: Moved): string =>
  inputs
    .flatMap(({ id }) => {
      const value = moved.get(id)
      return value === undefined ? [] : [`--set ${shellWord(`${id}=${value}`)}`]
    })
    .join(' ')

/** A word of a command line, quoted where a shell would take it apart. */
export const shellWord = (word: string): string =>
  /^[\w./=:@%+,-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`

/** True where every scenario plans with this value, so that choosing it changes nothing. */
export const isPlanned = (input: PageInput, value: string): boolean =>
  input.planned.every((planned) => Number(planned) === Number(value))

/** The compiled scenarios of a page, ready to be worked out for any position of its sliders. */
export class Calculator {
  readonly #columns: readonly Columns[]
  readonly #planned: readonly (readonly number[])[]

  constructor(readonly data: PageData) {
    this.#columns = data.scenarios.map(({ program }) => new Columns(program))
    const position = new Map(data.inputs.map((input) => [input.id, input]))
    this.#planned = data.scenarios.map(({ program }, s) =>
      program.inputs.map((id) => Number(position.get(id)?.planned[s])),
    )
  }

  /** Every figure of every scenario; amounts to the cent as the exact arithmetic has them. */
  figures(moved: Moved): readonly Figures[] {
    return this.#columns.map((columns, s) => {
      const found = new Map<string, number>()
      columns.run(
        1,
        (_start, _count, inputs) => this.#fill(s, inputs, moved),
        (_start, _count, outputs) => {
          columns.program.outputs.forEach(({ id }, k) => {
            found.set(id, outputs[k]?.[0] ?? Number.NaN)
          })
        },
      )
      return found
    })
  }

  /**
   * A cell of each scenario at each of many values of single inputs, the others as moved.
   *
   * @param trials an input and a value each
   * @returns a column for each scenario, an entry for each trial
   */
  trials(
    moved: Moved,
    trials: readonly (readonly [id: string, value: number])[],
    cell: string,
  ): Float64Array[] {
    return this.#columns.map((columns, s) => {
      const found = new Float64Array(trials.length)
      const at = columns.program.outputs.findIndex(({ id }) => id === cell)
      const column = new Map(columns.program.inputs.map((id, k) => [id, k]))
      columns.run(
        trials.length,
        (start, count, inputs) => {
          this.#fill(s, inputs, moved)
          for (let lane = 0; lane < count; lane++) {
            const [id, value] = trials[start + lane] ?? ['', 0]
            const into = inputs[column.get(id) ?? -1]
            if (into) into[lane] = value
          }
        },
        (start, count, outputs) => {
          const from = outputs[at]
          if (from) found.set(from.subarray(0, count), start)
        },
      )
      return found
    })
  }

  #fill(scenario: number, inputs: readonly Float64Array[], moved: Moved): void {
    this.data.scenarios[scenario]?.program.inputs.forEach((id, k) => {
      const value = moved.get(id)
      inputs[k]?.fill(value === undefined ? (this.#planned[scenario]?.[k] ?? Number.NaN) : Number(value))
    })
  }
}

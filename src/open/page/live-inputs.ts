// Tables of inputs among the outputs of a notebook: fields of the sheet, in their place.
import { type ShownInput, type ShownInputs, shownInputs } from '../../notebook/inputs.js'
import { el, refill } from './dom.js'
import { type InputCell, type InputCells, rangeWords } from './input-cells.js'

interface Live {
  readonly root: HTMLElement
  readonly of: ShownInputs
  /** What the fields were made for; other scenarios or other inputs need others. */
  shape: string
  cells: { readonly id: string; readonly scenario: string; readonly cell: InputCell }[]
}

export class LiveInputs {
  #all: Live[] = []

  constructor(private readonly cells: InputCells) {}

  /** A table for an output that says what inputs it shows; undefined where it does not. */
  readonly view = (data: unknown): HTMLElement | undefined => {
    const of = shownInputs(data)
    if (!of) return undefined
    const live: Live = { root: el('div', { class: 'wide' }), of, shape: '', cells: [] }
    this.#all = [...this.#all.filter(({ root }) => root.isConnected), live]
    this.#bringUp(live)
    return live.root
  }

  /** Brings every table up to the household as it stands. */
  show(): void {
    this.#all = this.#all.filter(({ root }) => root.isConnected)
    for (const live of this.#all) this.#bringUp(live)
  }

  #bringUp(live: Live): void {
    const { scenarios } = live.of
    const known = scenarios.filter((name) => this.cells.scenarios.includes(name))
    const facts = live.of.inputs.map(({ id }) => this.cells.facts(id))
    const shape = JSON.stringify([known, facts])
    if (shape !== live.shape) this.#build(live, known)
    live.shape = shape
    const { stated } = this.cells
    for (const { id, scenario, cell } of live.cells) cell.show(stated(scenario, id))
  }

  #build(live: Live, known: readonly string[]): void {
    const { caption, scenarios, inputs } = live.of
    const word = el('p', { class: 'word', role: 'status' })
    live.cells = []
    const cellOf = (input: ShownInput, scenario: string, i: number): HTMLElement => {
      const { choice, number } = this.cells.facts(input.id)
      // An input or scenario that the household has lost since is as it was: to be read.
      if (!known.includes(scenario) || !(choice || number)) return el('td', {}, input.values[i] ?? '')
      const cell = this.cells.cell(input.id, scenario, `${input.label}, ${scenario}`, (why) => {
        word.textContent = why
      })
      live.cells.push({ id: input.id, scenario, cell })
      return el('td', { 'data-label': scenario }, cell.root)
    }
    const rows = inputs.map((input) => {
      const { number } = this.cells.facts(input.id)
      const says = number
        ? rangeWords(number)
        : [input.unit, input.range, input.source].filter(Boolean).join('; ')
      const head = el('th', { scope: 'row' }, input.label, el('small', {}, says))
      return el('tr', {}, head, ...scenarios.map((scenario, i) => cellOf(input, scenario, i)))
    })
    const head = ['Input', ...scenarios].map((text) => el('th', { scope: 'col' }, text))
    refill(
      live.root,
      el(
        'table',
        { class: 'grid choices' },
        el('caption', {}, `${caption}. What is typed here changes the scenario.`),
        el('thead', {}, el('tr', {}, ...head)),
        el('tbody', {}, ...rows),
      ),
      word,
    )
  }
}

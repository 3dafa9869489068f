// Where a figure comes from: its formula, what that is made of, down to the source of each input.
import { button, el, refill } from './dom.js'
import type { Explained } from './explained.js'

export class ExplainBox {
  readonly root = el('dialog', { 'aria-labelledby': 'explain-title' })
  readonly #title = el('h2', { id: 'explain-title' }, 'Where it comes from')
  readonly #body = el('div')

  constructor() {
    this.root.append(
      this.#title,
      this.#body,
      button('Close', () => this.root.close()),
    )
  }

  open(): void {
    refill(this.#body, el('p', {}, 'Looking it up …'))
    if (!this.root.open) this.root.showModal()
  }

  show(scenario: string, explained: Explained): void {
    this.#title.textContent = `${explained.label}, ${scenario}`
    refill(this.#body, this.#node(explained, 0))
  }

  refuse(why: string): void {
    refill(this.#body, el('p', {}, why))
  }

  #node(e: Explained, depth: number): HTMLElement {
    const head = [el('strong', {}, e.text), ` ${e.label} `, el('small', {}, e.id)]
    if (e.from.length === 0) {
      const origin = e.source === undefined ? (e.formula ?? '') : `${e.source} (${e.confirmed ?? ''})`
      return el('p', { class: 'leaf' }, ...head, el('br'), el('small', {}, origin))
    }
    const inner = el('div', { class: 'inner' })
    const made = el(
      'details',
      {},
      el('summary', {}, ...head),
      e.formula !== undefined && el('p', { class: 'formula' }, `= ${e.formula}`),
      inner,
    )
    const fill = (): void => {
      if (inner.childElementCount === 0) refill(inner, ...e.from.map((one) => this.#node(one, depth + 1)))
    }
    // A tree of thousands of figures is built where it is opened.
    made.addEventListener('toggle', () => made.open && fill())
    if (depth === 0) {
      fill()
      made.open = true
    }
    return made
  }
}

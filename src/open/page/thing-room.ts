// A room with its lines, and the field that adds to it.
import type { Problem } from '../../tables/problem.js'
import { el, refill, say } from './dom.js'
import { Field } from './field.js'
import { quickLine } from './fill.js'
import { goesTo, HEADS, type Line, SHOWN } from './thing-line.js'
import { LineRow } from './thing-row.js'
import type { Things } from './things.js'
import { type Understood, understoodText } from './understand.js'

export class Room {
  readonly root: HTMLElement
  readonly #heading: HTMLElement
  readonly #body: HTMLTableSectionElement
  readonly #quick: Field
  #rows: LineRow[] = []

  constructor(
    readonly things: Things,
    readonly name: string,
  ) {
    this.#heading = el('h3', {}, name)
    this.#body = el('tbody')
    const head = el(
      'tr',
      {},
      ...SHOWN.map((column) => el('th', { scope: 'col' }, HEADS[column])),
      el('th', { scope: 'col' }, el('span', { class: 'said' }, 'More')),
    )
    this.#quick = new Field({
      label: `Add to ${name}: for example 4 dining chair`,
      list: 'items',
      placeholder: 'Add: 4 dining chair',
      take: (typed) => this.#added(typed),
    })
    this.#quick.input.addEventListener('paste', (event) => {
      const text = event.clipboardData?.getData('text/plain') ?? ''
      if (!/[\t\n]/.test(text.trim())) return
      event.preventDefault()
      this.things.paste(name, text)
    })
    this.root = el(
      'section',
      { class: 'room', 'aria-label': name },
      this.#heading,
      el(
        'div',
        { class: 'wide' },
        el(
          'table',
          { class: 'grid' },
          el('caption', { class: 'said' }, `Things in ${name}`),
          el('thead', {}, head),
          this.#body,
        ),
      ),
      el('div', { class: 'row quick' }, this.#quick.root),
    )
  }

  focus(): void {
    this.#quick.input.focus()
  }

  #added(typed: string): Understood<unknown> {
    if (typed.trim() === '') return { ok: true, value: '' }
    const text = understoodText(typed)
    if (!text.ok) return text
    const line = quickLine(this.things.context.lists()?.items ?? [], typed)
    if (!line)
      return { ok: false, why: 'Write what it is, with the number in front where there are several.' }
    const why = this.things.add(this.name, [line])
    if (why !== undefined) return { ok: false, why }
    say(`${line.quantity} ${line.item} added to ${this.name}`)
    // Ready for the next one; what was taken is told, because it may be another word than the one typed.
    this.#quick.input.value = ''
    return {
      ok: true,
      value: line,
      note: line.item_code ? `added: ${line.quantity} × ${line.item}` : `added: ${line.item}; give its size`,
    }
  }

  /** The row of a line, if this room has it. */
  rowOf(key: string): LineRow | undefined {
    return this.#rows.find(({ line }) => line.ref.key === key)
  }

  show(lines: readonly Line[], problems: ReadonlyMap<number, readonly Problem[]>): void {
    while (this.#rows.length > lines.length) {
      const row = this.#rows.pop()
      row?.root.remove()
      row?.more.remove()
    }
    lines.forEach((line, i) => {
      const known = this.#rows[i]
      if (known) {
        known.show(line)
        return
      }
      const made = new LineRow(this.things, line)
      made.show(line)
      this.#rows.push(made)
      this.#body.append(made.root, made.more)
    })
    for (const row of this.#rows) row.mark(problems.get(row.line.line) ?? [])
    const staying = lines.filter((line) => goesTo(line) !== 'ship').length
    const count = `${lines.length} ${lines.length === 1 ? 'line' : 'lines'}${staying > 0 ? `, ${staying} not shipped` : ''}`
    refill(this.#heading, this.name, ' ', el('small', {}, count))
  }
}

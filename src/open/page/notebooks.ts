// Notebooks inside the page: a question, cells that run on the household as edited, outputs, prose.
import type { Cell, CodeCell, Notebook, Output } from '../../notebook/format.js'
import type { FromRoom, KernelState, ToRoom } from '../notebook-talk.js'
import type { Book } from './book.js'
import { button, el, refill, say, setText } from './dom.js'
import type { InputCells } from './input-cells.js'
import { LiveInputs } from './live-inputs.js'
import {
  type CellActs,
  cellView,
  countText,
  placesIn,
  type Shown,
  showChecks,
  showProse,
} from './notebook-cell.js'
import { Completions } from './notebook-completions.js'
import { fileNamed, newCell, split, withMoved } from './notebook-edits.js'
import { beginRow, notebookButtons } from './notebook-list.js'
import { freshNames, movingNames, withoutNamesOf } from './notebook-names.js'
import { asText } from './notebook-text.js'
import { CellHistory } from './notebook-undo.js'
import { outputView } from './notebook-view.js'

/** How long after the last keystroke a notebook is written, ms. */
const SAVE_AFTER_MS = 800
/** And how long after it the compiler is asked about the cell, ms. */
const CHECK_AFTER_MS = 500

const STATES: Readonly<Record<KernelState, string>> = {
  none: 'No kernel runs; the first cell that is run starts one.',
  starting: 'The kernel is starting …',
  ready: 'The kernel is ready.',
  stubborn:
    'The cell does not stop. Restart the kernel: what its cells have worked out is lost, the notebook is not.',
}

export class Notebooks {
  readonly #list = el('div', { class: 'row' })
  readonly #word = el('p', { class: 'word', role: 'status' })
  readonly #bar = el('div', { class: 'row bar' })
  readonly #kernel = el('p', { class: 'fine', role: 'status' })
  readonly #cells = el('div', { class: 'cells' })
  #name = ''
  #metadata: Notebook['metadata'] = {}
  #shown: Shown[] = []
  #history = new CellHistory()
  #timer: number | undefined
  /** Outputs that this page's kernel made; those of a file are only read. */
  readonly #made = new WeakSet<readonly Output[]>()
  readonly #inputs: LiveInputs
  readonly #acts: CellActs = {
    run: (shown) => this.#run([shown]),
    runFrom: (shown) => this.#run(this.#shown.slice(this.#shown.indexOf(shown))),
    move: (shown, by) => this.#move(this.#shown.indexOf(shown), by),
    split: (shown) => this.#split(this.#shown.indexOf(shown)),
    insert: (after, kind) => this.#insert(this.#shown.indexOf(after), kind),
    drop: (shown) => this.#drop(this.#shown.indexOf(shown)),
    typed: (shown) => {
      this.#later()
      if (shown.cell.cell_type === 'code') this.#checkLater(shown)
    },
    complete: (code, cursor) =>
      this.#completions.asked(cursor, (id) =>
        this.#ask({ ask: 'complete', name: this.#name, id, code, cursor }),
      ),
    outputs: (place, outputs) => this.#outputs(place, outputs),
  }
  readonly #completions = new Completions()

  constructor(
    readonly book: Book,
    readonly root: HTMLElement,
    cells: InputCells,
  ) {
    this.#inputs = new LiveInputs(cells)
    this.root.append(
      el(
        'p',
        { class: 'fine' },
        'Cells see the household as it stands on this page, saved or not. A notebook of the package that you change becomes your own copy in the folder “notebooks”; it opens in Jupyter, too.',
      ),
      this.#list,
      beginRow((title) => this.#ask({ ask: 'new', name: fileNamed(title), title })),
      this.#word,
      this.#bar,
      this.#kernel,
      this.#cells,
    )
    this.#listed()
  }

  /** The household has changed: cells that ran on another one are out of date. */
  changed(): void {
    this.#inputs.show()
    const moving = movingNames(
      this.#shown.map(({ cell }) => ({
        code: cell.cell_type === 'code' ? asText(cell.source) : '',
        tags: cell.metadata.tags ?? [],
      })),
    )
    this.#shown.forEach((one, at) => {
      const old = one.ranOn !== undefined && one.ranOn !== this.book.texts && moving[at] === true
      one.root.classList.toggle('stale', old)
      if (!one.running) setText(one.state, old ? 'out of date: the household has changed since' : one.went)
    })
    const stale = this.#stale.length
    const again = this.#bar.querySelector<HTMLButtonElement>('.again')
    if (again) {
      again.hidden = stale === 0
      setText(again, `Run the ${stale} out of date again`)
    }
  }

  get #stale(): Shown[] {
    return this.#shown.filter(({ root }) => root.classList.contains('stale'))
  }

  hear(message: unknown): void {
    const told = message as FromRoom
    if (told.tell === 'names') {
      this.book.notebooks = told.notebooks
      this.#listed()
      this.#open(told.name)
      return
    }
    if (told.tell === 'completions') {
      this.#completions.hear(told)
      return
    }
    if (told.name !== this.#name) return
    switch (told.tell) {
      case 'opened':
        this.#fill(told.notebook)
        return
      case 'saved':
        this.book.notebooks = this.book.notebooks.map((one) =>
          one.name === told.name ? { ...one, own: true } : one,
        )
        this.#listed()
        setText(this.#word, 'The notebook is saved.')
        return
      case 'kernel':
        setText(this.#kernel, STATES[told.state])
        if (told.state === 'none') {
          for (const one of this.#shown) {
            one.ranOn = undefined
            one.running = false
          }
          this.changed()
        }
        return
      case 'running': {
        const one = this.#of(told.cell)
        if (one) {
          one.ranOn = this.book.texts
          setText(one.state, 'running …')
        }
        return
      }
      case 'checked':
        this.#checked(told)
        return
      case 'outputs':
        this.#output(told.cell, told.outputs)
        return
      case 'ran':
        this.#ran(told)
        return
    }
  }

  #ask(message: ToRoom): void {
    this.book.send({ kind: 'notebook', message })
  }

  #listed(): void {
    refill(this.#list, ...notebookButtons(this.book, this.#name, (name) => this.#open(name)))
  }

  #open(name: string): void {
    this.#saveNow()
    this.#name = name
    this.#history = new CellHistory()
    this.#listed()
    this.#ask({ ask: 'open', name })
  }

  #fill({ cells, metadata }: Notebook): void {
    this.#metadata = metadata
    this.#show(cells)
    setText(this.#kernel, STATES.none)
    refill(
      this.#bar,
      button('Run all', () => this.#run(this.#shown), { class: 'main' }),
      button('Interrupt', () => this.#ask({ ask: 'interrupt', name: this.#name })),
      button('Restart the kernel', () => this.#ask({ ask: 'restart', name: this.#name })),
      button('Undo in this notebook', () => this.#undo()),
      button('Redo in this notebook', () => this.#redo()),
      button('Run again', () => this.#run(this.#stale), { class: 'again', hidden: true }),
    )
  }

  #show(cells: readonly Cell[]): void {
    for (const { editor } of this.#shown) editor.end()
    this.#shown = cells.map((cell) => cellView(cell, this.#acts))
    refill(this.#cells, ...this.#shown.map(({ root }) => root))
    if (cells.length === 0)
      refill(
        this.#cells,
        button('Add a cell', () => this.#insert(-1, 'code')),
      )
  }

  #of(id: string): Shown | undefined {
    return this.#shown.find(({ cell }) => cell.id === id)
  }

  #run(cells: readonly Shown[]): void {
    for (const one of cells) {
      const source = asText(one.cell.source)
      if (one.cell.cell_type !== 'code' || source.trim() === '') continue
      one.running = true
      one.root.classList.remove('stale')
      setText(one.state, 'waiting …')
      one.editor.mark([])
      one.checks.hidden = true
      this.#ask({
        ask: 'run',
        name: this.#name,
        cell: one.cell.id,
        source,
        tags: one.cell.metadata.tags ?? [],
      })
    }
  }

  #output(id: string, outputs: readonly Output[]): void {
    const one = this.#of(id)
    this.#made.add(outputs)
    if (one) this.#outputs(one.outputs, outputs)
  }

  #outputs(place: HTMLElement, outputs: readonly Output[]): void {
    void outputView(place, outputs, this.#made.has(outputs) ? this.#inputs.view : undefined)
  }

  #ran(told: Extract<FromRoom, { tell: 'ran' }>): void {
    const one = this.#of(told.cell)
    if (!one) return
    one.running = false
    if (told.status === 'skipped') {
      one.ranOn = undefined
      one.went = 'not run: what went before was interrupted'
      setText(one.state, one.went)
      return
    }
    const cell: CodeCell = { ...(one.cell as CodeCell), outputs: told.outputs, execution_count: told.count }
    one.cell = cell
    this.#made.add(told.outputs)
    this.#outputs(one.outputs, told.outputs)
    const took = told.ms < 1000 ? '' : ` in ${(told.ms / 1000).toFixed(1)} s`
    one.went = told.status === 'ok' ? `${countText(cell)}${took}` : 'ended with an error'
    setText(one.state, one.went)
    if (told.status !== 'ok') {
      one.editor.mark(told.outputs.flatMap(placesIn))
      say('A cell ended with an error')
    }
    this.#later()
    this.changed()
  }

  #checkTimer: number | undefined
  #checkLater(shown: Shown): void {
    clearTimeout(this.#checkTimer)
    this.#checkTimer = window.setTimeout(() => {
      const code = asText(shown.cell.source)
      this.#ask({ ask: 'check', name: this.#name, cell: shown.cell.id, code })
    }, CHECK_AFTER_MS)
  }

  /** Shows what the compiler says of a cell, unless it has been typed into since. */
  #checked({ cell, code, problems }: Extract<FromRoom, { tell: 'checked' }>): void {
    const one = this.#of(cell)
    if (!one || asText(one.cell.source) !== code) return
    const others = this.#shown.filter((each) => each !== one).map((each) => asText(each.cell.source))
    showChecks(one, withoutNamesOf(others, problems))
  }

  #insert(at: number, kind: 'code' | 'markdown'): void {
    const id = freshNames(this.#shown.map(({ cell }) => cell.id))
    this.#change((cells) => [...cells.slice(0, at + 1), newCell(kind, id), ...cells.slice(at + 1)])
    const made = this.#of(id)
    if (made) showProse(made, false)
  }

  #move(at: number, by: 1 | -1): void {
    if (at + by < 0 || at + by >= this.#shown.length) return
    this.#change((cells) => withMoved(cells, at, by))
    this.#shown[at + by]?.root.scrollIntoView({ block: 'nearest' })
  }

  #split(at: number): void {
    const one = this.#shown[at]
    if (!one) return
    const id = freshNames(this.#shown.map(({ cell }) => cell.id))
    const parts = split(one.cell, one.editor.cursor(), id)
    this.#change((cells) => [...cells.slice(0, at), ...parts, ...cells.slice(at + 1)])
  }

  #drop(at: number): void {
    this.#change((cells) => cells.filter((_, i) => i !== at))
    say('Cell deleted; “Undo in this notebook” brings it back')
  }

  #change(make: (cells: readonly Cell[]) => readonly Cell[]): void {
    const before = this.#shown.map(({ cell }) => cell)
    const after = make(before)
    this.#history.did({ before, after })
    this.#becomes(after)
  }

  #undo(): void {
    const then = this.#history.undo(this.#shown.map(({ cell }) => cell))
    if (!then) {
      setText(this.#word, 'Nothing to undo among the cells; inside a cell Ctrl+Z undoes typing.')
      return
    }
    this.#becomes(then)
    say('The last change of the cells is undone')
  }

  #redo(): void {
    const then = this.#history.redo(this.#shown.map(({ cell }) => cell))
    if (!then) {
      setText(this.#word, 'Nothing among the cells was undone; inside a cell Ctrl+Y brings typing back.')
      return
    }
    this.#becomes(then)
    say('The change of the cells is made again')
  }

  /** Other cells, or the same in another order; those that stay keep what is known of their run. */
  #becomes(cells: readonly Cell[]): void {
    const before = new Map(this.#shown.map((one) => [one.cell.id, one]))
    this.#show(cells)
    for (const one of this.#shown) {
      const old = before.get(one.cell.id)
      one.ranOn = old?.ranOn
      if (old && old.cell === one.cell) one.went = old.went
      one.running = old?.running ?? false
      if (old?.running) setText(one.state, old.state.textContent ?? '')
    }
    this.#later()
    this.changed()
  }

  #later(): void {
    clearTimeout(this.#timer)
    this.#timer = window.setTimeout(() => this.#saveNow(), SAVE_AFTER_MS)
  }

  #saveNow(): void {
    if (this.#timer === undefined || this.#name === '') return
    clearTimeout(this.#timer)
    this.#timer = undefined
    const notebook: Notebook = {
      cells: this.#shown.map(({ cell }) => cell),
      metadata: this.#metadata,
      nbformat: 4,
      nbformat_minor: 5,
    }
    this.#ask({ ask: 'save', name: this.#name, notebook })
  }
}

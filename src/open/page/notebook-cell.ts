// One cell of a notebook as it is shown: its editor or its prose, its outputs, what can be done with it.
import type { Cell, Output } from '../../notebook/format.js'
import { button, el, refill } from './dom.js'
import { type Editor, type EditorFacts, editor } from './notebook-editor.js'
import { asText } from './notebook-text.js'
import { proseView } from './notebook-view.js'

export interface Shown {
  readonly root: HTMLElement
  readonly editor: Editor
  readonly prose: HTMLElement
  readonly outputs: HTMLElement
  readonly state: HTMLElement
  /** What the compiler says of the cell as it is typed. */
  readonly checks: HTMLElement
  cell: Cell
  /** The household's texts when the cell ran, in this page's life. */
  ranOn: unknown
  running: boolean
  /** How its last run went, in words. */
  went: string
}

/** What the buttons and the editor of a cell ask for. */
export interface CellActs {
  run(shown: Shown): void
  runFrom(shown: Shown): void
  move(shown: Shown, by: 1 | -1): void
  split(shown: Shown): void
  insert(after: Shown, kind: 'code' | 'markdown'): void
  drop(shown: Shown): void
  typed(shown: Shown): void
  readonly complete: EditorFacts['complete']
  /** Shows outputs where they belong. */
  outputs(place: HTMLElement, outputs: readonly Output[]): void
}

/** A cell ready to stand on the page: code with its outputs, text as it is read. */
export function cellView(cell: Cell, acts: CellActs): Shown {
  const code = cell.cell_type === 'code'
  // Text is not run but shown, or opened to be changed.
  const runOrShow = (): void => (code ? acts.run(shown) : showProse(shown, shown.prose.hidden !== false))
  const made = editor(asText(cell.source), {
    code,
    label: code ? 'Code of the cell; Escape, then Tab, leaves it' : 'Text of the cell',
    change: (text) => {
      shown.cell = { ...shown.cell, source: text }
      acts.typed(shown)
    },
    run: runOrShow,
    complete: acts.complete,
  })
  const prose = el('div', { class: 'prose' })
  const state = el('span', { class: 'fine' }, countText(cell))
  const outputs = el('div', { class: 'outputs' })
  const checks = el('ul', { class: 'checks', role: 'status', hidden: true })
  const row = el(
    'div',
    { class: 'row acts' },
    button(code ? 'Run' : 'Change', runOrShow, { class: 'small' }),
    code && button('From here', () => acts.runFrom(shown), { class: 'small' }),
    button('Up', () => acts.move(shown, -1), { class: 'small' }),
    button('Down', () => acts.move(shown, 1), { class: 'small' }),
    button('Split', () => acts.split(shown), { class: 'small' }),
    button('Add code', () => acts.insert(shown, 'code'), { class: 'small' }),
    button('Add text', () => acts.insert(shown, 'markdown'), { class: 'small' }),
    button('Delete', () => acts.drop(shown), { class: 'small' }),
    state,
  )
  const root = el(
    'div',
    { class: `cell ${cell.cell_type}`, role: 'group', 'aria-label': code ? 'Code cell' : 'Text cell' },
    made.root,
    checks,
    prose,
    outputs,
    row,
  )
  const shown: Shown = {
    root,
    editor: made,
    prose,
    outputs,
    state,
    checks,
    cell,
    ranOn: undefined,
    running: false,
    went: countText(cell),
  }
  if (cell.cell_type === 'code') acts.outputs(outputs, cell.outputs)
  else showProse(shown, true)
  return shown
}

/** Shows the prose of a text cell, or its source to be changed. */
export function showProse(shown: Shown, read: boolean): void {
  shown.editor.root.hidden = read
  shown.prose.hidden = !read
  if (read) void proseView(shown.prose, asText(shown.cell.source))
  else shown.editor.focus()
}

/** Shows what the compiler says of a cell. */
export function showChecks({ editor, checks }: Shown, told: Parameters<Editor['mark']>[0]): void {
  editor.mark(told)
  checks.hidden = told.length === 0
  refill(
    checks,
    ...told.slice(0, 5).map(({ line, text }) => el('li', {}, `Line ${line}: ${text}`)),
    told.length > 5 && el('li', {}, `and ${told.length - 5} more`),
  )
}

/** How often a cell has been run, in words. */
export const countText = (cell: Cell): string =>
  cell.cell_type === 'code' && cell.execution_count !== null ? `run ${cell.execution_count}` : ''

/** Lines that an error of the compiler names: `3:7 - Type …`. */
export function placesIn(output: Output): { line: number; column: number; text: string }[] {
  const text =
    output.output_type === 'stream'
      ? asText(output.text)
      : output.output_type === 'error'
        ? output.traceback.join('\n')
        : ''
  return [...text.matchAll(/(?:^|\s)(\d{1,4}):(\d{1,4}) - (.*)$/gm)].map(([, line, column, words]) => ({
    line: Number(line),
    column: Number(column),
    text: words ?? '',
  }))
}

// Cells made, moved and split, and the name of a new notebook.
import type { Cell } from '../../notebook/format.js'
import { asText } from './notebook-text.js'

/** An empty cell. */
export const newCell = (kind: 'code' | 'markdown', id: string): Cell =>
  kind === 'code'
    ? { cell_type: 'code', id, metadata: {}, source: '', execution_count: null, outputs: [] }
    : { cell_type: 'markdown', id, metadata: {}, source: '' }

/** Cells with the one at a place moved by some places. */
export function withMoved(cells: readonly Cell[], at: number, by: number): Cell[] {
  const moved = [...cells]
  moved.splice(at + by, 0, ...moved.splice(at, 1))
  return moved
}

/** A cell as two, cut where the cursor stands; the second has a name of its own and has not run. */
export function split(cell: Cell, cursor: number, id: string): readonly [Cell, Cell] {
  const text = asText(cell.source)
  const second = { ...cell, id, source: text.slice(cursor).replace(/^\n+/, ''), metadata: {} }
  const rest: Cell = second.cell_type === 'code' ? { ...second, outputs: [], execution_count: null } : second
  return [{ ...cell, source: text.slice(0, cursor).replace(/\n+$/, '') }, rest]
}

/** The file of a new notebook, from its title. */
export const fileNamed = (title: string): string =>
  `${
    title
      .toLowerCase()
      .normalize('NFKD')
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'notebook'
  }.ipynb`

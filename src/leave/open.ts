// The edge of this folder: the figures of data/reference/leave.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Refusal } from '../plan/refusal.js'
import { readGrid } from '../tables/csv.js'

/** Figures behind ship, sell or leave. */
export interface LeaveFigures {
  readonly saleShare: number
  readonly curvePoints: number
}

export function openLeaveFigures(): LeaveFigures {
  const path = fileURLToPath(new URL('../../data/reference/leave/figures.csv', import.meta.url))
  const grid = readGrid({ file: 'reference/leave/figures.csv', text: readFileSync(path, 'utf8') })
  if (!grid.ok) throw new Refusal(grid.problems)
  const figure = (id: string): number => {
    const value = Number(grid.value.rows.find(({ cells }) => cells[0] === id)?.cells[1])
    if (!Number.isFinite(value)) throw new Error(`reference/leave/figures.csv has no figure "${id}"`)
    return value
  }
  return { saleShare: figure('sale-share'), curvePoints: figure('curve-points') }
}

import { expect, it } from 'vitest'
import { dunnage } from '../../src/stowage/materials.js'

const rows: Readonly<Record<string, number>> = {
  'dunnage.straps-wall': 2,
  'dunnage.straps-tied': 1,
  'dunnage.blankets': 1.5,
  'dunnage.fillers': 2,
  'dunnage.boards-door': 4,
}

// Common practice, no source; by hand.
it('counts straps by wall and tied piece, blankets rounded up, fillers by gap, boards where a face is open', () => {
  const need = { walls: 4, tied: 3, bare: 5, gaps: 2, braced: 1 }
  // 4 × 2 + 3; 5 × 1.5 is 7.5; 2 × 2; 4.
  expect(dunnage(need, (id) => rows[id] ?? 0)).toEqual({ strap: 11, blanket: 8, filler: 4, board: 4 })
  expect(dunnage({ walls: 0, tied: 0, bare: 0, gaps: 0, braced: 0 }, (id) => rows[id] ?? 0)).toEqual({
    strap: 0,
    blanket: 0,
    filler: 0,
    board: 0,
  })
})

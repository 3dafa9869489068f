import { describe, expect, it } from 'vitest'
import { validate } from '../../../src/stowage/packing/index.js'
import type { LoadPiece } from '../../../src/stowage/pieces/index.js'
import { packVerdict, type VerdictQuestion, verdictKey } from '../../../src/stowage/plan/index.js'
import { container } from '../../bench/packing/households.js'

const carton = (i: number, more: Partial<LoadPiece> = {}): LoadPiece => ({
  id: `c${i}`,
  label: `carton ${i}`,
  kind: 'carton',
  room: 'Kitchen',
  lines: ['1'],
  sizeFrom: 'carton',
  worth: 100,
  lengthMm: 600,
  widthMm: 400,
  heightMm: 400,
  massKg: 12 + (i % 7),
  maxLoadOnTopKg: 80,
  ...more,
})

const cartons = (n: number): LoadPiece[] => Array.from({ length: n }, (_, i) => carton(i + 1))

const rows: Readonly<Record<string, number>> = {
  'stack.heavy-from': 25,
  'support.share': 1,
  'support.soft-share': 1,
  'support.level': 0,
  'lift.from': 30,
  'lift.highest': 1300,
  'front.tight': 50,
  'slender.ratio': 3,
  'slender.reach': 150,
  'reach.over': 700,
}

const question = (more: Partial<VerdictQuestion> = {}): VerdictQuestion => ({
  pieces: cartons(120),
  vehicles: [],
  clearance: { sideMm: 50, endMm: 100, topMm: 50 },
  hold: container('22G1'),
  figures: (id) => rows[id],
  work: 4000,
  ...more,
})

describe('the verdict on a household and a container', () => {
  it('is complete, with a valid plan, where everything goes in', () => {
    const q = question()
    const verdict = packVerdict(q)
    expect(verdict.complete).toBe(true)
    expect(verdict.aboardCount).toBe(120)
    expect(verdict.aboardPackedM3).toBeCloseTo(120 * 0.6 * 0.4 * 0.4, 9)
    expect(verdict.allPackedM3).toBeCloseTo(verdict.aboardPackedM3, 9)
    expect(verdict.plan && validate(q.hold, q.pieces, verdict.plan)).toEqual([])
  })

  it('says what stays out, and calls it impossible only with a proof', () => {
    const full = packVerdict(question({ pieces: cartons(400) }))
    expect(full.complete).toBe(false)
    expect(full.impossible).toContain('there is room for')
    expect(full.aboardCount + full.leftOut.length).toBe(400)
    const tight = packVerdict(question({ pieces: cartons(330) }))
    expect(tight.complete).toBe(false)
    expect(tight.impossible).toBeUndefined()
  })

  it('leaves everything out of a container that the vehicle does not enter', () => {
    const van = { lengthMm: 4800, widthMm: 1900, heightMm: 2600, massKg: 2200, deck: false }
    const verdict = packVerdict(
      question({ vehicles: [{ id: 'van', label: 'Van', kind: 'car', ...van }], work: 100 }),
    )
    expect(verdict.impossible).toContain('Van is 2600 mm high')
    expect(verdict.leftOut).toHaveLength(120)
    expect(verdict.workUsed).toBe(0)
  })

  it('is the same again, and counts the work it took', () => {
    const q = question({ pieces: cartons(330), work: 3000 })
    const verdict = packVerdict(q)
    expect(packVerdict(q)).toEqual(verdict)
    expect(verdict.workUsed).toBeGreaterThan(0)
  })
})

describe('the key of a verdict', () => {
  it('hangs on sizes, masses, limits, container and budget, not on names', () => {
    const key = verdictKey(question())
    expect(key).toMatch(/^[0-9a-f]{64}$/)
    const renamed = question({
      pieces: cartons(120).map((p) => ({ ...p, label: 'x', room: 'y', lines: [] })),
    })
    expect(verdictKey(renamed)).toBe(key)
    const others: Partial<VerdictQuestion>[] = [
      { pieces: [carton(1, { massKg: 99 }), ...cartons(120).slice(1)] },
      { pieces: [carton(1, { heightMm: 401 }), ...cartons(120).slice(1)] },
      { pieces: [carton(1, { maxLoadOnTopKg: 1 }), ...cartons(120).slice(1)] },
      { pieces: cartons(119) },
      { hold: container('42G1') },
      { hold: { ...container('22G1'), balanceShare: 0.04 } },
      { figures: (id) => (id === 'stack.heavy-from' ? 20 : rows[id]) },
      { figures: (id) => (id === 'support.share' ? 0.8 : rows[id]) },
      { work: 4001 },
      { seed: 2 },
    ]
    const keys = others.map((more) => verdictKey(question(more)))
    expect(new Set([key, ...keys]).size).toBe(others.length + 1)
  })
})

import fc from 'fast-check'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { chartTheme } from '../../src/charts/theme-file.js'
import {
  type LeastLoss,
  type LeaveItem,
  type LeaveSet,
  leastLossSolver,
  leaveCurve,
  leaveItems,
  leaveSections,
  leaveSets,
  planWithout,
  setSentence,
} from '../../src/leave/index.js'
import { type PackedRooms, packedInto, questionOf } from '../../src/load/packed-plans.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import { wordsIn } from '../../src/paper/words-file.js'
import { type Move, type Plan, planOf } from '../../src/plan/index.js'
import { exact } from '../../src/quantity/exact.js'
import { verdictKey } from '../../src/stowage/plan/index.js'
import { moveOf, plansOf } from '../brief/household.js'
import { sharedTexts } from '../paper/texts.js'

let solve: LeastLoss
let move: Move
let plan: Plan
let items: readonly LeaveItem[]

beforeAll(async () => {
  solve = await leastLossSolver()
  move = await moveOf('student-tromso-wellington', (file) =>
    file.file.endsWith('inventory.csv')
      ? {
          ...file,
          // A column that the household adds: one line must travel.
          text: file.text
            .split('\n')
            .map((row, at) =>
              row === '' ? row : at === 0 ? `${row},must_travel` : `${row},${at === 2 ? 'yes' : ''}`,
            )
            .join('\n'),
        }
      : file,
  )
  plan = plansOf(move)[0] as Plan
  items = leaveItems(move, plan, 0.7)
})

describe('the set that loses least', () => {
  it('is that of an exhaustive search', () => {
    const thing = fc.record({
      m3: fc.integer({ min: 1, max: 400 }),
      loss: fc.integer({ min: -300, max: 900 }),
    })
    fc.assert(
      fc.property(
        fc.array(thing, { minLength: 1, maxLength: 10 }),
        fc.integer({ min: 0, max: 1500 }),
        (raw, litres) => {
          const things = raw.map(({ m3, loss }, at) => ({ id: `t${at}`, m3: m3 / 100, loss }))
          const need = litres / 100
          let best = Number.POSITIVE_INFINITY
          for (let mask = 0; mask < 2 ** things.length; mask += 1) {
            const set = things.filter((_, at) => mask & (1 << at))
            if (set.reduce((sum, t) => sum + Math.round(t.m3 * 100), 0) >= litres)
              best = Math.min(
                best,
                set.reduce((sum, t) => sum + t.loss, 0),
              )
          }
          const found = solve(things, need)
          expect(found === undefined).toBe(best === Number.POSITIVE_INFINITY)
          if (found === undefined) return
          const chosen = things.filter(({ id }) => found?.includes(id))
          expect(chosen.reduce((sum, t) => sum + t.loss, 0)).toBe(best)
          expect(chosen.reduce((sum, t) => sum + Math.round(t.m3 * 100), 0)).toBeGreaterThanOrEqual(litres)
        },
      ),
      { seed: 20261126, numRuns: 150 },
    )
  })
})

describe('what a thing costs to ship', () => {
  it('is what the plan costs less without it, to the cent', () => {
    const total = plan.sheet.cells.get('cost.total')?.value ?? exact.of(0)
    for (const { id, marginal } of items.filter((_, at) => at % 5 === 0)) {
      const left = planOf(move, 'left', [
        ...plan.changes,
        { id: `take.${id}`, value: 'leave', place: { file: 'test', line: 1 } },
      ])
      if (!left.ok) throw new Error(id)
      const without = left.value.sheet.cells.get('cost.total')?.value ?? total
      expect(marginal.toString(), id).toBe(total.minus(without).toString())
    }
  })

  it('stands against sale and replacement, with the break-even between them', () => {
    for (const { marginal, resale, replacement, gain, breakEven, advice } of items) {
      if (!resale || !replacement || !gain || !breakEven) continue
      expect(gain.toString()).toBe(marginal.plus(resale).minus(replacement).toString())
      expect(breakEven.minus(replacement).toString()).toBe(gain.toString())
      if (advice !== 'must travel') expect(advice === 'ship').toBe(gain.lte(0))
    }
  })

  it('gives no advice on what must travel', () => {
    expect(items[0]?.advice).toBe('must travel')
    expect(items.slice(1).some(({ advice }) => advice === 'must travel')).toBe(false)
  })
})

describe('the curve', () => {
  it('starts with nothing left, never takes what must travel, and leaving more never costs more carriage', () => {
    const curve = leaveCurve(move, plan, items, solve, 6)
    expect(curve[0]?.count).toBe(0)
    expect(curve[0]?.gain.isZero()).toBe(true)
    for (const [at, point] of curve.entries()) {
      const before = curve[at - 1]
      if (before) expect(point.m3.gte(before.m3)).toBe(true)
      expect(point.count).toBeLessThan(items.length)
    }
  })
})

describe('the set for one container', () => {
  it('leaves everything else in one, at the gain that the plan made anew says', async () => {
    // Nine times as much of everything: more than one 20 foot box takes, so that there is something to leave.
    const grown = planOf(move, 'grown', [
      ...plan.changes,
      { id: 'transport', value: '22G1', place: { file: 'test', line: 1 } },
      ...move.household.inventory
        .filter(({ take }) => take === 'ship')
        .map(({ line, quantity }) => ({
          id: `line.${line}.quantity`,
          value: quantity.times(9).toString(),
          place: { file: 'test', line: 1 },
        })),
    ])
    if (!grown.ok) throw new Error(JSON.stringify(grown.problems))
    const all = leaveItems(move, grown.value, 0.7)
    const [set] = leaveSets(move, grown.value, all, solve).filter(({ transport }) => transport === '22G1')
    if (!set) throw new Error('no set found')
    const after = planWithout(
      move,
      grown.value,
      set.items.map(({ id }) => id),
      '22G1',
    )
    expect(grown.value.sheet.cells.get('options.22G1.containers')?.value.gt(1)).toBe(true)
    expect(after.sheet.cells.get('options.22G1.containers')?.value.toString()).toBe('1')
    expect(set.fill.lte(1)).toBe(true)
    const before = grown.value.sheet.cells.get('cost.total')?.value ?? exact.of(0)
    expect(set.saved.toString()).toBe(
      before.minus(after.sheet.cells.get('cost.total')?.value ?? 0).toString(),
    )
    expect(set.gain.toString()).toBe(set.saved.plus(set.resale).minus(set.replacement).toString())
    expect(set.items.some(({ mustTravel }) => mustTravel)).toBe(false)
  })
})

/** A set as one might be found, whatever it holds. */
const someSet = (gain: number): LeaveSet => ({
  transport: '22G1',
  label: '20 foot standard',
  items: items.slice(1, 8),
  m3: exact.of(1.4),
  saved: exact.of(2310),
  resale: exact.of(300),
  replacement: exact.of(800),
  gain: exact.of(gain),
  total: exact.of(9000),
  fill: exact.of('0.98'),
})

describe('a set packed piece by piece', () => {
  it('is asked of the packer once: the answer is kept, told with its pieces, and the same again', () => {
    const rooms: PackedRooms = new Map()
    const told: string[] = []
    const found = packedInto(move, plan, '22G1', rooms, (text) => told.push(text))
    expect(found).toEqual({ complete: true, out: 0 })
    expect([...rooms.keys()]).toEqual([verdictKey(questionOf(move, plan, '22G1'))])
    expect(packedInto(move, plan, '22G1', rooms, (text) => told.push(text))).toEqual(found)
    expect(told.length).toBe(1)
  })

  it('is packed anew where an older answer did not count the pieces that stay out', () => {
    const key = verdictKey(questionOf(move, plan, '22G1'))
    const rooms: PackedRooms = new Map([[key, { complete: false, aboardShare: 0.9 }]])
    expect(packedInto(move, plan, '22G1', rooms)).toEqual({ complete: true, out: 0 })
    expect(rooms.get(key)?.complete).toBe(true)
  })

  it.each([
    [undefined, 'By volume, not yet packed.'],
    [{ complete: true, out: 0 }, 'Packed piece by piece: everything goes in.'],
    [{ complete: false, out: 1 }, 'by volume; packed piece by piece, one piece stays out'],
    [{ complete: false, out: 3 }, '3\u00a0pieces stay out: leave something more'],
  ])('says so: %o', (packed, said) => {
    expect(ENGLISH_WORDS.tell(setSentence(move, someSet(1810), packed))).toContain(said)
  })
})

test.each(['fr', 'es', 'de'])(
  'the page speaks %s, and only the household’s own words stay',
  async (language) => {
    const page = (words: typeof ENGLISH_WORDS) =>
      leaveSections(
        move,
        words,
        {
          items,
          sets: [someSet(1810), someSet(-20)],
          packed: { complete: false, out: 3 },
          curve: [0, 1].map((at) => ({
            m3: exact.of(at),
            saved: exact.of(at),
            gain: exact.of(-at),
            count: at,
          })),
          saleShare: 0.7,
        },
        chartTheme(),
      )
    const own = new Set(items.flatMap(({ id, label }) => [id, label, `${id} ${label}`]))
    const shared = sharedTexts(page(await wordsIn(language)), page(ENGLISH_WORDS)).filter(
      (text) => !own.has(text),
    )
    expect(shared).toEqual([move.household.facts.currency])
  },
)

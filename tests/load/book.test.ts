import { beforeAll, describe, expect, it } from 'vitest'
import {
  balanceRows,
  bookHtml,
  crewWork,
  find,
  highRow,
  type LoadResult,
  loadFigures,
  loadHtml,
  loadingList,
  loadPlan,
  numbers,
  stowageFigures,
} from '../../src/load/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { inFrontOf, validate } from '../../src/stowage/packing/index.js'
import { openDemo, plansOf } from '../plan/households.js'

let move: Move
let plan: Plan
let result: LoadResult
beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plan = plansOf(move)[0] as Plan
  result = loadPlan(move, plan, { container: 'L5G1', work: 20_000 })
}, 120_000)

describe('the loading book', () => {
  it('has one page for each stage, under twelve a container, with every number of its list once', () => {
    const html = bookHtml(move, plan, result, '')
    const stages = Math.max(...result.first.plan.placements.map((p) => p.stage))
    const pages = html.split('<section class="page"').slice(1)
    const own = pages.filter((page) => page.includes(': stage ') && page.includes('45 foot high cube'))
    expect(own).toHaveLength(stages)
    // The front page and the one for the destination.
    expect(stages + 2).toBeLessThan(12)
    const listed = own.flatMap((page) =>
      [...page.matchAll(/<tr><th scope="row">(\d+)<\/th>/g)].map((m) => Number(m[1])),
    )
    expect(listed.toSorted((a, b) => a - b)).toEqual(result.first.plan.placements.map((_, i) => i + 1))
    for (const page of own) {
      expect(page.match(/<img /g)?.length).toBeLessThanOrEqual(2)
      expect(page).toMatch(/\d+ minutes, \d+ people/)
      expect(page).toContain('Nobody stands below a raised load')
    }
    expect(html).not.toMatch(/(?:src|href)="(?!#|data:)/)
    expect(html).toContain("script-src 'none'")
  })

  // Common practice, no source: nobody loads a container alone, so two do what is counted for one, in half the time.
  it('gives two people half the hours that are counted for one', async () => {
    const alone = await openDemo('student-tromso-wellington')
    const own = plansOf(alone)[0] as Plan
    const load = loadPlan(alone, own, { container: '22G1', work: 1500 })
    const work = crewWork(alone, own, load.first, load.pieces)
    const hours = own.sheet.cells.get('work.loading.hours')?.value.toNumber() ?? 0
    const minutes = work.stages.reduce((sum, s) => sum + s.minutes, 0)
    expect(load.first.plan.leftOut).toEqual([])
    expect(work.stages[0]?.people).toBe(2)
    expect(minutes).toBeGreaterThanOrEqual(hours * 30 - 1e-6)
    expect(minutes).toBeLessThan(hours * 30 + 5 * work.stages.length)
  })

  it('shares the hours of loading out by mass', () => {
    const work = crewWork(move, plan, result.first, result.pieces)
    const aboard = new Set(result.first.plan.placements.map((p) => p.pieceId))
    const kg = result.pieces.reduce((sum, p) => sum + p.massKg, 0)
    const aboardKg = result.pieces.reduce((sum, p) => (aboard.has(p.id) ? sum + p.massKg : sum), 0)
    const hours = plan.sheet.cells.get('work.loading.hours')?.value.toNumber() ?? 0
    const minutes = work.stages.reduce((sum, s) => sum + s.minutes, 0)
    // Each stage is rounded up to five minutes.
    expect(minutes).toBeGreaterThanOrEqual((hours * 60 * aboardKg) / kg - 1e-6)
    expect(minutes).toBeLessThan((hours * 60 * aboardKg) / kg + 5 * work.stages.length)
    // Lifting: rows lift.two-people (23 kg) and lift.gear (60 kg) of stowage.csv.
    const rows = loadingList(result.first, result.pieces)
    const heavy = rows.filter((r) => r.piece.massKg >= 60).map((r) => r.number)
    expect(work.stages.flatMap((s) => s.gear)).toEqual(heavy)
    expect(work.stages.flatMap((s) => s.tie)).toHaveLength(result.first.plan.tied?.length ?? -1)
    expect(work.materials.every((m) => m.count >= 0 && m.cost >= m.count)).toBe(true)
  })

  it('puts a verdict beside each limit that the plan was made under', () => {
    const { hold } = result.first
    const figures = loadFigures(result.first, result.pieces, result.vehicles)
    const verdict = (of: typeof figures, what: string) =>
      balanceRows(of, hold).find((row) => row.what === what)?.kept
    expect(verdict(figures, 'Centre of gravity across')).toBe(true)
    // By hand: a twentieth of 2352 mm is 117.6 mm; half of 2698 mm is 1349 mm.
    expect(hold.widthMm).toBe(2352)
    expect(verdict({ ...figures, offsetAcrossMm: 117 }, 'Centre of gravity across')).toBe(true)
    expect(verdict({ ...figures, offsetAcrossMm: -118 }, 'Centre of gravity across')).toBe(false)
    expect(verdict({ ...figures, heightMm: 1349 }, 'Centre of gravity above the floor')).toBe(true)
    expect(verdict({ ...figures, heightMm: 1350 }, 'Centre of gravity above the floor')).toBe(false)
    expect(verdict({ ...figures, freeAtFrontMm: 51 }, 'Free behind the front wall')).toBe(false)
  })

  // Breast height 1.30 m and 20 kg: rows lift.highest and lift.high of stowage.csv.
  it.each<[what: string, z: number, massKg: number, kept: boolean, here: RegExp]>([
    ['what stands at breast height counts as below it', 1300, 25, true, /^0$/],
    ['one person lifts 20 kg above it', 1301, 20, true, /^1, the heaviest 20\u00a0kg$/],
    ['21 kg are named, for two', 1301, 21, false, /^1, the heaviest 21\u00a0kg; over .*: 0 \(21\u00a0kg\)$/],
  ])('tells what stands above breast height: %s', (_, z, massKg, kept, here) => {
    const [first] = result.first.plan.placements
    const [piece] = result.pieces
    if (first === undefined || piece === undefined) throw new Error('nothing is loaded')
    const load = { ...result.first.plan, placements: [{ ...first, pieceId: '0', z }] }
    const row = highRow({ plan: load }, [{ ...piece, id: '0', massKg }], stowageFigures(move))
    expect(row.kept).toBe(kept)
    expect(row.here).toMatch(here)
  })

  it('has a place to sign, and the mass of the container with all that is in it', () => {
    const html = bookHtml(move, plan, result, '')
    const figures = loadFigures(result.first, result.pieces, result.vehicles)
    const whole = Math.round(figures.goodsKg + figures.vehiclesKg + result.first.hold.tareKg)
    expect(html).toContain(`${whole.toLocaleString('en-GB')}\u00a0kg with vehicle and container`)
    expect(html.match(/<dl class="sign">/g)).toHaveLength(1 + result.more.length)
    for (const blank of ['Container number', 'Seal number', 'Checked and signed by'])
      expect(html).toContain(blank)
  })

  it('has that verdict in the book and on the page alike', () => {
    const { what, here } = highRow(result.first, result.pieces, stowageFigures(move))
    for (const html of [bookHtml(move, plan, result, ''), loadHtml(move, result, { css: '' })]) {
      expect(html).toContain(what)
      expect(html).toContain(here)
    }
  })
})

describe('what stands in front of a piece', () => {
  it('taken out, leaves a way that the independent check accepts; one less of it does not', () => {
    const { hold, plan: load } = result.first
    let tried = 0
    load.placements.forEach(({ pieceId }, i) => {
      if (i % 17 !== 0) return
      const out = inFrontOf(hold, load, pieceId)
      const gone = new Set(out.placements)
      // Loaded last but for what was taken out, it must find its way in: so it finds its way out.
      const way = (kept: ReadonlySet<number>): number => {
        const others = load.placements.filter((_, j) => j !== i && !kept.has(j))
        const last = load.placements.filter((_, j) => j === i)
        const after = load.placements.filter((_, j) => kept.has(j))
        const order = [...others, ...last, ...after].map((p) => ({ ...p, stage: 1 }))
        const vehiclesOut = out.vehicles.length > 0 ? { ...hold, fixed: [] } : hold
        return validate(vehiclesOut, result.pieces, { ...load, placements: order }).filter(
          (v) => v.rule === 'order' && v.pieceIds.includes(pieceId),
        ).length
      }
      expect(way(gone)).toBe(0)
      const [direct] = out.placements.filter((j) => way(new Set([...gone].filter((g) => g !== j))) > 0)
      if (gone.size > 0) {
        expect(direct).toBeDefined()
        tried++
      }
    })
    expect(tried).toBeGreaterThan(5)
  })

  it('is told by mark or by inventory line', () => {
    const [first] = result.first.plan.placements
    expect(find(result, first?.pieceId ?? '')[0]).toContain('is number 1 in stage 1 of container 1 (L5G1)')
    const line = result.pieces.find((p) => p.kind === 'carton')?.lines[0] ?? ''
    expect(find(result, line).length).toBeGreaterThan(0)
    expect(find(result, 'no such mark')).toEqual([])
  })

  it('is written with runs of numbers', () => {
    expect(numbers([9, 3, 4, 5, 7, 8])).toBe('3 to 5, 7 to 9')
    expect(numbers([1, 2])).toBe('1, 2')
    expect(numbers([])).toBe('')
  })
})

import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import ICAL from 'ical.js'
import { beforeAll, describe, expect, it } from 'vitest'
import {
  arrivalOdds,
  calendarFile,
  type DatePlan,
  datePlan,
  earliestLoading,
  latestLoading,
  tasksCsv,
  tasksOf,
  waitingWords,
  wantedDate,
  wantedWords,
} from '../../src/dates/index.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { chanceBy, dayNumber, isoDay } from '../../src/time/index.js'
import { amount, openDemo, planWith } from '../plan/households.js'

let move: Move
let plan: Plan
let dates: DatePlan
beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plan = planWith(move, { transport: '45G1' })
  dates = datePlan(move, plan)
})
const task = (id: string, of: Plan = plan) => {
  const found = tasksOf(move, of).find((each) => each.id === id)
  if (!found) throw new Error(`no task ${id}`)
  return found
}
const day = dayNumber

describe('tasks worked back from a day', () => {
  it('follow each other without a gap at likely days: by hand from the closing date', () => {
    // closing 25 February; booking 14 days, choosing 4, enquiries 14
    expect(isoDay(task('booking').startBy)).toBe('2027-02-11')
    expect(isoDay(task('choice').startBy)).toBe('2027-02-07')
    expect(isoDay(task('enquiries').startBy)).toBe('2027-01-24')
    expect(isoDay(task('enquiries').finishBy)).toBe('2027-02-07')
  })

  it('leave more time for the longer path, and never start a task after the one it waits for', () => {
    for (const each of dates.tasks) {
      expect(each.startBySure).toBeLessThanOrEqual(each.startBy)
      expect(each.startBy).toBeLessThanOrEqual(each.finishBy)
      expect(each.finishBy).toBeLessThanOrEqual(each.milestone)
    }
    expect(task('enquiries').startBySure).toBeLessThan(task('choice').startBySure)
    expect(task('choice').startBySure).toBeLessThan(task('booking').startBySure)
  })

  it('are in time in nine cases of ten: the rate of a simulation of the same ranges', () => {
    const { startBySure, milestone } = task('choice')
    // A PERT curve is a beta curve; two gamma draws make a beta draw. Seeded, so that the count is the same each time.
    let seed = 20_270_224
    const random = () => {
      seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0
      return (seed + 0.5) / 2 ** 32
    }
    const normal = () => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random())
    const gamma = (shape: number): number => {
      const d = shape - 1 / 3
      for (;;) {
        const x = normal()
        const v = (1 + x / Math.sqrt(9 * d)) ** 3
        if (v > 0 && Math.log(random()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v
      }
    }
    const pert = (low: number, likely: number, high: number) => {
      const a = gamma(1 + (4 * (likely - low)) / (high - low))
      const b = gamma(1 + (4 * (high - likely)) / (high - low))
      return Math.ceil(low + ((high - low) * a) / (a + b))
    }
    const draws = 20_000
    let inTime = 0
    for (let i = 0; i < draws; i++)
      if (startBySure + pert(2, 4, 10) + pert(7, 14, 28) <= milestone) inTime += 1
    expect(inTime / draws).toBeGreaterThan(0.89)
    let aDayLater = 0
    for (let i = 0; i < draws; i++)
      if (startBySure + 1 + pert(2, 4, 10) + pert(7, 14, 28) <= milestone) aDayLater += 1
    expect(aDayLater / draws).toBeLessThan(0.91)
  })

  it('count slack from the day of the plan, below zero where it is too late', () => {
    const soon = planWith(move, { transport: '45G1', 'load-on': '2026-12-05' })
    expect(task('enquiries', soon).slack).toBeLessThan(0)
    expect(earliestLoading(move, soon)).toBeGreaterThan(day('2026-12-05'))
  })

  it('a share of a container is booked, and its mover chosen, before the goods are fetched', () => {
    const shared = planWith(move, { transport: 'groupage', 'take.V-01': 'leave' })
    expect(task('booking', shared).finishBy).toBeLessThanOrEqual(day('2027-02-25'))
    expect(amount(shared, 'time.on.booking')).toBe(task('booking', shared).startBy)
  })

  it('leave out what the plan has no use for', () => {
    const ids = (of: Plan) => tasksOf(move, of).map(({ id }) => id)
    expect(ids(plan)).toContain('vehicle-ready')
    expect(ids(planWith(move, { transport: '45G1', 'take.V-01': 'leave' }))).not.toContain('vehicle-ready')
    expect(ids(planWith(move, { transport: '45G1', cover: 'none' }))).not.toContain('cover')
    expect(ids(plan)).not.toContain('storage-cover')
    expect(ids(planWith(move, { transport: '45G1', 'storage.months': '2' }))).toContain('storage-cover')
  })
})

describe('a wanted date', () => {
  it('is surely kept in the end, not before loading, and a home takes no less time than its goods', () => {
    const odds = arrivalOdds(move, plan, amount(plan, 'time.on.loading'), amount(plan, 'import-on'))
    expect(chanceBy(odds.goods, amount(plan, 'time.on.loading'))).toBe(0)
    expect(chanceBy(odds.goods, amount(plan, 'time.on.loading') + 300)).toBeCloseTo(1, 6)
    expect(chanceBy(odds.home, day('2027-05-20'))).toBeLessThanOrEqual(
      chanceBy(odds.goods, day('2027-05-20')),
    )
  })

  it('wanted earlier never gives a later loading, and a latest loading keeps it in nine cases of ten', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 120 }),
        fc.integer({ min: 0, max: 40 }),
        fc.constantFrom('goods' as const, 'home' as const),
        fc.constantFrom<'planned' | 'when ashore'>('planned', 'when ashore'),
        (after, earlier, what, how) => {
          const declared = how === 'planned' ? day('2027-04-16') : how
          const wanted = day('2027-04-10') + after
          const late = latestLoading(move, plan, what, wanted, declared)
          const early = latestLoading(move, plan, what, wanted - earlier, declared)
          if (late === undefined) expect(early).toBeUndefined()
          else {
            if (early !== undefined) expect(early).toBeLessThanOrEqual(late)
            expect(chanceBy(arrivalOdds(move, plan, late, declared)[what], wanted)).toBeGreaterThan(0.8999)
            expect(chanceBy(arrivalOdds(move, plan, late + 1, declared)[what], wanted)).toBeLessThan(0.9)
          }
        },
      ),
      { numRuns: 40 },
    )
  })

  it('that cannot be met says by how many days, and what would have to give', () => {
    const wanted = wantedDate(move, plan, 'goods', day('2027-04-10'))
    expect(wanted.lateBy).toBe(wanted.sureOn - day('2027-04-10'))
    expect(wanted.lateBy).toBeGreaterThan(0)
    const declare = wanted.gives.find(({ changes }) => changes.length === 1 && changes[0]?.id === 'import-on')
    expect(declare?.gains).toBeGreaterThan(0)
    // Declaring in time saves the demurrage of the wait.
    expect(declare?.costs.isNegative()).toBe(true)
    const words = wantedWords(wanted, 'EUR').map(ENGLISH_WORDS.tell).join('\n')
    expect(words).toContain(`${wanted.lateBy}\u00a0days late`)
    expect(words).toContain('declare the import on')
  })

  it('each thing that gives is one the plan really gains by: planned anew, it comes sooner by so many days', () => {
    const wanted = wantedDate(move, plan, 'home', day('2027-04-10'))
    for (const { changes, gains } of wanted.gives) {
      const then = planWith(move, {
        transport: '45G1',
        ...Object.fromEntries(changes.map(({ id, value }) => [id, value])),
      })
      expect(wantedDate(move, then, 'home', day('2027-04-10')).sureOn).toBe(wanted.sureOn - gains)
    }
  })
})

describe('waiting against a warehouse', () => {
  it('beats the port from the day found and not the day before: by hand from the price lists', () => {
    const port = dates.waiting.find(({ where }) => where === 'at the port')
    const rate = amount(plan, 'exchange.USD')
    const packed = amount(plan, 'volume.packed')
    const price = (id: string) => amount(plan, `price.${id}`)
    const [first, later] = [price('demurrage.45G1.1'), price('demurrage.45G1.2')]
    // By volume the goods and the car take two of these containers, and each of them waits.
    const containers = amount(plan, 'options.45G1.containers')
    const demurrage = (n: number) => (Math.min(n, 7) * first + Math.max(0, n - 7) * later) * rate * containers
    const handled = amount(plan, 'storage.handling') * 2 + price('destination-haulage.groupage')
    const stored = (n: number) => (handled + (price('storage') * n * 12) / 365) * packed * rate
    const n = port?.from ?? 0
    expect(n).toBeGreaterThan(1)
    expect(demurrage(n)).toBeGreaterThan(stored(n))
    expect(demurrage(n - 1)).toBeLessThanOrEqual(stored(n - 1))
    expect(port?.container.toNumber()).toBeCloseTo(demurrage(n), 2)
    expect(port?.warehouse.toNumber()).toBeCloseTo(stored(n), 2)
  })

  it('before the voyage has its day too, and the ship leaves so much later', () => {
    const at = (name: string) => dates.waiting.find(({ where }) => where === name)
    const [port, home] = [at('at the port'), at('at the old home')]
    // Without the way by lorry from the warehouse it pays sooner, and every day of the plan's tariff is charged.
    const lastFree = amount(plan, 'time.on.last-free-day')
    expect(home?.from).toBeLessThan(port?.from ?? 0)
    expect(home?.on).toBe(lastFree + (home?.from ?? 0))
    expect(home?.sailOn).toBe(amount(plan, 'time.on.sailing') + (home?.from ?? 0))
    // Planned so, that day is free: its last free day is the day the goods are fetched.
    const later = planWith(move, {
      transport: '45G1',
      'load-on': isoDay(amount(plan, 'time.on.loading') + (home?.from ?? 0)),
    })
    expect(amount(later, 'time.on.last-free-day')).toBe(home?.on)
    expect(amount(later, 'time.on.sailing')).toBe(home?.sailOn)
    if (!home) throw new Error('no wait before the voyage')
    const words = ENGLISH_WORDS.tell(waitingWords(home, 'EUR'))
    expect(words).toContain(ENGLISH_WORDS.locale.day(isoDay(home.on ?? 0)))
    expect(words).not.toContain('customs')
  })

  it('a shared container has nothing to compare: its goods stand in a freight station', () => {
    expect(datePlan(move, planWith(move, { transport: 'groupage', 'take.V-01': 'leave' })).waiting).toEqual(
      [],
    )
  })
})

describe('the calendar file, read by another library (RFC 5545)', () => {
  const made = new Date('2026-11-25T08:00:00Z')
  const events = (text: string) =>
    new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map((each) => new ICAL.Event(each))

  it('has one whole-day event with an alarm for each task and deadline, on its day', () => {
    const found = events(calendarFile(dates, made))
    expect(found.length).toBe(dates.tasks.length + dates.deadlines.length)
    const booking = found.find(({ uid }) => uid.includes('task-booking'))
    expect(booking?.startDate.isDate).toBe(true)
    expect(booking?.startDate.toString()).toBe(isoDay(task('booking').startBySure))
    for (const each of found) {
      const alarms = each.component.getAllSubcomponents('valarm')
      expect(alarms.map((alarm) => alarm.getFirstPropertyValue('action'))).toEqual(['DISPLAY'])
      expect(String(alarms[0]?.getFirstPropertyValue('trigger'))).toMatch(/^-P[37]D$/)
    }
  })

  it('keeps each UID and raises SEQUENCE, so that a second import moves the events', () => {
    const before = events(calendarFile(dates, made))
    const moved = datePlan(move, planWith(move, { transport: '45G1', 'load-on': '2027-03-10' }))
    const after = events(calendarFile(moved, new Date('2026-12-01T08:00:00Z')))
    expect(new Set(before.map(({ uid }) => uid)).size).toBe(before.length)
    expect(after.map(({ uid }) => uid).sort()).toEqual(before.map(({ uid }) => uid).sort())
    const of = (list: typeof before) => list.find(({ uid }) => uid.includes('task-booking'))
    expect(of(after)?.sequence).toBeGreaterThan(of(before)?.sequence ?? 0)
    expect(of(after)?.startDate.toString()).not.toBe(of(before)?.startDate.toString())
  })

  it('ends lines with CRLF and folds them at 75 octets, whatever the household is called', () => {
    const text = calendarFile({ ...dates, household: 'Ża;ż,ó\\ł"ć\n🚢 & <b>'.repeat(6) }, made)
    const lines = text.split('\r\n')
    expect(text.replaceAll('\r\n', '')).not.toContain('\n')
    expect(lines.every((line) => Buffer.byteLength(line) <= 75)).toBe(true)
    expect(events(text).length).toBe(dates.tasks.length + dates.deadlines.length)
  })
})

it('tasks.csv has every task and deadline by day, and what a household wrote is no formula in it', () => {
  const rows = parse(tasksCsv(dates), { columns: true }) as Record<string, string>[]
  expect(rows.length).toBe(dates.tasks.length + dates.deadlines.length)
  const booking = rows.find(({ id }) => id === 'booking')
  expect(booking?.start_by).toBe('2027-02-11')
  expect(booking?.finish_by).toBe('2027-02-25')
  const days = rows.map((row) => row.start_by_90_percent || row.finish_by || '')
  expect(days).toEqual(days.toSorted())
  const hostile = { ...dates, tasks: [{ ...task('booking'), label: '=HYPERLINK("x")' }], deadlines: [] }
  expect(tasksCsv(hostile)).toContain(`"'=HYPERLINK(""x"")"`)
})

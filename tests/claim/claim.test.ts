import { beforeAll, describe, expect, it, test } from 'vitest'
import {
  actualsOf,
  claimPaper,
  conditionList,
  conditionListBody,
  DOCUMENTS,
  noticesDue,
  ownRatesCsv,
  readActuals,
  readClaims,
  settlement,
} from '../../src/claim/index.js'
import { paperHtml } from '../../src/paper/html.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import { wordsIn } from '../../src/paper/words-file.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { escapeHtml } from '../../src/tables/as-data.js'
import { amount, openDemo, planWith, value } from '../plan/households.js'

let move: Move
let plan: Plan
beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plan = planWith(move, { transport: '45G1', cover: 'all-risks' })
})

const HEADER = 'line,carton,pieces,what,seen,found_on,noted,cause,repair,worth_left,currency,note'
const read = (of: Plan, ...rows: string[]) =>
  readClaims(
    { file: 'arrival/claims.csv', text: [HEADER, ...rows, ''].join('\n') },
    of,
    move.reference.perils.map(({ id }) => id),
    ['C-001'],
  )
const first = (of: Plan) => {
  const line = of.shipment.lines.find((l) => l.replacement_value?.gt(100) && l.quantity.eq(1) && !l.currency)
  if (!line?.replacement_value) throw new Error('no such line')
  return { id: line.line, worth: line.replacement_value.toNumber() }
}

describe('a claim against the cover in force', () => {
  it('pays a loss the cover answers for less the deductible, once for all things', () => {
    const { id, worth } = first(plan)
    const found = settlement(
      move,
      plan,
      value(read(plan, `${id},,,lost,on unpacking,2027-04-24,no,theft,,,,`)),
    )
    expect(found.loss.toNumber()).toBe(worth)
    expect(found.average.toNumber()).toBe(1)
    const deductible = found.deductible.toNumber()
    expect(found.expected.toNumber()).toBeCloseTo(Math.max(0, worth - deductible), 6)
  })

  it('is cut by average where only 60 % is insured: Marine Insurance Act 1906 s. 81', () => {
    const short = planWith(move, { transport: '45G1', cover: 'all-risks', 'insured.share': '0.6' })
    const { id, worth } = first(short)
    const found = settlement(
      move,
      short,
      value(read(short, `${id},,,lost,at the door,2027-04-24,yes,theft,,,,`)),
    )
    expect(found.average.toNumber()).toBeCloseTo(0.6, 4)
    expect(found.expected.toNumber()).toBeCloseTo(
      Math.max(0, worth * found.average.toNumber() - found.deductible.toNumber()),
      6,
    )
  })

  it('takes repair where it costs less than the worth that is lost: ss 69 and 71', () => {
    const { id, worth } = first(plan)
    const of = (rest: string) =>
      settlement(
        move,
        plan,
        value(read(plan, `${id},,,damaged,on unpacking,2027-04-24,no,breakage,${rest},,`)),
      ).loss.toNumber()
    expect(of('40,0.2')).toBe(40)
    expect(of(',0.25')).toBeCloseTo(worth * 0.75, 6)
    expect(of(`${worth * 3},`)).toBe(worth)
  })

  test.each([
    ['all-risks', 'breakage', true],
    ['named-wide', 'breakage', false],
    ['named-wide', 'sea-water', true],
    ['named-narrow', 'sea-water', false],
    ['all-risks', 'insufficient-packing', false],
    ['total-loss', 'fire', false],
  ])('%s and %s: %s, by Institute Cargo Clauses A, B and C of 2009', (cover, cause, answered) => {
    const covered = planWith(move, { transport: '45G1', cover })
    const { id } = first(covered)
    const found = settlement(
      move,
      covered,
      value(read(covered, `${id},,,lost,on unpacking,2027-04-24,no,${cause},,,,`)),
    )
    expect(found.things.map((thing) => thing.answered)).toEqual([answered])
    expect(found.answeredLoss.gt(0)).toBe(answered)
  })

  it('tells every problem of claims.csv with its place', () => {
    const { id } = first(plan)
    const bad = read(
      plan,
      `${id},C-999,,damaged,on unpacking,2027-04-24,no,breakage,,,,`,
      `NOPE,,,lost,at the door,2027-04-24,yes,gremlins,,,,`,
      `${id},,1,lost,at the door,2027-04-24,yes,theft,,,,`,
    )
    expect(bad.ok).toBe(false)
    if (bad.ok) return
    expect(bad.problems.map(({ line, column }) => [line, column])).toEqual([
      [2, 'carton'],
      [2, 'repair'],
      [3, 'line'],
      [3, 'cause'],
      [4, 'pieces'],
    ])
  })
})

describe('notice of claim, delivered Friday 23 April 2027', () => {
  test.each([
    ['hague-visby', '2027-04-23', '2027-04-26', '2028-04-23', 'art. III(6): at removal, 3 days, one year'],
    ['hamburg', '2027-04-24', '2027-05-08', '2029-04-23', 'arts 19 and 20, from memory'],
    ['montreal', '2027-05-07', '2027-05-07', '2029-04-23', 'arts 31(2) and 35: 14 days, two years'],
    ['cmr', '2027-04-23', '2027-04-30', '2028-04-23', 'arts 30(1) and 32: 7 days, one year'],
    ['removal-de', '2027-04-24', '2027-05-07', '2028-04-23', 'HGB 451f: the day after, 14 days'],
  ])('%s: seen by %s, hidden by %s, action by %s (%s)', (id, apparent, hidden, suit) => {
    const due = noticesDue(move, plan, '2027-04-23').find((each) => each.id === id)
    expect([due?.apparent, due?.hidden, due?.suit]).toEqual([apparent, hidden, suit])
  })

  it('puts the policy first where there is one', () => {
    expect(noticesDue(move, plan, '2027-04-23')[0]?.id).toBe('policy')
    const bare = planWith(move, { transport: '45G1', cover: 'none' })
    expect(noticesDue(move, bare, '2027-04-23')[0]?.id).not.toBe('policy')
  })
})

it('the condition list has every line and vehicle shipped, and what a household wrote is text', () => {
  const list = conditionList(move, plan)
  const shipped = [
    ...plan.shipment.lines.map(({ line }) => line),
    ...plan.shipment.vehicles.map(({ vehicle }) => vehicle),
  ]
  expect(new Set(list.map(({ line }) => line))).toEqual(new Set(shipped))
  expect(list.some(({ carton }) => /^C-\d+$/.test(carton))).toBe(true)
  const one = list[0]
  if (!one) throw new Error('an empty list')
  expect(conditionListBody([{ ...one, item: '<b>x</b>' }], 'T', ENGLISH_WORDS)).not.toContain('<b>x</b>')
})

test.each([
  ['fr', 'Dommage ou manquant', 'chauffeur ou chef d’équipe'],
  ['es', 'Daño o faltante', 'conductor o jefe de equipo'],
  ['de', 'Schaden oder Fehlendes', 'Fahrer oder Vorarbeiter'],
])(
  'the condition list speaks %s, and only the household’s own words stay as they are',
  async (language, heading, signs) => {
    const words = await wordsIn(language)
    const list = conditionList(move, plan)
    const body = conditionListBody(list, 'T', words)
    expect(body).toContain(`<th scope="col">${heading}</th>`)
    expect(body).toContain(signs)
    expect(body).not.toMatch(/Tick each|Loaded|Delivered|delivery note|>part</)
    expect(body).toContain(escapeHtml(list[0]?.item ?? ''))
  },
)

describe('paid against planned', () => {
  const file = (...rows: string[]) => ({
    file: 'arrival/actuals.csv',
    text: ['cell,paid,currency,note', ...rows, ''].join('\n'),
  })

  it('in other money at the dated rate, and the price that would have given it, for the next move', () => {
    const planned = amount(plan, 'cost.destination.import-clearance')
    const rate = amount(plan, 'exchange.USD')
    const lines = actualsOf(
      plan,
      value(readActuals(file('cost.destination.import-clearance,500,USD,'), plan)),
    )
    expect(lines[0]?.paid.toNumber()).toBeCloseTo(500 * rate, 6)
    expect(lines[0]?.difference.toNumber()).toBeCloseTo(500 * rate - planned, 6)
    expect(ownRatesCsv(lines, '2026-11-25').split('\n')[0]).toBe('id,low,likely,high,source')
    const again = planWith(move, {
      transport: '45G1',
      cover: 'all-risks',
      'price.import-clearance': lines[0]?.rate?.likely.toFixed() ?? '',
    })
    expect(amount(again, 'cost.destination.import-clearance')).toBeCloseTo(500 * rate, 1)
  })

  it('refuses a line that the plan does not have, and one given twice', () => {
    const bad = readActuals(
      file('cost.origin.teleport,5,,', 'cost.origin.packing,5,,', 'cost.origin.packing,6,,'),
      plan,
    )
    expect(bad.ok ? [] : bad.problems.map(({ line }) => line)).toEqual([2, 4])
  })
})

describe('the claim as a page', () => {
  const page = async (language: string) => {
    const { id } = first(plan)
    const rows = read(plan, `${id},,1,lost,at the door,2027-04-23,yes,theft,,,,`)
    if (!rows.ok) throw new Error(JSON.stringify(rows.problems))
    const words = await wordsIn(language)
    const paper = claimPaper(move, plan, words, {
      delivered: '2027-04-23',
      claimed: settlement(move, plan, rows.value),
    })
    return paperHtml(paper, { css: '', words, copy: 'client', pictures: new Map() })
  }

  it('holds the thing, what is expected, the days of notice and the documents', async () => {
    const html = await page('en')
    const { id, worth } = first(plan)
    expect(html).toContain(`<th scope="row">\u2013</th><td>${id} `)
    expect(html).toContain(worth.toFixed(2).replace(/\B(?=(\d{3})+\.)/, ','))
    // Hague-Visby art. III(6): three days for hidden damage, counted from the day after delivery (secondary).
    expect(html).toContain('26\u00a0April\u00a02027')
    for (const text of DOCUMENTS) expect(html).toContain(escapeHtml(text))
  })

  it('names the container, once its number is known', async () => {
    const numbered = {
      ...plan,
      household: {
        ...plan.household,
        facts: { ...plan.household.facts, container_numbers: ['CSQU 305438 3'] },
      },
    }
    const claimed = settlement(move, plan, [])
    const stated = (of: typeof plan) =>
      claimPaper(move, of, ENGLISH_WORDS, { delivered: '2027-04-23', claimed }).stated
    expect(stated(numbered)).toContain('Container CSQU 305438 3.')
    expect(stated(plan)).not.toContain('Container')
  })

  it('speaks the language of the insurer', async () => {
    const html = await page('de')
    expect(html).toContain('Schadensmeldung zur Transportversicherung')
    for (const english of ['sea carrier', 'Hidden damage', 'The claim is gone', 'certificate of insurance'])
      expect(html).not.toContain(english)
  })
})

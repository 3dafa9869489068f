import { fileURLToPath } from 'node:url'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { chartTheme } from '../../src/charts/theme-file.js'
import {
  type Bill,
  compareMovers,
  type MoverAnswer,
  moversParagraph,
  moversSections,
  openRules,
  type Question,
  type Rules,
  readAnswer,
  scoreOf,
} from '../../src/movers/index.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import { wordsIn } from '../../src/paper/words-file.js'
import type { Move } from '../../src/plan/index.js'
import { exact } from '../../src/quantity/exact.js'
import { sharedTexts } from '../paper/texts.js'
import { openDemo } from '../plan/households.js'

const staff: Question = {
  id: 'staff',
  asked: 'Whose staff?',
  kind: 'choice',
  scores: [
    { answer: 'own staff', score: 1 },
    { answer: 'day labour', score: 0 },
  ],
  weight: 3,
  redLine: ['day labour'],
}
const handlings: Question = {
  id: 'handlings',
  asked: 'How many handlings?',
  kind: 'number',
  scores: [
    { answer: '2', score: 1 },
    { answer: '8', score: 0 },
  ],
  weight: 1,
  redLine: [],
}
const rules: Rules = {
  questions: [{ ...staff, redLine: [] }, handlings],
  priceWeight: 0.4,
  outlierBelow: 0.8,
  outlierAbove: 1.25,
  replyDays: 14,
}
const bill: Bill = {
  packedM3: exact.of(60),
  currency: 'EUR',
  rates: new Map([['USD', exact.of('0.9')]]),
  lines: [
    { service: 'packing', label: 'Packing', byVolume: true, price: exact.of(800) },
    { service: 'freight', label: 'Ocean freight', byVolume: false, price: exact.of(4000) },
  ],
}
const offer = (
  mover: string,
  packing: number | undefined,
  freight: number,
  answers: readonly (readonly [string, string | number])[] = [],
  volume = 60,
): MoverAnswer => ({
  file: `${mover}.csv`,
  mover,
  volumeM3: exact.of(volume),
  prices: [
    ...(packing === undefined ? [] : [{ services: ['packing'], price: exact.of(packing), currency: 'EUR' }]),
    { services: ['freight'], price: exact.of(freight), currency: 'EUR' },
  ],
  notOffered: [],
  unpriced: packing === undefined ? ['packing'] : [],
  answers: new Map(answers.map(([id, a]) => [id, typeof a === 'number' ? exact.of(a) : a])),
  unanswered: rules.questions.map(({ id }) => id).filter((id) => !answers.some(([known]) => known === id)),
})

describe('a levelled price', () => {
  it('is brought to the household’s volume where the price goes by it, and what is left out is added', () => {
    const { offers } = compareMovers(
      [offer('A', 500, 4000, [], 40), offer('B', undefined, 4100)],
      bill,
      rules,
    )
    const of = (mover: string) => offers.find((o) => o.mover === mover)
    // By hand: 500 for 40 m3 is 750 for 60 m3; the freight does not grow. B lacks packing, 800 by the model.
    expect(of('A')?.levelled.toString()).toBe('4750')
    expect(of('B')?.levelled.toString()).toBe('4900')
    expect(of('B')?.missing).toEqual(['packing'])
  })

  it('uses the dated rate of a foreign price', () => {
    const dollars = {
      ...offer('A', 0, 0),
      prices: [{ services: ['packing', 'freight'], price: exact.of(1000), currency: 'USD' }],
    }
    expect(compareMovers([dollars], bill, rules).offers[0]?.levelled.toString()).toBe('900')
  })
})

// Selection by quality and cost (World Bank, from memory): Sf = 100 x Fm / F; S = St x T + Sf x P.
test('quality and cost are added as tenders do', () => {
  const { offers, first } = compareMovers(
    [
      offer('A', 1000, 4000, [
        ['staff', 'own staff'],
        ['handlings', 5],
      ]),
      offer('B', 0, 4000, [['staff', 'day labour']]),
    ],
    bill,
    rules,
  )
  const of = (mover: string) => offers.find((o) => o.mover === mover)
  expect(of('B')?.priceScore).toBe(1)
  expect(of('A')?.priceScore).toBe(0.8)
  // A: 0.4 x 0.8 + 0.6 x (3 x 1 + 1 x 0.5) / 4 = 0.845; B: 0.4 x 1 + 0 = 0.4.
  expect(of('A')?.total).toBeCloseTo(0.845, 12)
  expect(of('B')?.total).toBeCloseTo(0.4, 12)
  expect(first?.mover).toBe('A')
})

test('the range of a weight ends where two movers are level', () => {
  const { ranges } = compareMovers(
    [
      offer('A', 1000, 4000, [
        ['staff', 'own staff'],
        ['handlings', 5],
      ]),
      offer('B', 0, 4000, [['staff', 'day labour']]),
    ],
    bill,
    rules,
  )
  // w x 0.8 + (1 - w) x 0.875 = w x 1 gives w = 0.875 / 1.075.
  const price = ranges.find(({ criterion }) => criterion === 'price')
  expect(price?.from).toBe(0)
  expect(price?.until).toBeCloseTo(0.875 / 1.075, 12)
})

it('a mover that is best in everything comes first in every weighting, one behind in all in none', () => {
  const { offers } = compareMovers(
    [
      offer('A', 100, 4000, [
        ['staff', 'own staff'],
        ['handlings', 2],
      ]),
      offer('B', 500, 4000, [['handlings', 8]]),
    ],
    bill,
    rules,
  )
  expect(offers.map(({ firstShare }) => firstShare)).toEqual([1, 0])
})

it('a red line excludes the cheapest', () => {
  const { offers, first } = compareMovers(
    [offer('A', 0, 1000, [['staff', 'day labour']]), offer('B', 900, 4000, [['staff', 'own staff']])],
    bill,
    { ...rules, questions: [staff, handlings] },
  )
  expect(first?.mover).toBe('B')
  expect(offers[1]?.redLines).toEqual([{ question: 'staff', answer: 'day labour' }])
})

it('an offer far from the others is an outlier, both ways', () => {
  const { offers } = compareMovers(
    [offer('A', 0, 2000), offer('B', 0, 4000), offer('C', 0, 4100), offer('D', 0, 9000)],
    bill,
    rules,
  )
  const of = (mover: string) => offers.find((o) => o.mover === mover)?.outlier
  expect(['A', 'B', 'C', 'D'].map(of)).toEqual(['low', undefined, undefined, 'high'])
})

test.each([
  [2, 1],
  [5, 0.5],
  [8, 0],
  [11, 0],
  [1, 1],
])('%s handlings score %s', (count, score) => {
  expect(scoreOf(handlings, exact.of(count))).toBeCloseTo(score, 12)
})

describe('an answer that comes back', () => {
  const asked = {
    services: ['packing', 'freight'],
    questions: [staff, handlings],
    currencies: ['EUR', 'USD'],
  }
  const read = (...rows: string[]) =>
    readAnswer({ file: 'a.csv', text: ['id,asked,answer,currency,note', ...rows, ''].join('\n') }, asked)

  it('takes amounts, what is included elsewhere, and answers in any case of letters', () => {
    const answer = read(
      'mover,,Blue Lorry,,',
      'volume_m3,,46,,',
      'price.packing,,included in freight,,',
      'price.freight,,5200,USD,',
      'question.staff,,Own Staff,,',
    )
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
    expect(answer.value.prices).toEqual([
      { services: ['freight', 'packing'], price: exact.of(5200), currency: 'USD' },
    ])
    expect(answer.value.answers.get('staff')).toBe('own staff')
    expect(answer.value.unanswered).toEqual(['handlings'])
  })

  it('sets the price of a service aside that this scenario does not ask for', () => {
    const answer = readAnswer(
      {
        file: 'a.csv',
        text: 'id,answer\nmover,A\nvolume_m3,46\nprice.freight,5200\nprice.unpacking,300\n',
      },
      { ...asked, others: ['unpacking'] },
    )
    expect(answer.ok && answer.value.prices.map(({ services }) => services)).toEqual([['freight']])
  })

  it('tells all that is wrong at once, with what to type', () => {
    const answer = read(
      'mover,,,,',
      'volume_m3,,forty,,',
      'price.packing,,about 900,,',
      'price.frieght,,5200,,',
      'question.staff,,robots,,',
      'question.handlings,,-1,,',
      'price.freight,,100,PLN,',
    )
    if (answer.ok) throw new Error('read')
    expect(answer.problems.map(({ line }) => line).sort()).toEqual([2, 3, 4, 5, 6, 7, 8])
    expect(answer.problems.find(({ line }) => line === 5)?.fix).toContain('price.freight')
  })
})

describe('the page of the movers', () => {
  const household = fileURLToPath(new URL('../../data/households/valparaiso-gdynia', import.meta.url))
  let move: Move
  let own: Rules
  beforeAll(async () => {
    move = await openDemo('valparaiso-gdynia')
    own = openRules(household)
  })
  // Four offers that make it say nearly all it can: a red line, one far below, one far above, blanks and no price.
  const compared = () =>
    compareMovers(
      [
        offer('A', undefined, 4000, [['staff', 'own staff']]),
        offer('B', 900, 4200, [['staff', 'mixed']]),
        offer('C', 900, 1000, [
          ['staff', 'day labour'],
          ['liability-before', 'no'],
        ]),
        offer('D', 900, 9000, [['staff', 'mixed']]),
      ].map((answer) => ({
        ...answer,
        unanswered: own.questions.map(({ id }) => id).filter((id) => !answer.answers.has(id)),
      })),
      bill,
      own,
    )

  test.each([
    ['fr', ['Question']],
    ['es', []],
    ['de', []],
  ])('speaks %s, and keeps no English but words that are the same there', async (language, same) => {
    const english = moversSections(move, ENGLISH_WORDS, compared(), own, chartTheme())
    const words = await wordsIn(language)
    const other = moversSections(move, words, compared(), own, chartTheme())
    expect(sharedTexts(other, english)).toEqual(same)
  })

  it('names questions and services as people know them, never by their ids', () => {
    const text = ENGLISH_WORDS.tell(moversParagraph(move, compared(), own))
    expect(text).toContain('A comes first')
    expect(text).toContain('ask A for what is not priced: packing.')
    // The household's own red line, movers/weights.csv.
    expect(text).toContain('C (Are you liable for the goods before the crossing begins? no).')
    expect(text).toContain('more answers are open.')
    expect(text).not.toMatch(/liability-before|claims-share/)
  })
})

import { describe, expect, it } from 'vitest'
import {
  type Chart,
  carriageChart,
  chartSvg,
  chartTheme,
  coverDecisionChart,
  coversChart,
  heatMapChart,
  labourChart,
  phasesChart,
  rangesChart,
  roomsChart,
  sweepChart,
  timelineChart,
  tornadoChart,
} from '../../src/charts/index.js'

const theme = chartTheme()
const titles = { input: 'wage, EUR/h', result: 'the whole move, EUR' }

/** Names that mean something to a language, and ones that would end a text in an expression. */
const HARD: readonly string[] = [
  'constructor',
  'valueOf',
  '__proto__',
  'toString',
  'hasOwnProperty',
  'A \\" || warn("x") || "',
  "it's \\",
  '子供部屋',
  'غرفة',
]

const named: readonly (readonly [string, (a: string, b: string) => Chart])[] = [
  [
    'rooms',
    (a, b) =>
      roomsChart(
        [a, b].map((room, i) => ({ room, netM3: i + 1, packedM3: i + 2 })),
        theme,
      ),
  ],
  [
    'phases',
    (a, b) =>
      phasesChart(
        [a, b].flatMap((scenario) => [
          { scenario, phase: 'Origin', amount: 4000 },
          { scenario, phase: 'Crossing', amount: 3000 },
        ]),
        'EUR',
        theme,
      ),
  ],
  [
    'labour',
    (a, b) =>
      labourChart(
        [a, b].flatMap((scenario, i) => [
          { scenario, wage: 10, total: 5000 - i * 1000 },
          { scenario, wage: 30, total: 5000 + i * 1000 },
        ]),
        'EUR/h',
        'EUR',
        theme,
        14,
      ),
  ],
  [
    'ranges',
    (a, b) =>
      rangesChart(
        [a, b].map((scenario) => ({ scenario, low: 9, likely: 10, high: 15 })),
        'EUR',
        theme,
      ),
  ],
  [
    'time line',
    (a, b) =>
      timelineChart(
        [
          { label: a, from: '2027-02-24', until: '2027-02-24' },
          { label: b, from: '2027-02-24', until: '2027-03-26' },
        ],
        theme,
      ),
  ],
  [
    'tornado',
    (a, b) =>
      tornadoChart(
        [a, b].map((label) => ({ label, atLow: 9, atHigh: 13 })),
        10,
        'EUR',
        theme,
      ),
  ],
  [
    'carriage',
    (a, b) =>
      carriageChart(
        [a, b].map((label, i) => ({ label, points: [0, 40].map((m3) => ({ m3, cost: 1000 + i * m3 })) })),
        [],
        'EUR',
        theme,
      ),
  ],
  [
    'covers',
    (a, b) =>
      coversChart(
        {
          answering: { label: a, cost: 2700, deductible: 0 },
          others: [{ label: b, cost: 750 }],
          currency: 'EUR',
        },
        theme,
      ),
  ],
  [
    'sweep',
    (a, b) =>
      sweepChart(
        [a, b].flatMap((scenario, i) => [
          { scenario, input: 10, result: 5000 - i * 1000 },
          { scenario, input: 30, result: 5000 + i * 1000 },
        ]),
        [{ input: 20, result: 5000, between: [a, b] }],
        titles,
        theme,
        14,
      ),
  ],
  [
    'heat map',
    (a, b) =>
      heatMapChart(
        [a, b].flatMap((scenario, i) => [
          { x: 10, y: i, result: 4000, scenario },
          { x: 20, y: i, result: 4000 + i, scenario },
        ]),
        [a, b],
        { x: 'wage', y: 'volume', result: 'move, EUR' },
        theme,
      ),
  ],
  [
    'cover decision',
    (a, b) =>
      coverDecisionChart(
        [a, b].map((label) => ({ label, certain: 500, expectedRetained: 250, rarelyMore: 1900 })),
        2500,
        '1 move in 1,000',
        'EUR',
        theme,
      ),
  ],
]

const plain = (svg: string) => svg.replaceAll('&quot;', '"').replaceAll('&amp;', '&')

describe.each(named)('the chart of %s', (_, chartOf) => {
  it.each(HARD)('shows the name %s as any other', async (name) => {
    const svg = plain(await chartSvg(chartOf(name, 'Movers').spec))
    const other = plain(await chartSvg(chartOf('Plainname', 'Movers').spec))
    const marks = (text: string) => (text.match(/<(path|text|rect|line)\b/g) ?? []).length
    expect(marks(svg)).toBe(marks(other))
    const inText = (text: string, words: string) =>
      [...text.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].filter(([, t]) => t?.includes(words)).length
    expect(inText(svg, name.slice(0, 12))).toBe(inText(other, 'Plainname'))
  })
})

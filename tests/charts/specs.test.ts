import { describe, expect, it, test } from 'vitest'
import {
  type Chart,
  carriageChart,
  chartSvg,
  chartTheme,
  containerCostChart,
  countriesChart,
  coverCrossing,
  coversChart,
  distributionChart,
  labourChart,
  phasesChart,
  rangesChart,
  roomsChart,
  sweepChart,
  timelineChart,
  tornadoChart,
  wageCrossings,
} from '../../src/charts/index.js'

const theme = chartTheme()

const wages = [
  { scenario: 'Own work', wage: 10, total: 5000 },
  { scenario: 'Own work', wage: 30, total: 5000 },
  { scenario: 'Movers', wage: 10, total: 4000 },
  { scenario: 'Movers', wage: 30, total: 6000 },
]
const covers = {
  // A worked break-even of the insurance trade: 2 700 for all risks against 750, no deductible, pays from 1 950.
  answering: { label: 'All risks', cost: 2700, deductible: 0 },
  others: [{ label: 'Total loss only', cost: 750 }],
  currency: 'EUR',
}

/** Each chart on small data, and the figures its text must tell. */
const charts: readonly (readonly [name: string, chart: Chart, told: readonly string[]])[] = [
  [
    'rooms',
    roomsChart(
      [
        { room: 'Kitchen', netM3: 2.5, packedM3: 3.1 },
        { room: 'Study <script>', netM3: 4, packedM3: 5 },
      ],
      theme,
    ),
    ['8.1 m³ in all', 'Kitchen 3.1', 'Study <script> 5'],
  ],
  [
    'container cost',
    containerCostChart(
      [
        { label: '20 foot standard', nominal: 84, usable: 99, shipped: 112 },
        { label: '40 foot high cube', nominal: 62, usable: 73, shipped: 190 },
        { label: 'Shared container', shipped: 210 },
      ],
      'EUR',
      theme,
    ),
    ['84 nominal, 99 usable, 112 shipped', 'the least is 20 foot standard'],
  ],
  [
    'carriage',
    carriageChart(
      [
        {
          label: 'share',
          points: [
            { m3: 0, cost: 0 },
            { m3: 40, cost: 6720 },
          ],
        },
        {
          label: 'box',
          points: [
            { m3: 0, cost: 3200 },
            { m3: 28.22, cost: 3200 },
            { m3: 28.22, cost: 6400 },
            { m3: 40, cost: 6400 },
          ],
        },
      ],
      [{ m3: 19.048, cost: 3200, from: 'share', to: 'box' }],
      'EUR',
      theme,
      25,
    ),
    ['at 19 m³ from share to box', 'ships 25 m³'],
  ],
  [
    'phases',
    phasesChart(
      [
        { scenario: 'A', phase: 'Origin', amount: 4000 },
        { scenario: 'A', phase: 'Crossing', amount: 3000 },
        { scenario: 'B', phase: 'Origin', amount: 1000 },
        { scenario: 'B', phase: 'Crossing', amount: 3000 },
      ],
      'EUR',
      theme,
    ),
    ['A 7,000 (Origin 4,000, Crossing 3,000)', 'B 4,000'],
  ],
  ['labour', labourChart(wages, 'EUR/h', 'EUR', theme, 14), ['Movers from 4,000 to 6,000', 'at 20']],
  ['covers', coversChart(covers, theme), ['2,700', 'over Total loss only from 1,950']],
  [
    'ranges',
    rangesChart([{ scenario: 'A', low: 900, likely: 1000, high: 1500 }], 'EUR', theme),
    ['900 to 1,500, as planned 1,000'],
  ],
  [
    'countries',
    countriesChart(
      [
        { country: 'CL', scenario: 'A', least: 900, listed: 1000, most: 1500 },
        { country: 'LU', scenario: 'A', least: 1900, listed: 2000, most: 2500 },
      ],
      'origin, EUR',
      theme,
    ),
    ['origin, EUR in 2 countries', 'A from 1,000 in CL to 2,000 in LU'],
  ],
  [
    'time line',
    timelineChart(
      [
        { label: 'Loading', from: '2027-02-24', until: '2027-02-24' },
        { label: 'At sea', from: '2027-02-24', until: '2027-03-26' },
      ],
      theme,
    ),
    ['Loading 24 Feb 2027', 'At sea 24 Feb 2027 to 26 Mar 2027'],
  ],
  [
    'tornado',
    tornadoChart([{ label: 'Fuel', atLow: 900, atHigh: 1300 }], 1000, 'total, EUR', theme),
    ['Fuel 900 to 1,300'],
  ],
  [
    'distribution',
    distributionChart(
      [
        { from: 0, until: 10, share: 0.25 },
        { from: 10, until: 20, share: 0.75 },
      ],
      [{ label: 'middle', value: 12 }],
      'days',
      theme,
    ),
    ['0 to 20 days', 'middle 12'],
  ],
]

describe.each(charts)('the chart of %s', (_, chart, told) => {
  it('tells its figures in words', () => {
    for (const words of told) expect(chart.alt).toContain(words)
    expect(chart.spec.description).toBe(chart.alt)
  })

  it('is drawn without complaint, the same bytes each time, with nothing to load', async () => {
    const svg = await chartSvg(chart.spec)
    expect(svg).toMatch(/^<svg/)
    expect(await chartSvg(chart.spec)).toBe(svg)
    expect(svg).not.toMatch(/<script|href=|NaN|undefined/)
  })

  it('names what its axes measure', async () => {
    const text = JSON.stringify(chart.spec)
    expect(text).toMatch(/"title":"[^"]*(m³|EUR|date|days)/)
  })
})

describe('the palette', () => {
  const luminance = (hex: string) => {
    const [r, g, b] = [1, 3, 5].map((at) => {
      const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255
      return c <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
    }) as [number, number, number]
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }

  it('keeps neighbouring series apart in grey: contrast of 1.5 or more (relative luminance of WCAG 2)', () => {
    const used = theme.series.slice(0, 4).map(luminance)
    for (const [i, a] of used.entries()) {
      for (const b of used.slice(i + 1)) {
        expect((Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)).toBeGreaterThanOrEqual(1.5)
      }
    }
  })

  it('has a dash and a shape of its own for every series', () => {
    expect(new Set(theme.dashes.map(String)).size).toBe(theme.series.length)
    expect(new Set(theme.shapes).size).toBe(theme.series.length)
  })
})

test.each([
  [
    'lines that never cross',
    labourChart(
      wages.filter((p) => p.scenario === 'Movers'),
      'EUR/h',
      'EUR',
      theme,
    ),
  ],
  [
    'one way to carry that is always cheapest',
    carriageChart(
      [
        {
          label: 'share',
          points: [
            { m3: 0, cost: 0 },
            { m3: 40, cost: 6720 },
          ],
        },
      ],
      [],
      'EUR',
      theme,
    ),
  ],
  [
    'a move of single days',
    timelineChart([{ label: 'Loading', from: '2027-02-24', until: '2027-02-24' }], theme),
  ],
] as const)('%s: drawn without complaint', async (_, chart) => {
  expect(await chartSvg(chart.spec)).toMatch(/^<svg/)
})

test('lines of two scenarios cross where they cost the same (by hand: 5 000 = 3 000 + 100 w)', () => {
  expect(wageCrossings(wages)).toEqual([{ wage: 20, total: 5000, between: ['Own work', 'Movers'] }])
})

test('a dearer cover pays from the difference in cost and its deductible (by hand: 2 700 − 750 + 250)', () => {
  const withDeductible = { ...covers, answering: { ...covers.answering, deductible: 250 } }
  expect(coverCrossing(withDeductible, { label: 'Total loss only', cost: 750 })).toBe(2200)
})

describe('a hundred scenarios', () => {
  const names = Array.from({ length: 100 }, (_, k) => `Plan ${k + 1}`)
  const titles = { input: 'wage, EUR/h', result: 'total, EUR' }
  const many: readonly (readonly [string, Chart])[] = [
    [
      'labour',
      labourChart(
        names.flatMap((scenario, k) =>
          [10, 30].map((wage) => ({ scenario, wage, total: 9000 - 10 * k + wage })),
        ),
        'EUR/h',
        'EUR',
        theme,
      ),
    ],
    [
      'sweep',
      sweepChart(
        names.flatMap((scenario, k) => [10, 30].map((input) => ({ scenario, input, result: 9000 - 10 * k }))),
        [
          { input: 20, result: 8010, between: ['Plan 99', 'Plan 100'] },
          { input: 20, result: 8990, between: ['Plan 1', 'Plan 2'] },
        ],
        titles,
        theme,
      ),
    ],
    [
      'countries',
      countriesChart(
        names.map((scenario, k) => ({
          country: 'PT',
          scenario,
          least: 10,
          listed: 9000 - 10 * k,
          most: 9000,
        })),
        'Total, EUR',
        theme,
      ),
    ],
  ]

  test.each(many)('%s: draws the twelve of the least results, and says so', async (_, chart) => {
    const svg = await chartSvg(chart.spec)
    expect(svg).toContain('12 of 100 scenarios: those of the least results')
    expect(svg).toContain('Plan 100')
    expect(svg).not.toContain('Plan 88<')
    expect(chart.alt).toContain('Plan 100')
    expect(chart.alt).not.toContain('Plan 1 ')
  })

  it('marks no crossing of a line that is not drawn', () => {
    const sweep = many[1]?.[1]
    expect(sweep?.alt).toContain('Plan 99 and Plan 100 at 20')
    expect(sweep?.alt).not.toContain('Plan 1 and Plan 2')
  })
})

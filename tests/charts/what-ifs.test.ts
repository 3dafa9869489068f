import { describe, expect, it, test } from 'vitest'
import {
  type Chart,
  chartSvg,
  chartTheme,
  coverDecisionChart,
  heatMapChart,
  sweepChart,
} from '../../src/charts/index.js'

const theme = chartTheme()
const titles = { input: 'hourly labour cost, EUR/h', result: 'the whole move, EUR' }
const points = [
  { scenario: 'Own work', input: 10, result: 5000 },
  { scenario: 'Own work', input: 30, result: 5000 },
  { scenario: 'Movers', input: 10, result: 4000 },
  { scenario: 'Movers', input: 30, result: 6000 },
]
const crossing = { input: 20, result: 5000, between: ['Own work', 'Movers'] as const }
const map = [
  { x: 10, y: 1, result: 4000, scenario: 'Movers' },
  { x: 30, y: 1, result: 5000, scenario: 'Own work' },
  { x: 10, y: 2, result: 4500, scenario: 'Movers' },
  { x: 30, y: 2, result: 5500, scenario: 'Movers' },
]
const covers = [
  { label: 'Total loss only', certain: 500, expectedRetained: 250, rarelyMore: 1900 },
  { label: 'No cover <script>', certain: 0, expectedRetained: 300, rarelyMore: 2900 },
]

/** Each chart on small data, and what its text must tell. */
const charts: readonly (readonly [name: string, chart: Chart, told: readonly string[]])[] = [
  [
    'sweep',
    sweepChart(points, [crossing], titles, theme, 14),
    ['Movers from 4,000 to 6,000', 'change places: Own work and Movers at 20'],
  ],
  ['sweep without crossings', sweepChart(points, [], titles, theme), ['No two scenarios change places']],
  [
    'heat map',
    heatMapChart(map, ['Own work', 'Movers'], { x: 'wage', y: 'volume', result: 'move, EUR' }, theme),
    ['4,000 with both low', '5,500 with both high', 'Movers leads in 75 %', 'Own work leads in 25 %'],
  ],
  [
    'cover decision',
    coverDecisionChart(covers, 2500, '1 move in 1,000', 'EUR', theme),
    [
      'Total loss only 750 on average',
      'more than 2,900 borne in 1 move in 1,000 only',
      'could bear 2,500: Total loss only',
    ],
  ],
]

describe('charts of what-ifs', () => {
  test.each(charts)('%s draws, and tells its figures in words', async (_name, { spec, alt }, told) => {
    for (const words of told) expect(alt).toContain(words)
    expect(spec.description).toBe(alt)
    const svg = await chartSvg(spec)
    expect(svg).toMatch(/^<svg/)
    expect(svg).not.toContain('NaN')
    expect(svg).not.toContain('<script>')
  })

  it('writes in each field of a heat map which scenario leads there', async () => {
    const svg = await chartSvg(charts[2]?.[1].spec ?? {})
    expect(
      [...svg.matchAll(/>([12])<\/text>/g)].map(([, n]) => n).filter((n) => n === '1').length,
    ).toBeGreaterThan(0)
    expect(svg).toContain('1 Own work')
  })
})

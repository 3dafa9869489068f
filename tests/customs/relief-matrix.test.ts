import { describe, expect, it } from 'vitest'
import { chartTheme, reliefMatrixChart } from '../../src/charts/index.js'
import { chartSvg } from '../../src/charts/render.js'
import { reliefMatrix } from '../../src/customs/index.js'
import { move, person, shippedRules } from './rules.js'

const tables = shippedRules()

describe('the picture of relief at a glance', () => {
  const cells = reliefMatrix(
    tables,
    move({ people: [person(), person({ person: 'B', status: 'returning' })] }),
  ).map(({ label, person: who, shareOfValue, verdict }) => ({
    place: label,
    person: who,
    share: shareOfValue,
    verdict,
  }))
  it('draws a row for each place and says the same in words', async () => {
    const chart = reliefMatrixChart(cells, chartTheme())
    expect(chart.alt).toMatch(/everything is free in .*Hong Kong/)
    expect(chart.alt).toMatch(/It cannot be told for .*Qatar/)
    const svg = await chartSvg(chart.spec)
    for (const place of ['European Union', 'Japan', 'Kenya']) expect(svg).toContain(place)
  })
})

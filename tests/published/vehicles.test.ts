import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { vehicleSlack } from '../../src/stowage/vehicle.js'
import { box, type Case, figure, published } from './cases.js'

const classes = parse(
  readFileSync(new URL('../../data/reference/vehicle-classes.csv', import.meta.url), 'utf8'),
  {
    columns: true,
  },
) as Readonly<Record<string, string>>[]

const spaceOf = <N>(id: string, of: (x: string) => N) => ({
  doorWidthMm: of(box(id, 'door_width_mm')),
  doorHeightMm: of(box(id, 'door_height_mm')),
  insideLengthMm: of(box(id, 'inside_length_mm')),
})
const carOf = <N>(of: (x: string) => N, lengthMm: string, widthMm: string, heightMm: string) => ({
  lengthMm: of(lengthMm),
  widthMm: of(widthMm),
  heightMm: of(heightMm),
  clearanceEndMm: of(figure('car.clearance-end-mm')),
  clearanceSideMm: of(figure('car.clearance-side-mm')),
  clearanceTopMm: of(figure('car.clearance-top-mm')),
})

const fits: readonly Case[] = (
  [
    ['22G1', 'heightMm', '4950', '1990', '1800', '430', 'a large SUV of 1 800 mm'],
    ['22G1', 'widthMm', '4950', '1990', '1800', '150', 'the same car, 1 990 mm without mirrors'],
    ['22G1', 'lengthMm', '4950', '1990', '1800', '648', 'the same car, 4 950 mm'],
    ['22G1', 'lengthMm', '5900', '2030', '1950', '-302', 'a US pickup of 5 900 mm: too long'],
    ['42G1', 'heightMm', '5400', '2000', '2300', '-70', 'a van of 2 300 mm: the door stops it'],
    ['45G1', 'heightMm', '5400', '2000', '2300', '235', 'the same van through a high-cube door'],
  ] as const
).map(([id, side, length, width, height, gives, what]) => ({
  title: `${side} to spare in ${id} for ${what}`,
  gives,
  source: 'published door and inside sizes; clearances common practice, no source; by hand',
  by: (m, of) => vehicleSlack(m, spaceOf(id, of), carOf(of, length, width, height))[side],
  ...(id === '42G1' && { never: { 43: 'measured against the inside height, not the door' } }),
}))
published('cars through the door', fits)

describe('vehicle classes', () => {
  it('all but the longest go into a 20 foot box, one a box: published vehicle loading page', () => {
    const inside = Number(box('22G1', 'inside_length_mm')) - 2 * Number(figure('car.clearance-end-mm'))
    const tooLong = classes
      .filter((row) => Number(row.length_mm) > inside)
      .map((row) => Number(row.length_mm))
    expect(tooLong).toEqual([5900])
  })
})

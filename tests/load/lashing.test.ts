import { expect, it } from 'vitest'
import { lashingNeeds, lashingText } from '../../src/load/lashing.js'
import type { LoadVehicle } from '../../src/stowage/pieces/index.js'
import { openDemo } from '../plan/households.js'

const car: LoadVehicle = {
  id: 'V-01',
  label: 'a car',
  kind: 'car',
  lengthMm: 4000,
  widthMm: 1700,
  heightMm: 1500,
  massKg: 1500,
  deck: false,
}

it('needs lashings by the CTU Code, chapter 5 and annex 7 (sea and friction from memory): by hand, 1,500 kg at 0.3', async () => {
  const move = await openDemo('valparaiso-gdynia')
  const by = new Map(lashingNeeds(move, car).map((need) => [need.direction, need]))
  // Forwards: road 0.8 − 0.75 × 0.3 × 1 = 0.575 of the weight of 14,715 N; at sea 0.4 − 0.225 × 0.2 = 0.355.
  expect(by.get('forwards')).toMatchObject({ where: 'road' })
  expect(by.get('forwards')?.newtons).toBeCloseTo(0.575 * 14_715, 6)
  // Backwards the road asks for 0.5 − 0.225 = 0.275, the sea for 0.355.
  expect(by.get('backwards')).toMatchObject({ where: 'sea' })
  expect(by.get('backwards')?.newtons).toBeCloseTo(0.355 * 14_715, 6)
  // To the side: waves over 12 m, 0.8 − 0.225.
  expect(by.get('to either side')).toMatchObject({ where: 'sea' })
  expect(by.get('to either side')?.newtons).toBeCloseTo(8461.125, 6)
})

it('is told in words with the usual working load, and left to a competent person', async () => {
  const move = await openDemo('valparaiso-gdynia')
  const text = lashingText(move, car)
  expect(text).toContain('forwards 8.5\u00a0kN (road)')
  expect(text).toContain('4.2\u00a0kN each, within the usual 10\u00a0kN')
  expect(text).toContain('A competent person')
  expect(lashingText(move, { ...car, massKg: 6000 })).toContain('over the usual 10\u00a0kN')
})

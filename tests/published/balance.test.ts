import { describe, expect, it } from 'vitest'
import { exact } from '../../src/quantity/index.js'
import { frontHalfShare, offsetShare } from '../../src/stowage/balance.js'
import { blockingForceN, lashingForceN } from '../../src/stowage/lashing.js'
import { type Case, figure, published } from './cases.js'

const code = 'CTU Code annex 7 par. 3.1.4 (looked up)'
const offsets: readonly Case[] = (
  [
    ['4.6981', '-0.1095'],
    ['5.5506', '-0.0387'],
    ['5.3181', '-0.0580'],
  ] as const
).map(([centre, gives]) => ({
  title: `offset of a centre of gravity ${centre} m from the front wall`,
  gives,
  source: `${code}: share of 12.032 m, by hand`,
  by: (m, of) => offsetShare(m, of(centre), of('12.032')),
}))
published('balance along the container', [
  ...offsets,
  {
    title: 'offset of 60 % evenly in the front half and 40 % in the rear',
    gives: '-0.0500',
    source: 'CTU Code annex 7, 60 % rule of thumb, by hand: centre at 0.45 of the length',
    by: (m, of) => offsetShare(m, of('5.4'), of(12)),
  },
  {
    title: 'share in the front half of that stow',
    gives: '0.6',
    source: 'by hand',
    by: (m, of) =>
      frontHalfShare(
        m,
        [
          { massKg: of(60), fromM: of(0), toM: of(6) },
          { massKg: of(40), fromM: of(6), toM: of(12) },
        ],
        of(12),
      ),
  },
  {
    title: 'share in the front half of 100 kg from 4 to 12 m of 12',
    gives: '0.25',
    source: 'by hand: 2 of 8 m lie in front',
    by: (m, of) => frontHalfShare(m, [{ massKg: of(100), fromM: of(4), toM: of(12) }], of(12)),
  },
])

// A car of 1 500 kg on friction 0.3 and 9.81 m/s², horizontal and vertical rows of figures.csv.
const memory = 'CTU Code chapter 5 coefficients (from memory), by hand'
const looked = 'CTU Code chapter 5 coefficients (looked up), by hand'
const forces: readonly Case[] = (
  [
    ['sea, waves over 12 m, across', 'sea-c.across', '1', '7357.5', '8461.1', memory],
    ['sea, waves over 12 m, lengthwise', 'sea-c.along', 'sea-c.down-along', '5003.1', '5223.8', memory],
    ['road, forward', 'road.forward', '1', '7357.5', '8461.1', looked],
    ['road, back', 'road.back', '1', '2943.0', '4046.6', looked],
    ['road, across', 'road.across', '1', '2943.0', '4046.6', looked],
    ['sea, waves to 8 m, lengthwise', 'sea-a.along', 'sea-a.down-along', '2207.3', '2759.1', memory],
  ] as const
).flatMap(([where, horizontal, vertical, blocking, lashing, source]): Case[] => {
  const piece = <N>(of: (x: string | number) => N) => ({
    massKg: of(1500),
    friction: of(figure('stowage.friction')),
  })
  const acceleration = <N>(of: (x: string) => N) => ({
    horizontal: of(figure(`acceleration.${horizontal}`)),
    vertical: of(vertical === '1' ? '1' : figure(`acceleration.${vertical}`)),
  })
  return [
    {
      title: `newtons that blocking holds: ${where}`,
      gives: blocking,
      source,
      by: (m, of) => blockingForceN(m, piece(of), acceleration(of), of('9.81')),
      ...(horizontal === 'sea-c.along' && {
        never: { '1471.5': 'friction at full gravity in the lengthwise sea case' },
      }),
    },
    {
      title: `newtons that direct lashing holds: ${where}`,
      gives: lashing,
      source: `${source}; 0.75 of the friction (from memory)`,
      by: (m, of) => lashingForceN(m, piece(of), acceleration(of), of('9.81'), of('0.75')),
    },
  ]
})
published('securing', [
  ...forces,
  {
    title: 'newtons for a piece that friction 0.6 holds on a road bend',
    gives: '0',
    source: 'by hand: 0.5 less 0.6 is below zero',
    by: (m, of) =>
      blockingForceN(
        m,
        { massKg: of(1500), friction: of('0.6') },
        { horizontal: of('0.5'), vertical: of(1) },
        of('9.81'),
      ),
    never: { '-1472': 'a force the wrong way' },
  },
])

describe('the accelerations of figures.csv', () => {
  it('are what a published CTU Code training page prints for the road: 0.8 forward, 0.5 back and across, 0.6 tilting', () => {
    expect(
      ['forward', 'back', 'across', 'across-tilting'].map((way) => figure(`acceleration.road.${way}`)),
    ).toEqual(['0.8', '0.5', '0.5', '0.6'])
  })

  it('rise with the waves: CTU Code chapter 5', () => {
    const across = ['a', 'b', 'c'].map((sea) => exact.of(figure(`acceleration.sea-${sea}.across`)))
    const down = ['a', 'b', 'c'].map((sea) => exact.of(figure(`acceleration.sea-${sea}.down-along`)))
    expect(across.map(Number)).toEqual([0.5, 0.7, 0.8])
    expect(down.map(Number)).toEqual([0.5, 0.3, 0.2])
  })
})

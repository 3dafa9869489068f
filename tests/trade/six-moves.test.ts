import { describe, expect, it, test } from 'vitest'
import { coverOutcomesOf } from '../../src/plan/index.js'
import type { Plan } from '../../src/plan/move.js'
import { MOVES, openTradeMove, planAt, type TradeMove, usd } from './moves.js'

// Ranges of removals estimators for a move over half the world, in US dollars: common practice, no source. They check
// how the bill is built up; no value of the tables is set from them.

interface Line {
  readonly name: string
  readonly low: number
  readonly high: number
  readonly of: (plans: Plans) => number
  readonly only?: (move: TradeMove) => boolean
}

interface Plans {
  readonly full: Plan
  readonly diy: Plan
  /** Full service but for packing and loading, which the household does. */
  readonly ownHands: Plan
  /** What a household without any cover has to expect of damage and loss, USD. */
  readonly expectedLoss: number
}

const highCube = (move: TradeMove) => move.home === 'high cube'
const twentyFoot = (move: TradeMove) => move.home === '20-foot'
const HIGH_WAGE = ['NO', 'US', 'DE', 'NZ']
const beforeCoverAndCustoms = (plan: Plan) =>
  usd(plan, 'cost.origin.total', 'cost.crossing.total', 'cost.destination.total') -
  usd(plan, 'cost.destination.demurrage', 'cost.destination.disbursement')
const rateOf =
  (cover: string) =>
  ({ full }: Plans) =>
    usd(full, `cover.${cover}.premium`) / usd(full, 'value.insured')

const LINES: readonly Line[] = [
  {
    name: 'crossing, 20-foot',
    low: 2200,
    high: 3000,
    of: ({ full }) => usd(full, 'cost.crossing.total'),
    only: twentyFoot,
  },
  {
    name: 'crossing, high cube',
    low: 3200,
    high: 4200,
    of: ({ full }) => usd(full, 'cost.crossing.total'),
    only: highCube,
  },
  { name: 'materials', low: 400, high: 2000, of: ({ full }) => usd(full, 'cost.origin.materials') },
  {
    name: 'packing',
    low: 500,
    high: 2500,
    of: ({ full }) => usd(full, 'cost.origin.packing'),
    only: highCube,
  },
  {
    name: 'unpacking',
    low: 500,
    high: 2500,
    of: ({ full }) => usd(full, 'cost.destination.unpacking'),
    only: highCube,
  },
  {
    name: 'loading with the door',
    low: 350,
    high: 2000,
    of: ({ full }) => usd(full, 'cost.origin.loading', 'cost.origin.origin-door'),
  },
  {
    name: 'unloading with the door',
    low: 350,
    high: 2000,
    of: ({ full }) => usd(full, 'cost.destination.unloading', 'cost.destination.destination-door'),
  },
  {
    name: 'clearance, both ends',
    low: 400,
    high: 600,
    of: ({ full }) => usd(full, 'cost.origin.export-clearance', 'cost.destination.import-clearance'),
  },
  {
    name: 'trucking, both ends',
    low: 200,
    high: 1200,
    of: ({ full }) =>
      usd(
        full,
        'cost.origin.origin-haulage',
        'cost.destination.destination-haulage',
        'cost.destination.tolls',
      ),
  },
  {
    name: '68 charged days at the port',
    low: 5500,
    high: 8500,
    of: ({ full }) => usd(full, 'cost.destination.demurrage'),
    only: ({ to }) => to === 'KE',
  },
  {
    name: 'damage and loss to expect without cover',
    low: 250,
    high: 750,
    of: ({ expectedLoss }) => expectedLoss,
    // Estimators say about 500 for a usual home; a small one loses less in proportion.
    only: highCube,
  },
  { name: 'cover against all risks', low: 0.04, high: 0.05, of: rateOf('all-risks') },
  { name: 'cover, wide named perils', low: 0.025, high: 0.035, of: rateOf('named-wide') },
  { name: 'cover, narrow named perils', low: 0.01, high: 0.015, of: rateOf('named-narrow') },
  {
    name: 'full service',
    low: 12_000,
    high: 18_000,
    of: ({ full }) => beforeCoverAndCustoms(full),
    only: highCube,
  },
  {
    name: 'own packing and loading saves',
    low: 3000,
    high: 6500,
    of: ({ full, ownHands }) => beforeCoverAndCustoms(full) - beforeCoverAndCustoms(ownHands),
    only: (move) => highCube(move) && HIGH_WAGE.includes(move.from),
  },
  {
    name: 'do-it-yourself over full service',
    low: 0.45,
    high: 0.65,
    of: ({ full, diy }) => beforeCoverAndCustoms(diy) / beforeCoverAndCustoms(full),
    only: (move) => HIGH_WAGE.includes(move.from),
  },
]

const FLOOR =
  'where wages are lowest the floor is lorry, supervision and handling at their likely values, about 250 USD for one crew and day; agents there send more lorries and foremen than the model does'
const CREWS =
  'the published output of crews falls with their size, to 267 lb an hour each of six; estimators reckon nearer 350 and so reach fewer hours at the same wage'

/** Known to be off: outside its range, with the cause. Nothing is tuned to bring it in; the README's limits say so. */
const KNOWN_OFF: readonly (readonly [move: RegExp, line: string, cause: string])[] = [
  [/Philippines to Germany/, 'packing', FLOOR],
  [/United States to South Africa/, 'unpacking', FLOOR],
  [/Germany to Kenya/, 'unpacking', FLOOR],
  [/United States to South Africa/, 'loading with the door', CREWS],
  [/Germany to Kenya/, 'loading with the door', CREWS],
  [/New Zealand to the United States/, 'unloading with the door', CREWS],
]

describe('six moves, line by line: ranges of common practice, no source', () => {
  const cases = MOVES.map((move) => {
    const opened = openTradeMove(move)
    const at = (changes: Readonly<Record<string, string>>) =>
      planAt(opened, { 'port-wait': 'port', ...changes })
    const reused: Readonly<Record<string, string>> = move.name.startsWith('return')
      ? { 'materials-reused': 'yes', 'provider.materials': 'self' }
      : {}
    const full = at({ 'service-level': 'full', ...reused })
    const without = coverOutcomesOf(opened.reference, full).find(({ cover }) => cover === 'none')
    if (!without) throw new Error('no outcome without cover')
    const plans: Plans = {
      full,
      expectedLoss: without.expectedRetained,
      diy: at({ 'service-level': 'diy', ...reused }),
      ownHands: at({
        'service-level': 'full',
        'provider.packing': 'self',
        'provider.loading': 'self',
        ...reused,
      }),
    }
    return { move, plans }
  })
  const lines = cases.flatMap(({ move, plans }) =>
    LINES.filter(({ only }) => only === undefined || only(move)).map((line) => ({
      move,
      line,
      got: line.of(plans),
    })),
  )
  const isKnown = (move: TradeMove, line: Line) =>
    KNOWN_OFF.some(([name, of]) => name.test(move.name) && of === line.name)

  test.each(
    lines
      .filter(({ move, line }) => !isKnown(move, line))
      .map(({ move, line, got }) => [line.name, move.name, got, line] as const),
  )('%s, %s: %f', (_name, _move, got, { low, high }) => {
    expect(got).toBeGreaterThanOrEqual(low)
    expect(got).toBeLessThanOrEqual(high)
  })

  it.each(
    lines
      .filter(({ move, line }) => isKnown(move, line))
      .map(({ move, line, got }) => [line.name, move.name, got, line] as const),
  )('known to be off: %s, %s: %f', (_name, _move, got, { low, high }) => {
    // Back inside its range: take the row out of the table.
    expect(got < low || got > high).toBe(true)
  })

  it('says of a low-wage origin that own work saves little', () => {
    const low = cases.find(({ move }) => move.from === 'PH')?.plans
    const high = cases.find(({ move }) => move.from === 'US')?.plans
    if (!low || !high) throw new Error('the moves from PH and US are gone')
    expect(usd(low.ownHands, 'work.own.saves')).toBeLessThan(usd(high.ownHands, 'work.own.saves') / 3)
  })
})

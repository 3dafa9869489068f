import { type Figures, figureOf, type LoadPiece } from '../stowage/pieces/index.js'
import type { LoadFigures } from './figures.js'
import type { LoadHold } from './hold-of.js'
import type { LoadedContainer } from './load-result.js'
import { kg } from './words.js'

/** A figure of a packed container beside its limit; `kept` is left out where there is nothing to judge. */
export interface BalanceRow {
  readonly what: string
  readonly here: string
  readonly rule: string
  readonly kept?: boolean
}

const per100 = (share: number): string => `${(share * 100).toFixed(0)}\u00a0%`
const metres = (mm: number): string => `${(mm / 1000).toFixed(2)}\u00a0m`

/**
 * What stands above breast height (row `lift.highest` of stowage.csv), and whether one person still lifts it there (row
 * `lift.high`); heavier pieces are named, the heaviest first.
 */
export function highRow(
  { plan }: Pick<LoadedContainer, 'plan'>,
  pieces: readonly LoadPiece[],
  figures: Figures,
): BalanceRow {
  const [fromMm, limitKg] = [figureOf(figures, 'lift.highest'), figureOf(figures, 'lift.high')]
  const byId = new Map(pieces.map((p) => [p.id, p]))
  const high = plan.placements
    .filter((at) => at.z > fromMm)
    .flatMap((at) => byId.get(at.pieceId) ?? [])
    .toSorted((a, b) => b.massKg - a.massKg)
  const over = high.filter(({ massKg }) => massKg > limitKg)
  const named = over.map(({ id, massKg }) => `${id} (${kg(massKg)})`).join(', ')
  const heaviest = high[0] === undefined ? '' : `, the heaviest ${kg(high[0].massKg)}`
  return {
    what: `Pieces that stand above breast height, ${metres(fromMm)}`,
    here: `${high.length}${heaviest}${over.length === 0 ? '' : `; over the limit, for two people: ${named}`}`,
    rule: `one person lifts ${kg(limitKg)} there, close to the body (guideline weight of a safety authority)`,
    kept: over.length === 0,
  }
}

/** Mass, balance and gaps of a packed container, each with the limit it is measured against and the verdict. */
export function balanceRows(f: LoadFigures, hold: LoadHold): readonly BalanceRow[] {
  const along = hold.balanceShare
  const across = hold.balanceAcrossShare ?? 1
  const high = hold.balanceHeightShare ?? 1
  const acrossShare = Math.abs(f.offsetAcrossMm) / hold.widthMm
  return [
    {
      what: 'Payload used',
      here: `${kg(f.grossKg - f.tareKg)} of ${kg(f.payloadKg)}`,
      rule: 'plate of the container, roads at both ends',
      kept: f.grossKg - f.tareKg <= f.payloadKg,
    },
    {
      what: 'Centre of gravity along',
      here: `${Math.abs(f.offsetShare * 100).toFixed(1)}\u00a0% of the length towards the ${f.offsetShare < 0 ? 'front' : 'door'}`,
      rule: `CTU Code: within ${per100(along)} of the length`,
      kept: Math.abs(f.offsetShare) <= along + 1e-9,
    },
    {
      what: 'Mass in the front half',
      here: per100(f.frontHalfShare),
      rule: 'CTU Code, rule of thumb: at most 60\u00a0% in either half',
      kept: Math.abs(f.frontHalfShare - 0.5) <= 0.1,
    },
    {
      what: 'Centre of gravity across',
      here: `${Math.abs(f.offsetAcrossMm / 10).toFixed(0)}\u00a0cm ${f.offsetAcrossMm < 0 ? 'left' : 'right'} of the middle`,
      rule: `on the middle line as near as can be; within ${per100(across)} of the width (common practice, no source)`,
      kept: acrossShare <= across + 1e-9,
    },
    {
      what: 'Centre of gravity above the floor',
      here: metres(f.heightMm),
      rule: `at most ${per100(high)} of the inside height, ${metres(hold.heightMm * high)}`,
      kept: f.heightMm <= hold.heightMm * high + 1e-9,
    },
    {
      what: 'Front end and door end carry',
      here: `${kg(f.frontEndKg)} and ${kg(f.doorEndKg)}`,
      rule: 'tare included; what the corner fittings at each end take to lorry or crane',
    },
    {
      what: 'Heaviest metre of floor',
      here: kg(f.mostKgPerM),
      rule: `line load of the container type, ${kg(f.lineLoadKgPerM)} a metre`,
      kept: f.mostKgPerM <= f.lineLoadKgPerM + 1e-6,
    },
    {
      what: 'Floor with more than 15\u00a0cm of gaps across',
      here: `${(f.gapLengthMm / 1000).toFixed(1)}\u00a0m of length`,
      rule: 'CTU Code: fill or brace',
      ...(f.gapLengthMm === 0 ? { kept: true } : {}),
    },
    {
      what: 'Free behind the front wall',
      here: metres(f.freeAtFrontMm),
      rule: 'the first wall of goods stands tight to it, 5\u00a0cm at most, unless the balance asks for more',
      kept: f.freeAtFrontMm <= 50,
    },
    { what: 'Free before the door', here: metres(f.freeAtDoorMm), rule: 'brace the face of the load' },
  ]
}

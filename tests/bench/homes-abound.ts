import { parseArgs } from 'node:util'
import { type Hold, stowedM3, validate } from '../../src/stowage/packing/index.js'
import type { LoadPiece } from '../../src/stowage/pieces/index.js'
import { loadRulesOf, packContainer, standsOf } from '../../src/stowage/plan/index.js'
import { holds, reference } from './homes/containers.js'
import { home } from './homes/household.js'

// node tests/bench/run.mjs homes-abound [--container 45G1] [--loads 3] [--work 300000] [--seed 1]
// How much of the free room is filled when goods abound: the goods of several invented homes, over one and a half times
// what is free, in one container, by the rules of a crew, once without a vehicle and once beside a car, with a deck over it and without one. The room on a car's clear floor
// counts as free above its deck only, and not at all where there is none.

const { values } = parseArgs({
  options: {
    container: { type: 'string', default: '45G1' },
    loads: { type: 'string', default: '3' },
    work: { type: 'string', default: '300000' },
    seed: { type: 'string', default: '1' },
  },
})

const ref = await reference()
const rows = new Map(ref.stowage.map((row) => [row.id, row.value.toNumber()]))
const figures = (id: string): number | undefined => rows.get(id)
const rules = loadRulesOf(figures)
const empty = holds(ref).find(({ id }) => id === values.container)
if (empty === undefined) throw new Error(`no container ${values.container}`)

let next = 1
function goods(): LoadPiece[] {
  const pieces: LoadPiece[] = []
  for (; volumeMm3(pieces) < 1.5 * freeMm3(empty as Hold); next++) {
    for (const piece of home(next, ref, figures).pieces) pieces.push({ ...piece, id: `${next}/${piece.id}` })
  }
  return pieces
}

function volumeMm3(pieces: readonly LoadPiece[]): number {
  return pieces.reduce((sum, piece) => sum + stowedM3(piece) * 1e9, 0)
}

function freeMm3({ lengthMm, widthMm, heightMm, fixed = [] }: Hold): number {
  const taken = fixed.reduce((sum, { clear, deck }) => sum + clear.dx * clear.dy * (deck?.zMm ?? heightMm), 0)
  return lengthMm * widthMm * heightMm - taken
}

const car = {
  id: 'car',
  label: 'Compact car',
  kind: 'car',
  lengthMm: 4050,
  widthMm: 1750,
  heightMm: 1480,
  massKg: 1200,
} as const
for (const [what, vehicles] of [
  ['no car', []],
  ['a car', [{ ...car, deck: false }]],
  ['a car with a deck', [{ ...car, deck: true }]],
] as const) {
  const shares: number[] = []
  next = 1
  for (let load = 0; load < Number(values.loads); load++) {
    const pieces = goods()
    const stood = standsOf({
      hold: empty,
      vehicles,
      clearance: { sideMm: 50, endMm: 100, topMm: 50 },
      figures,
    })
    if (!stood.ok) throw new Error(stood.reason)
    const found = packContainer(empty, stood.stands, pieces, {
      rules,
      work: Number(values.work),
      seed: Number(values.seed),
    })
    if (found === undefined) throw new Error('no plan')
    const broken = validate(found.hold, pieces, found.plan, rules)
    const share = (found.plan.volumeM3 * 1e9) / freeMm3(found.hold)
    shares.push(share)
    console.log(
      `${what}: ${found.plan.placements.length} of ${pieces.length} pieces, ${found.plan.volumeM3.toFixed(1)} of ${(freeMm3(found.hold) / 1e9).toFixed(1)} m³ free, ${(share * 100).toFixed(1)} %, ${found.plan.massKg.toFixed(0)} kg, rules broken: ${broken.length}, said: ${found.plan.unmet.length}`,
    )
  }
  const mean = shares.reduce((sum, s) => sum + s, 0) / shares.length
  console.log(`${what}: mean ${(mean * 100).toFixed(1)} %, least ${(Math.min(...shares) * 100).toFixed(1)} %`)
}

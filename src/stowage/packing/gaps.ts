import type { Box, Hold, LoadPlan } from './types.js'

/** Room that has to be braced or filled with dunnage. */
export interface Gap {
  readonly stage: number
  /** `across`: between side walls; `along`: between the last piece and the door. */
  readonly direction: 'across' | 'along'
  /** Where the gap is at its widest, mm from front wall and floor. */
  readonly fromX: number
  readonly toX: number
  readonly fromZ: number
  readonly toZ: number
  /** Free width, or free length to the door, all gaps of the row added up, mm. */
  readonly sumMm: number
}

/**
 * Gaps wider than a limit: for each loading stage the widest row across, and the room left before the door.
 *
 * @param limitMm greatest sum of gaps that may stay open; the CTU Code's figure is in the reference tables
 * @returns one gap across a stage at most, in the order of loading, then the one along the hold
 */
export function gaps(hold: Hold, plan: LoadPlan, limitMm: number): readonly Gap[] {
  const found: Gap[] = []
  const fixed = (hold.fixed ?? []).flatMap((block) => block.boxes)
  const all: readonly Box[] = [...plan.placements, ...fixed]
  const stages = [...new Set(plan.placements.map((p) => p.stage))]
  for (const stage of stages) {
    const own = plan.placements.filter((p) => p.stage === stage)
    const widest = widestRow(hold, own, all, stage)
    if (widest !== undefined && widest.sumMm > limitMm) found.push(widest)
  }
  const end = all.reduce((most, b) => Math.max(most, b.x + b.dx), 0)
  const sumMm = hold.lengthMm - end
  if (plan.placements.length > 0 && sumMm > limitMm) {
    const stage = stages.at(-1) ?? 1
    found.push({
      stage,
      direction: 'along',
      fromX: end,
      toX: hold.lengthMm,
      fromZ: 0,
      toZ: hold.heightMm,
      sumMm,
    })
  }
  return found
}

// Within one cell of the lines drawn through all faces the row across is the same everywhere.
function widestRow(hold: Hold, own: readonly Box[], all: readonly Box[], stage: number): Gap | undefined {
  const xs = lines(own.flatMap((b) => [b.x, b.x + b.dx]))
  let widest: Gap | undefined
  for (let i = 0; i + 1 < xs.length; i++) {
    const [fromX, toX] = [xs[i] ?? 0, xs[i + 1] ?? 0]
    const beside = all.filter((b) => b.x < toX && fromX < b.x + b.dx)
    const mine = own.filter((b) => b.x < toX && fromX < b.x + b.dx)
    const zs = lines(mine.flatMap((b) => [b.z, b.z + b.dz]))
    for (let k = 0; k + 1 < zs.length; k++) {
      const [fromZ, toZ] = [zs[k] ?? 0, zs[k + 1] ?? 0]
      const row = beside.filter((b) => b.z < toZ && fromZ < b.z + b.dz)
      if (!mine.some((b) => b.z < toZ && fromZ < b.z + b.dz)) continue
      const sumMm = hold.widthMm - coveredMm(row)
      if (sumMm > (widest?.sumMm ?? 0)) {
        widest = { stage, direction: 'across', fromX, toX, fromZ, toZ, sumMm }
      }
    }
  }
  return widest
}

function lines(at: readonly number[]): number[] {
  return [...new Set(at)].sort((a, b) => a - b)
}

function coveredMm(row: readonly Box[]): number {
  let covered = 0
  let reach = 0
  for (const b of [...row].sort((p, q) => p.y - q.y)) {
    covered += Math.max(0, b.y + b.dy - Math.max(reach, b.y))
    reach = Math.max(reach, b.y + b.dy)
  }
  return covered
}

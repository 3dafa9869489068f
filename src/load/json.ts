import type { Move } from '../plan/move.js'
import { loadFigures } from './figures.js'
import { loadingList } from './list.js'
import type { LoadResult } from './load-result.js'

/** The whole load plan for other programs: containers, every piece with its place, cartons, figures. mm and kg. */
export function loadJson(move: Move, result: LoadResult): string {
  const { facts } = move.household
  const containers = [result.first, ...result.more].map((loaded, i) => {
    const { hold, plan, vehiclePlace } = loaded
    return {
      container: hold.id,
      label: hold.label,
      inside: { length_mm: hold.lengthMm, width_mm: hold.widthMm, height_mm: hold.heightMm },
      ...(vehiclePlace === undefined ? {} : { vehicles_stand: vehiclePlace }),
      fixed: hold.fixed ?? [],
      figures: loadFigures(loaded, result.pieces, i === 0 ? result.vehicles : []),
      centre_of_gravity_mm: plan.centreOfGravity,
      placements: plan.placements.map((at, n) => ({ number: n + 1, ...at })),
      loading: loadingList(loaded, result.pieces, i + 1).map(({ stage, number, piece, place, turned }) => ({
        stage,
        number,
        mark: piece.id,
        place,
        turned,
      })),
    }
  })
  const aboard = new Set(
    [result.first, ...result.more].flatMap(({ plan }) => plan.placements.map((p) => p.pieceId)),
  )
  return `${JSON.stringify(
    {
      household: facts.name,
      scenario: result.scenario,
      complete: result.complete,
      containers,
      trials: result.trials,
      search: { work: result.workUsed, work_allowed: result.workAllowed, plans_refused: result.discarded },
      ...(result.proof === undefined ? {} : { proven_smallest: result.proof }),
      ...(result.byShare.length === 0 ? {} : { by_share: result.byShare }),
      left_behind: result.first.plan.leftOut.filter(
        ({ pieceId }) => !aboard.has(pieceId) && !result.byShare.includes(pieceId),
      ),
      pieces: result.pieces,
      cartons: result.cartons,
      vehicles: result.vehicles,
    },
    null,
    1,
  )}\n`
}

import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import { type Hold, impossible, type LeftOut, type LoadPlan, stowedM3 } from '../packing/index.js'
import {
  type Figures,
  type LoadPiece,
  type LoadVehicle,
  placesFor,
  standVehicles,
  type VehicleClearance,
  type VehiclePlace,
} from '../pieces/index.js'
import { packContainer, type VehicleStand } from './pack-container.js'
import { loadRulesOf } from './rules.js'

/** Everything that decides whether a household goes into a container. */
export interface VerdictQuestion<H extends Hold = Hold> {
  readonly pieces: readonly LoadPiece[]
  readonly vehicles: readonly LoadVehicle[]
  readonly clearance: VehicleClearance
  /** The empty container; its `fixed` is not looked at. */
  readonly hold: H
  /** Rows of data/reference/stowage.csv. */
  readonly figures: Figures
  /** Most blocks moved into place; left out: 20,000, a second or two. */
  readonly work?: number
  readonly seed?: number
}

/** What the packer found for one household and one container. */
export interface PackVerdict {
  readonly container: string
  /** Everything goes in; a valid plan for it was found. */
  readonly complete: boolean
  /** No plan whatever takes everything: a sentence with the figures. */
  readonly impossible?: string
  readonly aboardCount: number
  /** Room that the pieces aboard take, as they stand, m³. */
  readonly aboardPackedM3: number
  /** Room that all pieces would take, as they stand, m³. */
  readonly allPackedM3: number
  readonly leftOut: readonly LeftOut[]
  readonly vehiclePlace?: VehiclePlace
  /** The plan itself; nothing where the vehicles do not pass, or where no plan tried keeps every rule. */
  readonly plan?: LoadPlan
  readonly workUsed: number
  readonly key: string
}

/** Changes whenever the packer may answer the same question in another way. */
export const packerEdition = 6

const usualWork = 20_000

/**
 * Whether everything of a household goes into a container, and if not, how much of it: the packer's best plan for a
 * budget of work, checked by the validator. No clock and no chance: the same question has the same answer on every
 * machine, so that verdicts can be kept by `verdictKey`.
 *
 * `complete: false` without `impossible` means that none was found with this work, not that there is none.
 * Throws one sentence where a row of stowage.csv is missing.
 */
export function packVerdict(question: VerdictQuestion): PackVerdict {
  const { pieces, hold, figures } = question
  const stands = standsOf(question)
  const base = {
    container: hold.id,
    allPackedM3: pieces.reduce((sum, piece) => sum + stowedM3(piece), 0),
    key: verdictKey(question),
  }
  const none = (reason: string, proven: boolean, workUsed: number): PackVerdict => ({
    ...base,
    complete: false,
    ...(proven ? { impossible: reason } : {}),
    aboardCount: 0,
    aboardPackedM3: 0,
    leftOut: pieces.map(({ id }) => ({ pieceId: id, reason })),
    workUsed,
  })
  if (!stands.ok) return none(stands.reason, true, 0)
  const found = packContainer(hold, stands.stands, pieces, {
    rules: loadRulesOf(figures),
    work: question.work ?? usualWork,
    ...(question.seed === undefined ? {} : { seed: question.seed }),
  })
  if (found === undefined) return none('No plan tried keeps every rule.', false, 0)
  const { plan, vehiclePlace, workUsed } = found
  const proofs =
    plan.leftOut.length === 0
      ? []
      : stands.stands.map(({ fixed }) => impossible({ ...hold, fixed }, pieces)?.text)
  const proof = proofs.every((text) => text !== undefined) ? proofs[0] : undefined
  return {
    ...base,
    complete: plan.leftOut.length === 0,
    ...(proof === undefined ? {} : { impossible: proof }),
    aboardCount: plan.placements.length,
    aboardPackedM3: plan.volumeM3,
    leftOut: plan.leftOut,
    ...(vehiclePlace === undefined ? {} : { vehiclePlace }),
    plan,
    workUsed,
  }
}

/**
 * The key of a question by its content: sizes, masses and limits of pieces and vehicles, the container, the rules, the
 * budget and the packer's edition. Names and marks of pieces do not count, the order of pieces does.
 *
 * @returns 64 hexadecimal digits, SHA-256
 */
export function verdictKey(question: VerdictQuestion): string {
  const { pieces, hold, figures, work, seed } = question
  const stands = standsOf(question)
  const { id: _, ...inside } = hold
  const content = [
    packerEdition,
    pieces.map((p) => [
      p.id,
      p.lengthMm,
      p.widthMm,
      p.heightMm,
      p.massKg,
      p.upright,
      p.maxLoadOnTopKg,
      p.floorOnly,
      p.fragile,
      p.keepTogether,
      p.firstNeeded,
      p.squeezeShare,
      p.soft,
      p.foldedMm,
      p.kind,
      p.worth,
    ]),
    stands.ok ? stands.stands : stands.reason,
    Object.entries({ ...inside, label: '', fixed: [] }).sort(([a], [b]) => (a < b ? -1 : 1)),
    loadRulesOf(figures),
    work ?? usualWork,
    seed ?? 1,
  ]
  return bytesToHex(sha256(utf8ToBytes(JSON.stringify(content))))
}

type Stands =
  | { readonly ok: true; readonly stands: readonly VehicleStand[] }
  | { readonly ok: false; readonly reason: string }

/** Every way the vehicles may stand in the hold, or why they do not go in. */
export function standsOf(question: Omit<VerdictQuestion, 'pieces'>): Stands {
  const { hold, vehicles, clearance, figures } = question
  if (vehicles.length === 0) return { ok: true, stands: [{ fixed: [] }] }
  const all = placesFor(vehicles.length).map((place) =>
    standVehicles(hold, vehicles, clearance, place, figures),
  )
  const stands = all.flatMap((s): VehicleStand[] => (s.ok ? [{ place: s.place, fixed: s.fixed }] : []))
  const refused = all.find((s) => !s.ok)
  return stands.length > 0
    ? { ok: true, stands }
    : { ok: false, reason: refused?.ok === false ? refused.reason : '' }
}

import type { Move, Plan } from '../plan/move.js'
import { providerOf } from '../plan/plan-context.js'
import { choicesOf } from '../plan/providers.js'
import { type Dunnage, dunnage } from '../stowage/materials.js'
import { type Hold, type Placement, type Turning, turnings } from '../stowage/packing/index.js'
import { figureOf, type LoadPiece } from '../stowage/pieces/index.js'
import type { LoadedContainer } from './load-result.js'
import { stowageFigures } from './pieces-of.js'

/** What a crew does in one stage. Numbers are those of the loading list. */
export interface StageWork {
  readonly stage: number
  readonly pieces: number
  readonly massKg: number
  /** By the plan's hours of loading, shared out by mass. */
  readonly minutes: number
  readonly people: number
  readonly tie: readonly number[]
  /** Handed over goods already standing, from a step or by two. */
  readonly handedOn: readonly number[]
  /** For two people, and for a trolley, straps or more people. */
  readonly two: readonly number[]
  readonly gear: readonly number[]
  readonly turned: readonly Turning[]
  /** The widest row of gaps across, where it is to be filled. */
  readonly gap?: OpenRow
}

/** Gaps across in one row below breast height: how much free width they add up to, and where. All mm. */
export interface OpenRow {
  readonly freeMm: number
  readonly x: number
  readonly z: number
}

/** A kind of dunnage, how much of it and what it costs. */
export interface Material {
  readonly what: Dunnage
  readonly label: string
  readonly count: number
  /** In the household's currency; what it costs bought new. */
  readonly cost: number
}

/** The work of loading one container, stage by stage, and what it takes beside the goods. */
export interface CrewWork {
  readonly stages: readonly StageWork[]
  readonly materials: readonly Material[]
  /** Where the bill has the materials, as a sentence. */
  readonly billed: string
  readonly currency: string
}

/** Above this sum of gaps in one direction the CTU Code has them filled or braced, mm. */
const gapLimitMm = 150

const labels: Readonly<Record<Dunnage, string>> = {
  strap: 'Straps, 50 mm, with ratchet',
  blanket: 'Moving blankets',
  filler: 'Air bags or bundles of board for gaps',
  board: 'Boards of 2.4 m for bracing, heat treated and marked',
}

/** What loading a packed container takes: minutes, people, what is tied, filled and turned, and the materials. */
export function crewWork(
  move: Move,
  plan: Plan,
  loaded: LoadedContainer,
  pieces: readonly LoadPiece[],
): CrewWork {
  const { hold, plan: load } = loaded
  const figures = stowageFigures(move)
  const { ledger } = choicesOf(move, plan)
  const cell = (id: string): number => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const byId = new Map(pieces.map((p) => [p.id, p]))
  const own = load.placements.flatMap((at, i) => {
    const piece = byId.get(at.pieceId)
    return piece === undefined ? [] : [{ at, piece, number: i + 1 }]
  })
  // The hours are those for everything that travels, not for this container alone.
  const allKg = pieces.reduce((sum, p) => sum + p.massKg, 0)
  const loader = providerOf(choicesOf(move, plan), 'loading')
  const input = (id: string): number => ledger.input(id).toNumber()
  const hours = cell(`work.loading.${loader === 'mover' || loader === 'employer' ? 'crew-hours' : 'hours'}`)
  const { people, planned } = handsOf(loader, input, cell('work.loading.crew'))
  const minutes = hours * 60 * Math.min(1, planned / people)
  const tied = new Set(load.tied ?? [])
  const handedOn = new Set(load.handedOn ?? [])
  const turned = turnings(hold, pieces, load)
  const [twoFrom, gearFrom] = [figureOf(figures, 'lift.two-people'), figureOf(figures, 'lift.gear')]
  const stages = [...new Set(load.placements.map((p) => p.stage))].map((stage): StageWork => {
    const here = own.filter(({ at }) => at.stage === stage)
    const ids = new Set(here.map(({ piece }) => piece.id))
    const massKg = here.reduce((sum, { piece }) => sum + piece.massKg, 0)
    const numbers = (which: (piece: LoadPiece) => boolean): number[] =>
      here.flatMap(({ piece, number }) => (which(piece) ? [number] : []))
    const gap = widestRow(hold, load.placements, stage)
    return {
      stage,
      pieces: here.length,
      massKg,
      minutes: allKg === 0 ? 0 : Math.ceil((minutes * massKg) / allKg / 5) * 5,
      people,
      tie: numbers((p) => tied.has(p.id)),
      handedOn: numbers((p) => handedOn.has(p.id)),
      two: numbers((p) => p.massKg >= twoFrom && p.massKg < gearFrom),
      gear: numbers((p) => p.massKg >= gearFrom),
      turned: turned.filter(({ pieceId }) => ids.has(pieceId)),
      ...(gap === undefined ? {} : { gap }),
    }
  })
  const counts = dunnage(
    {
      walls: stages.length,
      tied: tied.size,
      bare: own.filter(({ piece }) => piece.kind === 'piece').length,
      gaps: stages.filter(({ gap }) => gap !== undefined).length,
      braced: hold.lengthMm - load.usedLengthMm > gapLimitMm ? 1 : 0,
    },
    (id) => figureOf(figures, id),
  )
  return {
    stages,
    materials: (Object.keys(labels) as Dunnage[]).map((what) => ({
      what,
      label: labels[what],
      count: counts[what],
      cost: counts[what] * ledger.money(`dunnage.${what}`).toNumber(),
    })),
    billed: billedWhere(loader),
    currency: move.household.facts.currency,
  }
}

/**
 * How many load: a mover's crew, or the household with its friends, or hired hands. At least two, because nobody loads a
 * container alone; the hours are those of as many as the plan counts on, and shrink with every hand more.
 */
function handsOf(
  loader: string,
  input: (id: string) => number,
  crew: number,
): { readonly people: number; readonly planned: number } {
  const own = (): number => input('own.people')
  const people =
    loader === 'self'
      ? own()
      : loader === 'friends'
        ? own() + input('friends.loading')
        : loader === 'hired'
          ? input('hired.loading')
          : crew
  return { people: Math.max(2, Math.round(people)), planned: people }
}

/** Rows are looked at so far apart, mm, and up to this height: above it nobody fills gaps row by row. */
const rowStepMm = 100
const rowsUpToMm = 1500

/** The widest row of gaps across among the goods of a stage; nothing where all rows are tight enough. */
function widestRow(hold: Hold, placements: readonly Placement[], stage: number): OpenRow | undefined {
  const own = placements.filter((p) => p.stage === stage)
  const fixed = (hold.fixed ?? []).flatMap(({ boxes }) => boxes)
  let widest: OpenRow | undefined
  const [from, to] = [Math.min(...own.map((p) => p.x)), Math.max(...own.map((p) => p.x + p.dx))]
  for (let x = from + rowStepMm / 2; x < to; x += rowStepMm) {
    if ((hold.fixed ?? []).some(({ clear }) => clear.x < x && x < clear.x + clear.dx)) continue
    for (let z = rowStepMm / 2; z < rowsUpToMm; z += rowStepMm) {
      const meets = (b: { x: number; dx: number; z: number; dz: number }): boolean =>
        b.x < x && x < b.x + b.dx && b.z < z && z < b.z + b.dz
      if (!own.some(meets)) continue
      const covered = [...placements, ...fixed].filter(meets).reduce((sum, b) => sum + b.dy, 0)
      const freeMm = hold.widthMm - covered
      if (freeMm > Math.max(gapLimitMm, widest?.freeMm ?? 0)) widest = { freeMm, x, z }
    }
  }
  return widest
}

function billedWhere(loader: string): string {
  return loader === 'mover' || loader === 'employer'
    ? 'A mover who loads brings blankets with his lorry and straps for hire: they are inside his price for loading, and what stays in the container is for him to say. Bought new it would cost this.'
    : 'Whoever loads himself buys, hires or borrows it: the bill has no line of its own for it, so that this comes on top of packing materials.'
}

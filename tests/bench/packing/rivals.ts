import { createRequire } from 'node:module'
import { pack3D, RotationType } from 'binpackingjs/3d'
import {
  type Edge,
  type LoadPlan,
  type Piece,
  type Placement,
  validate,
} from '../../../src/stowage/packing/index.js'
import { drawn } from '../../stowage/packing/sample.js'
import { asHold, asPieces, type Problem } from './bischoff-ratcliff.js'

// Two general box-packing libraries from npm on the same problems. Their plans go through the same check as ours:
// boxes that overlap or stand in a position they may not have are taken out before the share is counted.

/** What a library made of a problem. */
export interface RivalResult {
  readonly claimedShare: number
  /** Share once overlapping, outside and wrongly turned boxes are out. */
  readonly soundShare: number
  /** Share of the remaining boxes that rest on less than all of their base. */
  readonly hangingShare: number
  readonly ms: number
}

export interface Rival {
  readonly name: string
  readonly run: (p: Problem) => RivalResult
}

interface Put {
  readonly id: string
  readonly position: readonly number[]
  readonly size: readonly number[]
}

const edges: readonly Edge[] = ['length', 'width', 'height']

function ownEdge(piece: Piece, edge: Edge): number {
  return edge === 'length' ? piece.lengthMm : edge === 'width' ? piece.widthMm : piece.heightMm
}

/** The stance these sizes mean; where the piece may not stand so, the one that shows it. */
function stanceOf(piece: Piece, size: readonly number[]): { upright: Edge; along: Edge } {
  const upright = [...(piece.upright ?? ['height']), ...edges]
  for (const up of upright) {
    for (const along of edges) {
      if (along === up) continue
      const across = edges.find((e) => e !== up && e !== along) ?? 'height'
      const fits =
        ownEdge(piece, along) === size[0] &&
        ownEdge(piece, across) === size[1] &&
        ownEdge(piece, up) === size[2]
      if (fits) return { upright: up, along }
    }
  }
  return { upright: 'height', along: 'length' }
}

function judge(p: Problem, puts: readonly Put[], ms: number): RivalResult {
  const hold = asHold(p)
  const pieces = asPieces(p)
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  let placements = puts.flatMap((put): Placement[] => {
    const piece = byId.get(put.id)
    if (piece === undefined) return []
    const [x = 0, y = 0, z = 0] = put.position
    const [dx = 0, dy = 0, dz = 0] = put.size
    return [{ pieceId: put.id, x, y, z, dx, dy, dz, ...stanceOf(piece, put.size), stage: 1 }]
  })
  const share = (all: readonly Placement[]): number =>
    all.reduce((sum, b) => sum + b.dx * b.dy * b.dz, 0) / (hold.lengthMm * hold.widthMm * hold.heightMm)
  const claimedShare = share(placements)
  const asPlan = (): LoadPlan => ({ ...drawn(placements), holdId: hold.id })
  for (;;) {
    const bad = validate(hold, pieces, asPlan()).filter((v) => ['inside', 'overlap', 'size'].includes(v.rule))
    if (bad.length === 0) break
    const out = new Set(bad.map((v) => v.pieceIds.at(-1)))
    placements = placements.filter((placed) => !out.has(placed.pieceId))
  }
  const hanging = validate(hold, pieces, asPlan()).filter((v) => v.rule === 'support').length
  const hangingShare = placements.length === 0 ? 0 : hanging / placements.length
  return { claimedShare, soundShare: share(placements), hangingShare, ms }
}

// The library's width, height and depth are given our length, width and height, so that its third axis points up.
const rotationsFor: Record<Edge, readonly RotationType[]> = {
  height: [RotationType.WHD, RotationType.HWD],
  length: [RotationType.HDW, RotationType.DHW],
  width: [RotationType.DWH, RotationType.WDH],
}

interface PackedBox {
  readonly name: string
  readonly position: readonly number[]
  readonly dimension: readonly number[]
}

const first: Rival = {
  name: 'binpackingjs 4',
  run: (p) => {
    const hold = asHold(p)
    const from = performance.now()
    const result = pack3D({
      bins: [
        { name: 'hold', width: hold.lengthMm, height: hold.widthMm, depth: hold.heightMm, maxWeight: 1e9 },
      ],
      items: asPieces(p).map((piece) => ({
        name: piece.id,
        width: piece.lengthMm,
        height: piece.widthMm,
        depth: piece.heightMm,
        weight: 0,
        allowedRotations: (piece.upright ?? ['height']).flatMap((up) => rotationsFor[up]),
      })),
    })
    const ms = performance.now() - from
    // Its declarations do not resolve under Node's module rules, so the shape used is written out here.
    const packed = (result.packedBins[0]?.items ?? []) as readonly PackedBox[]
    const puts = packed.map((item) => ({
      id: item.name,
      position: item.position.map(Math.round),
      size: item.dimension.map(Math.round),
    }))
    return judge(p, puts, ms)
  },
}

interface PlainItem {
  readonly name: string
  readonly position: readonly number[]
  get_dimension(): number[]
}
interface PlainLibrary {
  readonly Bin: new (name: string, w: number, h: number, d: number, max: number) => { items: PlainItem[] }
  readonly Item: new (name: string, w: number, h: number, d: number, weight: number) => PlainItem
  readonly Packer: new () => {
    readonly bins: readonly { readonly items: readonly PlainItem[] }[]
    add_bin(bin: unknown): void
    add_item(item: unknown): void
    pack(biggerFirst: boolean): void
  }
}

const second: Rival = {
  name: 'bin-packing-3d 1',
  run: (p) => {
    // Written without types; it turns boxes as it likes, which the check then sorts out.
    const library = createRequire(import.meta.url)('bin-packing-3d') as PlainLibrary
    const hold = asHold(p)
    const from = performance.now()
    const packer = new library.Packer()
    packer.add_bin(new library.Bin('hold', hold.lengthMm, hold.widthMm, hold.heightMm, 1e9))
    for (const piece of asPieces(p)) {
      packer.add_item(new library.Item(piece.id, piece.lengthMm, piece.widthMm, piece.heightMm, 0))
    }
    packer.pack(true)
    const ms = performance.now() - from
    const items = packer.bins[0]?.items ?? []
    const puts = items.map((i) => ({ id: i.name, position: i.position, size: i.get_dimension() }))
    return judge(p, puts, ms)
  },
}

export const rivals: readonly Rival[] = [first, second]

// The goods of the view: all as one body in loading order, with their edges and numbers.
import {
  BufferAttribute,
  BufferGeometry,
  CanvasTexture,
  DoubleSide,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  SRGBColorSpace,
  Vector3,
} from 'three'
import type { ViewBox, ViewPiece, ViewScene } from './scene.js'
import { at, m } from './space.js'

const tint = {
  piece: [0.33, 0.58, 0.62],
  carton: [0.85, 0.68, 0.38],
  before: [0.84, 0.85, 0.84],
  picked: [0.86, 0.33, 0.12],
} as const

const corners = (b: ViewBox): Vector3[] =>
  [0, 1].flatMap((i) =>
    [0, 1].flatMap((j) => [0, 1].map((k) => at(b.x + i * b.dx, b.y + j * b.dy, b.z + k * b.dz))),
  )

// Corner numbers are 4 i + 2 j + k for x, y, z; each face goes round so that it is seen from outside.
const quads = [
  [4, 6, 7, 5],
  [2, 0, 1, 3],
  [6, 2, 3, 7],
  [0, 4, 5, 1],
  [1, 5, 7, 3],
  [0, 2, 6, 4],
] as const
const rims = [0, 1, 1, 3, 3, 2, 2, 0, 4, 5, 5, 7, 7, 6, 6, 4, 0, 4, 1, 5, 2, 6, 3, 7] as const

export interface Goods {
  readonly mesh: Mesh
  readonly edges: LineSegments
  readonly numbers: Mesh
  paint(stage: number, picked: number): void
}

/** All pieces as one body in loading order, so that a stage is a range of it. */
export function piecesOf(load: ViewScene): Goods {
  const { pieces } = load
  const positions: number[] = []
  const rimPoints: number[] = []
  for (const piece of pieces) {
    const points = corners(inset(piece, 4))
    for (const [a, b, c, d] of quads) {
      for (const corner of [a, b, c, a, c, d]) positions.push(...(points[corner] as Vector3).toArray())
    }
    for (const corner of rims) rimPoints.push(...(points[corner] as Vector3).toArray())
  }
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
  geometry.computeVertexNormals()
  const colours = new BufferAttribute(new Float32Array(pieces.length * 36 * 3), 3)
  geometry.setAttribute('color', colours)
  const mesh = new Mesh(
    geometry,
    new MeshLambertMaterial({
      vertexColors: true,
      polygonOffset: true,
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 1,
    }),
  )
  const rim = new BufferGeometry()
  rim.setAttribute('position', new BufferAttribute(new Float32Array(rimPoints), 3))
  const edges = new LineSegments(rim, new LineBasicMaterial({ color: '#2b3a3d' }))
  const { mesh: numbers, perPiece } = numbersOf(pieces)
  const paint = (stage: number, picked: number): void => {
    const count = pieces.filter((p) => p.stage <= stage).length
    const firstOfStage = stage === load.stages ? 0 : pieces.findIndex((p) => p.stage === stage)
    pieces.forEach((piece, i) => {
      const own = i >= firstOfStage
      const colour = i === picked ? tint.picked : own ? tint[piece.carton ? 'carton' : 'piece'] : tint.before
      for (let v = i * 36; v < (i + 1) * 36; v++) colours.setXYZ(v, colour[0], colour[1], colour[2])
    })
    colours.needsUpdate = true
    geometry.setDrawRange(0, count * 36)
    rim.setDrawRange(0, count * 24)
    const from = Math.max(0, firstOfStage)
    numbers.geometry.setDrawRange(from * perPiece, Math.max(0, count - from) * perPiece)
  }
  return { mesh, edges, numbers, paint }
}

const inset = (b: ViewBox, by: number): ViewBox => ({
  x: b.x + by,
  y: b.y + by,
  z: b.z + (b.z === 0 ? 0 : by / 2),
  dx: Math.max(1, b.dx - 2 * by),
  dy: Math.max(1, b.dy - 2 * by),
  dz: Math.max(1, b.dz - by),
})

/** The loading numbers as small labels on the door side, both long sides and the top of every piece. */
function numbersOf(pieces: readonly ViewPiece[]): { mesh: Mesh; perPiece: number } {
  const side = Math.max(1, Math.ceil(Math.sqrt(pieces.length)))
  const cell = Math.min(96, Math.floor(4096 / side))
  const canvas = document.createElement('canvas')
  canvas.width = side * cell
  canvas.height = side * cell
  const pen = canvas.getContext('2d')
  if (pen) {
    pen.textAlign = 'center'
    pen.textBaseline = 'middle'
    pieces.forEach((p, i) => {
      const text = String(p.number)
      pen.font = `700 ${Math.floor(cell * (text.length > 2 ? 0.5 : 0.6))}px Helvetica, Arial, sans-serif`
      const [x, y] = [((i % side) + 0.5) * cell, (Math.floor(i / side) + 0.54) * cell]
      pen.lineWidth = cell * 0.12
      pen.strokeStyle = 'rgba(255,255,255,0.9)'
      pen.strokeText(text, x, y)
      pen.fillStyle = '#10191b'
      pen.fillText(text, x, y)
    })
  }
  const texture = new CanvasTexture(canvas)
  texture.colorSpace = SRGBColorSpace
  texture.anisotropy = 4
  const positions: number[] = []
  const uvs: number[] = []
  pieces.forEach((p, i) => {
    const u = (i % side) / side
    const v = 1 - (Math.floor(i / side) + 1) / side
    const [cx, cy, cz] = [p.x + p.dx / 2, p.y + p.dy / 2, p.z + p.dz / 2]
    const off = 3
    const label = (o: Vector3, right: Vector3, up: Vector3, room: number): void => {
      const half = (Math.min(room * 0.62, 300) / 2) * m
      const put = (a: number, b: number): number[] =>
        o
          .clone()
          .addScaledVector(right, a * half)
          .addScaledVector(up, b * half)
          .toArray()
      positions.push(...put(-1, -1), ...put(1, -1), ...put(1, 1), ...put(-1, -1), ...put(1, 1), ...put(-1, 1))
      const [u1, v1] = [u + 1 / side, v + 1 / side]
      uvs.push(u, v, u1, v, u1, v1, u, v, u1, v1, u, v1)
    }
    const along = new Vector3(1, 0, 0)
    const up = new Vector3(0, 1, 0)
    const rightHand = new Vector3(0, 0, -1)
    label(at(p.x + p.dx + off, cy, cz), rightHand, up, Math.min(p.dy, p.dz))
    label(at(cx, p.y + p.dy + off, cz), along.clone().negate(), up, Math.min(p.dx, p.dz))
    label(at(cx, p.y - off, cz), along, up, Math.min(p.dx, p.dz))
    label(at(cx, cy, p.z + p.dz + off), rightHand, along.clone().negate(), Math.min(p.dx, p.dy))
  })
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
  geometry.setAttribute('uv', new BufferAttribute(new Float32Array(uvs), 2))
  const mesh = new Mesh(
    geometry,
    new MeshBasicMaterial({ map: texture, transparent: true, alphaTest: 0.08, side: DoubleSide }),
  )
  return { mesh, perPiece: 24 }
}

import { escapeHtml as escapeXml } from '../../tables/as-data.js'
import type { Box, FixedBlock, Hold, LoadPlan, Placement } from '../packing/index.js'
import { covers, faces, type Point, paintOrder, project } from './isometric.js'

/** A picture of one loading stage, or of part of one where its pieces hide each other. */
export interface StagePicture {
  readonly stage: number
  /** Part of the stage, from 1, and how many there are. */
  readonly part: number
  readonly parts: number
  readonly svg: string
  /** What the picture shows, for those who do not see it. */
  readonly alt: string
  /** Numbers of pieces of this stage that stand behind others and carry no number in the picture. */
  readonly hidden: readonly number[]
}

/** What a picture calls its pieces. */
export interface PieceNames {
  readonly label: string
  readonly kind: 'piece' | 'carton'
}

type Tone = 'piece' | 'carton' | 'earlier' | 'vehicle'

/** Top, door side and right side of a box: three steps of grey under any colour, so that edges read on a grey printer. */
const tones: Readonly<Record<Tone, readonly [string, string, string]>> = {
  piece: ['#a9c9cc', '#7fa9ae', '#5d8a91'],
  carton: ['#fbf0d9', '#f0dcb4', '#dcc18c'],
  earlier: ['#f1f2f1', '#e6e8e6', '#dadddb'],
  vehicle: ['#8a9196', '#6d757b', '#555d63'],
}

const pxPerMm = 0.125
/** Most pieces in one picture. */
const mostNumbers = 18
const margin = 14

/** How the pictures are drawn. All may be left out. */
export interface PictureOptions {
  /** Most pictures of a stage; what then stands behind others is named beside them. Left out: as many as show all. */
  readonly mostParts?: number
  /** Least and greatest size of the numbers, px of the picture. */
  readonly numberPx?: readonly [least: number, most: number]
}

const usualNumberPx = [8, 13] as const

interface Drawn {
  readonly box: Box
  readonly tone: Tone
  readonly number?: number
  readonly title: string
}

/**
 * A picture for each stage of a plan: an isometric view from the door, with what came before in pale grey and the
 * pieces of the stage numbered in loading order. Pure text; the same plan gives the same picture.
 *
 * @param names label and kind of each piece by its id
 */
export function stagePictures(
  hold: Hold,
  plan: LoadPlan,
  names: ReadonlyMap<string, PieceNames>,
  { mostParts = Number.POSITIVE_INFINITY, numberPx = usualNumberPx }: PictureOptions = {},
): StagePicture[] {
  const stages = [...new Set(plan.placements.map((p) => p.stage))]
  return stages.flatMap((stage) => {
    const all = partsOf(hold, plan.placements, names, stage)
    const parts = all.length > mostParts ? fewer(all, mostParts) : all
    return parts.map((range, i) =>
      stagePicture(
        hold,
        plan.placements,
        names,
        { stage, part: i + 1, parts: parts.length, ...range },
        numberPx,
      ),
    )
  })
}

/** Neighbouring parts put together until there are few enough, the shortest first. */
function fewer(parts: readonly Range[], most: number): Range[] {
  let kept = [...parts]
  while (kept.length > most) {
    const length = (i: number): number => (kept[i + 1]?.to ?? Number.POSITIVE_INFINITY) - (kept[i]?.from ?? 0)
    const at = kept.slice(1).reduce((best, _, i) => (length(i) < length(best) ? i : best), 0)
    const both = { from: kept[at]?.from ?? 0, to: kept[at + 1]?.to ?? 0 }
    kept = [...kept.slice(0, at), both, ...kept.slice(at + 2)]
  }
  return kept
}

/** Indices of placements, the end not included. */
interface Range {
  readonly from: number
  readonly to: number
}

interface Part extends Range {
  readonly stage: number
  readonly part: number
  readonly parts: number
}

/** A stage in parts, each as long as all its numbers can be seen. */
function partsOf(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  stage: number,
): Range[] {
  const first = placements.findIndex((p) => p.stage === stage)
  const end = first + placements.filter((p) => p.stage === stage).length
  const parts: Range[] = []
  let from = first
  while (from < end) {
    let to = from + 1
    let hidden = drawingOf(hold, placements, names, { from, to }).hidden.length
    while (to < end && to - from < mostNumbers) {
      const next = drawingOf(hold, placements, names, { from, to: to + 1 }).hidden.length
      if (next > hidden) break
      hidden = next
      to++
    }
    parts.push({ from, to })
    from = to
  }
  return joined(parts, hold, placements, names)
}

/** Short parts are put together where that hides few numbers: a picture for every two pieces is no help. */
function joined(
  parts: readonly Range[],
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
): Range[] {
  const kept: Range[] = []
  for (const part of parts) {
    const last = kept.at(-1)
    const both = last && { from: last.from, to: part.to }
    const short = last !== undefined && Math.min(last.to - last.from, part.to - part.from) < 5
    const few =
      both !== undefined &&
      both.to - both.from <= mostNumbers &&
      drawingOf(hold, placements, names, both).hidden.length <= 3
    if (both !== undefined && short && few) kept[kept.length - 1] = both
    else kept.push(part)
  }
  return kept
}

interface Drawing {
  readonly from: number
  readonly to: number
  readonly inOrder: readonly Drawn[]
  readonly labels: readonly Label[]
  readonly hidden: readonly number[]
}

function drawingOf(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  range: Range,
): Drawing {
  const own = placements.slice(range.from, range.to)
  const from = Math.max(0, Math.min(...own.map((p) => p.x)) - 700)
  const to = Math.min(hold.lengthMm, Math.max(...own.map((p) => p.x + p.dx)) + 150)
  const drawn: Drawn[] = []
  placements.slice(0, range.to).forEach((p, i) => {
    if (p.x + p.dx <= from || p.x >= to) return
    const name = names.get(p.pieceId)
    const title = `${i + 1}: ${p.pieceId} ${name?.label ?? ''}`
    if (i < range.from) drawn.push({ box: clipped(p, from, to), tone: 'earlier', title })
    else drawn.push({ box: p, tone: name?.kind ?? 'piece', number: i + 1, title })
  })
  for (const block of hold.fixed ?? []) {
    if (!standsBefore(block, placements.slice(0, range.to))) continue
    for (const b of block.boxes) {
      if (b.x + b.dx <= from || b.x >= to) continue
      drawn.push({ box: clipped(b, from, to), tone: 'vehicle', title: block.label ?? block.id })
    }
    const { deck } = block
    if (deck !== undefined && deck.x < to && deck.x + deck.dx > from) {
      const plate: Box = { x: deck.x, y: deck.y, z: deck.zMm - 60, dx: deck.dx, dy: deck.dy, dz: 60 }
      drawn.push({
        box: clipped(plate, from, to),
        tone: 'vehicle',
        title: `deck over ${block.label ?? block.id}`,
      })
    }
  }
  const inOrder = paintOrder(drawn.map((d) => d.box)).map((i) => drawn[i] as Drawn)
  const labels = inOrder.flatMap((d, i) => labelOf(d, inOrder.slice(i + 1)))
  const labelled = new Set(labels.map((l) => l.number))
  const hidden = drawn
    .flatMap((d) => (d.number !== undefined && !labelled.has(d.number) ? [d.number] : []))
    .sort((a, b) => a - b)
  return { from, to, inOrder, labels, hidden }
}

function stagePicture(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  part: Part,
  numberPx: readonly [number, number],
): StagePicture {
  const { from, to, inOrder, labels, hidden } = drawingOf(hold, placements, names, part)
  const own = placements.slice(part.from, part.to)
  const of = part.parts > 1 ? `, picture ${part.part} of ${part.parts}` : ''
  const behind = hidden.length > 0 ? ` Behind others: ${hidden.join(', ')}.` : ''
  const alt = `Stage ${part.stage}${of}: ${own.length} ${own.length === 1 ? 'piece' : 'pieces'}, numbers ${part.from + 1} to ${part.to}, between ${metres(Math.min(...own.map((p) => p.x)))} and ${metres(Math.max(...own.map((p) => p.x + p.dx)))} m from the front wall, seen from the door.${behind} The list beside it names each.`
  return {
    stage: part.stage,
    part: part.part,
    parts: part.parts,
    svg: svgOf(hold, from, to, inOrder, labels, alt, numberPx),
    alt,
    hidden,
  }
}

const metres = (mm: number): string => (mm / 1000).toFixed(1)

/** A vehicle is shown once something stands beside, above or behind it; one by the front wall is there from the start. */
function standsBefore(block: FixedBlock, stowed: readonly Placement[]): boolean {
  const start = Math.min(...block.boxes.map((b) => b.x))
  return start < 500 || stowed.some((p) => p.x + p.dx > start)
}

function clipped(box: Box, from: number, to: number): Box {
  const x = Math.max(box.x, from)
  return { x, y: box.y, z: box.z, dx: Math.min(box.x + box.dx, to) - x, dy: box.dy, dz: box.dz }
}

interface Label {
  readonly number: number
  readonly at: Point
  /** Height of digits for which its face has room. */
  readonly roomPx: number
}

/** Where a number is seen: the middle of the largest face that nothing drawn later covers. */
function labelOf({ box, number }: Drawn, later: readonly Drawn[]): Label[] {
  if (number === undefined) return []
  const { top, door, right } = faces(box)
  const options = [
    { corners: door, room: Math.min(box.dy * 0.8, box.dz) },
    { corners: top, room: Math.min(box.dx, box.dy) * 0.75 },
    { corners: right, room: Math.min(box.dx * 0.8, box.dz) },
  ].sort((a, b) => b.room - a.room)
  for (const { corners, room } of options) {
    for (const at of spots(corners)) {
      if (later.some((d) => covers(d.box, at))) continue
      const digits = String(number).length
      return [{ number, at, roomPx: (room * pxPerMm * 1.25) / Math.max(1.6, digits) }]
    }
  }
  return []
}

/** The middle of a face, and if that is covered, points between it and the corners. */
function spots(corners: readonly Point[]): Point[] {
  const middle = {
    x: corners.reduce((sum, c) => sum + c.x, 0) / corners.length,
    y: corners.reduce((sum, c) => sum + c.y, 0) / corners.length,
  }
  const towards = (c: Point): Point => ({ x: (middle.x + c.x) / 2, y: (middle.y + c.y) / 2 })
  const half = corners.map(towards)
  const edges = half.map((h, i) => {
    const next = half[(i + 1) % half.length] ?? h
    return { x: (h.x + next.x) / 2, y: (h.y + next.y) / 2 }
  })
  return [middle, ...half, ...edges]
}

function svgOf(
  hold: Hold,
  from: number,
  to: number,
  drawn: readonly Drawn[],
  labels: readonly Label[],
  alt: string,
  [least, most]: readonly [number, number],
): string {
  const shell: Box = { x: from, y: 0, z: 0, dx: to - from, dy: hold.widthMm, dz: hold.heightMm }
  const { dy: width, dz: height } = shell
  const left = project(to, 0, 0).x
  const right = project(from, width, 0).x
  const top = project(from, 0, height).y
  const bottom = project(to, width, 0).y
  const mapHeight = 46
  const w = Math.ceil((right - left) * pxPerMm) + 2 * margin
  const h = Math.ceil((bottom - top) * pxPerMm) + 2 * margin + mapHeight
  const at = (p: Point): string =>
    `${((p.x - left) * pxPerMm + margin).toFixed(1)},${((p.y - top) * pxPerMm + margin + mapHeight).toFixed(1)}`
  const line = (a: Point, b: Point): string => `M${at(a)}L${at(b)}`
  const floor = [project(from, 0, 0), project(to, 0, 0), project(to, width, 0), project(from, width, 0)]
  const frontWall = [
    project(from, 0, 0),
    project(from, width, 0),
    project(from, width, height),
    project(from, 0, height),
  ]
  const leftWall = [project(from, 0, 0), project(to, 0, 0), project(to, 0, height), project(from, 0, height)]
  const frame = [
    line(project(to, 0, height), project(to, width, height)),
    line(project(to, width, height), project(from, width, height)),
    line(project(to, width, 0), project(to, width, height)),
  ].join('')
  const boxes = drawn.map((d) => boxSvg(d, at))
  const texts = labels.map(({ number, at: p, roomPx }) => {
    const [x, y] = at(p).split(',').map(Number) as [number, number]
    const size = Math.min(most, Math.max(least, roomPx))
    return `<text x="${x}" y="${(y + size * 0.36).toFixed(1)}" font-size="${size.toFixed(1)}">${number}</text>`
  })
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${w}" height="${h}" viewBox="0 0 ${w} ${h}" role="img">`,
    `<title>${escapeXml(alt)}</title>`,
    `<rect width="${w}" height="${h}" fill="#ffffff"/>`,
    keyMap(hold, from, to, w),
    `<path d="M${frontWall.map(at).join('L')}Z" fill="#fafafa" stroke="#9aa3a1"/>`,
    `<path d="M${leftWall.map(at).join('L')}Z" fill="#fcfcfc" stroke="#9aa3a1"/>`,
    `<path d="M${floor.map(at).join('L')}Z" fill="#f4f2ee" stroke="#9aa3a1"/>`,
    ...boxes,
    `<path d="${frame}" fill="none" stroke="#9aa3a1" stroke-dasharray="5 4"/>`,
    `<g font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-weight="700" text-anchor="middle" fill="#111" stroke="#fff" stroke-width="2.4" paint-order="stroke" stroke-linejoin="round">`,
    ...texts,
    '</g>',
    '</svg>',
    '',
  ].join('\n')
}

function boxSvg({ box, tone, title }: Drawn, at: (p: Point) => string): string {
  const { top, door, right } = faces(box)
  const [a, b, c] = tones[tone]
  const stroke = tone === 'earlier' ? '#b5bab8' : '#22303a'
  const width = tone === 'earlier' ? 0.6 : 1
  const face = (corners: readonly Point[], fill: string): string =>
    `<path d="M${corners.map(at).join('L')}Z" fill="${fill}"/>`
  return `<g stroke="${stroke}" stroke-width="${width}" stroke-linejoin="round"><title>${escapeXml(title)}</title>${face(top, a)}${face(door, b)}${face(right, c)}</g>`
}

/** A small plan of the whole container that shows where along it the picture is. */
function keyMap(hold: Hold, from: number, to: number, width: number): string {
  const long = Math.min(width - 2 * margin - 96, 260)
  const high = 14
  const x = margin + 40
  const scale = long / hold.lengthMm
  const cars = (hold.fixed ?? []).map(({ clear }) => {
    const y = 10 + (clear.y / hold.widthMm) * high
    return `<rect x="${(x + clear.x * scale).toFixed(1)}" y="${y.toFixed(1)}" width="${(clear.dx * scale).toFixed(1)}" height="${((clear.dy / hold.widthMm) * high).toFixed(1)}" fill="#8a9196"/>`
  })
  return [
    `<g font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-size="10" fill="#44504e">`,
    `<text x="${margin}" y="21">front</text>`,
    `<rect x="${x}" y="10" width="${long.toFixed(1)}" height="${high}" fill="#fff" stroke="#9aa3a1"/>`,
    ...cars,
    `<rect x="${(x + from * scale).toFixed(1)}" y="8" width="${((to - from) * scale).toFixed(1)}" height="${high + 4}" fill="none" stroke="#111" stroke-width="2"/>`,
    `<text x="${(x + long + 6).toFixed(1)}" y="21">door</text>`,
    '</g>',
  ].join('')
}

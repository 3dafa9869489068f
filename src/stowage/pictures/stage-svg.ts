import { escapeHtml as escapeXml } from '../../tables/as-data.js'
import type { Box, Hold } from '../packing/index.js'
import { faces, type Point, project } from './isometric.js'
import { type Drawn, type Label, pxPerMm, type Tone } from './labels.js'

/** Top, door side and right side of a box: three steps of grey under any colour, so that edges read on a grey printer. */
const tones: Readonly<Record<Tone, readonly [string, string, string]>> = {
  piece: ['#a9c9cc', '#7fa9ae', '#5d8a91'],
  carton: ['#fbf0d9', '#f0dcb4', '#dcc18c'],
  earlier: ['#f1f2f1', '#e6e8e6', '#dadddb'],
  vehicle: ['#8a9196', '#6d757b', '#555d63'],
}

const margin = 14

/** A drawing as a picture: boxes in the order of painting, numbers over them, and where along the container it is. */
export function svgOf(
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

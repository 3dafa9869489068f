import { escapeHtml as escapeXml } from '../../tables/as-data.js'
import type { Box, Hold, LoadPlan } from '../packing/index.js'

const greys = ['#ffffff', '#e3e6e4', '#c6cbc9', '#f4f4f2', '#d5d9d7', '#b6bcba'] as const
const pxPerMm = 0.05

/**
 * The whole load on one strip: from the left side and from above, front wall to the left, each stage in a grey of its
 * own with its number where its goods are. Pure text.
 */
export function overviewPicture(hold: Hold, plan: LoadPlan): { readonly svg: string; readonly alt: string } {
  const stages = [...new Set(plan.placements.map((p) => p.stage))]
  const alt = `The whole container from the side and from above in ${stages.length} ${stages.length === 1 ? 'stage' : 'stages'}; front wall left, door right.`
  const w = Math.ceil(hold.lengthMm * pxPerMm) + 90
  const sideHigh = hold.heightMm * pxPerMm
  const topHigh = hold.widthMm * pxPerMm
  const h = Math.ceil(sideHigh + topHigh) + 60
  const fixed = (hold.fixed ?? []).flatMap(({ boxes }) => boxes)
  const side = panel('side', 45, 20, hold.lengthMm, hold.heightMm, (b) => [
    b.x,
    hold.heightMm - b.z - b.dz,
    b.dx,
    b.dz,
  ])
  const above = panel('above', 45, 40 + sideHigh, hold.lengthMm, hold.widthMm, (b) => [b.x, b.y, b.dx, b.dy])
  // From the side what is nearer to the left wall comes last, from above what is higher.
  const bySide = plan.placements.toSorted((a, b) => b.y - a.y)
  const byHeight = plan.placements.toSorted((a, b) => a.z + a.dz - b.z - b.dz)
  return {
    alt,
    svg: [
      `<svg xmlns="http://www.w3.org/2000/svg" width="${w}" height="${h}" viewBox="0 0 ${w} ${h}" role="img">`,
      `<title>${escapeXml(alt)}</title>`,
      `<rect width="${w}" height="${h}" fill="#ffffff"/>`,
      side(bySide, fixed, stages),
      above(byHeight, fixed, stages),
      `<g font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-size="11" fill="#44504e"><text x="4" y="${20 + sideHigh / 2}">front</text><text x="${w - 40}" y="${20 + sideHigh / 2}">door</text></g>`,
      '</svg>',
      '',
    ].join('\n'),
  }
}

type Flat = readonly [x: number, y: number, dx: number, dy: number]

function panel(
  name: string,
  left: number,
  top: number,
  longMm: number,
  highMm: number,
  flat: (box: Box) => Flat,
): (
  placements: readonly (Box & { readonly stage: number })[],
  fixed: readonly Box[],
  stages: readonly number[],
) => string {
  const rect = (box: Box, fill: string): string => {
    const [x, y, dx, dy] = flat(box).map((mm) => (mm * pxPerMm).toFixed(1)) as [
      string,
      string,
      string,
      string,
    ]
    return `<rect x="${x}" y="${y}" width="${dx}" height="${dy}" fill="${fill}" stroke="#22303a" stroke-width="0.5"/>`
  }
  return (placements, fixed, stages) => {
    const numbers = stages.map((stage) => {
      const own = placements.filter((p) => p.stage === stage).map(flat)
      const area = own.reduce((sum, [, , dx, dy]) => sum + dx * dy, 0)
      const mean = (of: (f: Flat) => number): string =>
        ((own.reduce((sum, f) => sum + of(f) * f[2] * f[3], 0) / area) * pxPerMm).toFixed(1)
      return `<text x="${mean(([x, , dx]) => x + dx / 2)}" y="${mean(([, y, , dy]) => y + dy / 2)}" dy="7">${stage}</text>`
    })
    return [
      `<g transform="translate(${left} ${top.toFixed(1)})">`,
      `<text x="0" y="-4" font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-size="10" fill="#44504e">${name}</text>`,
      `<rect width="${(longMm * pxPerMm).toFixed(1)}" height="${(highMm * pxPerMm).toFixed(1)}" fill="#fff" stroke="#22303a"/>`,
      ...fixed.map((b) => rect(b, '#6d757b')),
      ...placements.map((p) => rect(p, greys[(p.stage - 1) % greys.length] ?? '#fff')),
      '<g font-family="Liberation Sans, Helvetica, Arial, sans-serif" font-size="20" font-weight="700" text-anchor="middle" fill="#111" stroke="#fff" stroke-width="4" paint-order="stroke">',
      ...numbers,
      '</g></g>',
    ].join('')
  }
}

import { svgImage } from '../paper/picture.js'
import { overviewPicture } from '../stowage/pictures/index.js'
import type { LoadResult } from './load-result.js'
import { section } from './page-parts.js'
import type { ViewScene } from './view/scene.js'

/** The section with the 3D view, and what stands in its place on paper. */
export function viewHtml(result: LoadResult): string {
  return section(
    'turn',
    'Turn it',
    '<p id="view-note">The door is nearest. Drag to turn, click a piece for its name. The list below says the same in words.</p>',
    viewBox(result),
    onPaper(result),
  )
}

/** What stands in place of the 3D view on paper: the whole load from the side and from above. */
function onPaper({ first }: LoadResult): string {
  const { svg, alt } = overviewPicture(first.hold, first.plan)
  return `<figure class="on-paper">${svgImage(svg, alt)}</figure>`
}

/** The place of the 3D view with its controls; the built script fills it from the scene in `#view-data`. */
export function viewBox({ first }: LoadResult): string {
  const stages = Math.max(1, ...first.plan.placements.map((p) => p.stage))
  const button = (act: string, sign: string, label: string): string =>
    `<button type="button" data-act="${act}" aria-label="${label}" title="${label}">${sign}</button>`
  return [
    '<div class="viewer">',
    '<div id="view"></div>',
    '<div class="controls">',
    '<p id="view-said" role="status"></p>',
    `<span class="group">Stage ${button('stage-back', '[', 'One stage back')}<input id="view-stage" type="range" min="1" max="${stages}" value="${stages}" aria-label="Stage">${button('stage-on', ']', 'One stage on')}</span>`,
    `<span class="group">Piece ${button('piece-back', ',', 'One piece back')}${button('piece-on', '.', 'One piece on')}</span>`,
    `<span class="group">Turn ${button('left', '\u2190', 'Turn left')}${button('right', '\u2192', 'Turn right')}${button('up', '\u2191', 'Look from higher')}${button('down', '\u2193', 'Look from lower')}</span>`,
    `<span class="group">Zoom ${button('in', '+', 'Nearer')}${button('out', '\u2212', 'Farther')}${button('reset', 'Reset', 'As at first')}</span>`,
    '</div>',
    '<p class="keys"><span class="swatch p"></span>furniture and other pieces <span class="swatch c"></span>cartons <span class="swatch v"></span>vehicle <span aria-hidden="true">●</span> red: centre of gravity. Keys, once the view is chosen: arrows turn, + and \u2212 zoom, [ and ] stages, comma and full stop pieces, Home resets.</p>',
    '</div>',
  ].join('\n')
}

/** The first container as the 3D view reads it. */
export function viewScene({ first, pieces, vehicles }: LoadResult): ViewScene {
  const { hold, plan } = first
  const byId = new Map(pieces.map((p) => [p.id, p]))
  return {
    container: { x: 0, y: 0, z: 0, dx: hold.lengthMm, dy: hold.widthMm, dz: hold.heightMm },
    doorWidthMm: hold.doorWidthMm,
    doorHeightMm: hold.doorHeightMm,
    pieces: plan.placements.map(({ x, y, z, dx, dy, dz, stage, pieceId }, i) => {
      const piece = byId.get(pieceId)
      return {
        x,
        y,
        z,
        dx,
        dy,
        dz,
        stage,
        number: i + 1,
        name: `${pieceId} ${piece?.label ?? ''}`,
        carton: piece?.kind === 'carton',
      }
    }),
    vehicles: (hold.fixed ?? []).map((block) => ({
      name: block.label ?? block.id,
      car: vehicles.find((v) => v.id === block.id)?.kind === 'car',
      boxes: block.boxes,
      ...(block.deck === undefined
        ? {}
        : {
            deck: {
              x: block.deck.x,
              y: block.deck.y,
              z: block.deck.zMm - 80,
              dx: block.deck.dx,
              dy: block.deck.dy,
              dz: 80,
            },
          }),
    })),
    centreOfGravity: plan.centreOfGravity,
    stages: Math.max(1, ...plan.placements.map((p) => p.stage)),
  }
}

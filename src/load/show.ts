// What the cells of a notebook call to show the pictures of a load plan.
import { show } from '../notebook/show.js'
import { stagePictures } from '../stowage/pictures/index.js'
import { escapeHtml } from '../tables/as-data.js'
import type { LoadResult } from './load-result.js'

/**
 * Shows the stage pictures of the first container in a cell, as images that every front end shows.
 *
 * @param stages only these stages; all otherwise
 */
export function showStages({ first, pieces }: LoadResult, stages?: readonly number[]): void {
  const names = new Map(pieces.map((p) => [p.id, { label: p.label, kind: p.kind }]))
  for (const { stage, svg, alt } of stagePictures(first.hold, first.plan, names)) {
    if (stages !== undefined && !stages.includes(stage)) continue
    const address = `data:image/svg+xml;base64,${Buffer.from(svg).toString('base64')}`
    show({
      'text/html': `<figure><img alt="${escapeHtml(alt)}" src="${address}"></figure>`,
      'text/plain': alt,
    })
  }
}

// The edge of this folder: the only file of it that knows about disks.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { chartTheme } from '../charts/theme-file.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/index.js'
import { packageRoot } from '../plan/open.js'
import type { ExploreOptions } from './data.js'
import { type ExploreAssets, explorePage } from './page.js'

/** Styles and script of the page, read from the package; throws one sentence where the package is not built. */
export function exploreAssets(): ExploreAssets {
  const bundle = join(packageRoot, 'dist', 'explore', 'page.bundle.js')
  if (!existsSync(bundle)) throw new Error(`${bundle} is not there; build the package first: npm run build`)
  return {
    css: pageCss('explore'),
    script: readFileSync(bundle, 'utf8').trim(),
    theme: chartTheme(),
  }
}

/**
 * Writes the page of trade-offs, beside the old file and renamed over it; its folder is made if it is not there.
 *
 * @returns the path
 */
export async function writeExplore(
  path: string,
  move: Move,
  plans: readonly Plan[],
  options: ExploreOptions = {},
): Promise<string> {
  await replaceFile(path, explorePage(move, plans, { ...options, assets: exploreAssets() }))
  return path
}

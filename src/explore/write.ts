// The edge of this folder: the only file of it that knows about disks.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { chartTheme } from '../charts/theme-file.js'
import { OWN_CUSTOMS_FILE } from '../customs/own-rows.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/index.js'
import { packageRoot } from '../plan/open.js'
import { readCsvFiles } from '../tables/disk.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import type { Sources } from './chooser.js'
import type { ExploreOptions } from './data.js'
import { type ExploreAssets, explorePage, type PlannerAssets } from './page.js'

/** Where the lists stand that a page with choices carries along. */
export interface ExploreSources {
  readonly household: string
  /** Other reference tables than those of the package. */
  readonly reference?: string | undefined
}

/** Styles and script of the page, read from the package; throws one sentence where the package is not built. */
export function exploreAssets(): ExploreAssets {
  return { css: pageCss('explore'), script: bundleText('page'), theme: chartTheme() }
}

function bundleText(name: string): string {
  const bundle = join(packageRoot, 'dist', 'explore', `${name}.bundle.js`)
  if (!existsSync(bundle)) throw new Error(`${bundle} is not there; build the package first: npm run build`)
  return readFileSync(bundle, 'utf8').trim()
}

/** What a page with choices carries along: the planner, the reference tables and the household's own lists. */
export async function plannerAssets(from: ExploreSources): Promise<PlannerAssets> {
  const reference = from.reference ?? join(packageRoot, 'data', 'reference')
  const files = async (folder: string, known: readonly string[] = []) =>
    (await readCsvFiles(folder, '', known)).files
  const household = await files(from.household, [...Object.values(HOUSEHOLD_FILES), OWN_CUSTOMS_FILE])
  const tables: Omit<Sources, 'household'> = {
    reference: await files(reference),
    customs: await files(join(reference, 'customs')),
  }
  return {
    script: packed(bundleText('planner')),
    tables: packed(JSON.stringify(tables)),
    lists: packed(JSON.stringify(household)),
  }
}

const packed = (text: string): string => gzipSync(text, { level: 9 }).toString('base64')

/**
 * Writes the page of trade-offs, beside the old file and renamed over it; its folder is made if it is not there.
 *
 * @param options with `sources` the page plans again whatever is chosen; without, only numbers move
 * @returns the path
 */
export async function writeExplore(
  path: string,
  move: Move,
  plans: readonly Plan[],
  options: ExploreOptions & { readonly sources?: ExploreSources } = {},
): Promise<string> {
  const { sources, ...shown } = options
  const planner = sources && (await plannerAssets(sources))
  const assets = { ...exploreAssets(), ...(planner ? { planner } : {}) }
  await replaceFile(path, explorePage(move, plans, { ...shown, assets }))
  return path
}

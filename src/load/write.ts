// The edge of this folder: the only file of it that knows about disks.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/move.js'
import { packageRoot } from '../plan/open.js'
import { bookHtml } from './book.js'
import { loadJson } from './json.js'
import { loadingListCsv } from './list.js'
import type { LoadResult } from './load-result.js'
import { LOADED_FILE, loadedForm } from './loaded.js'
import { loadHtml, type PageAssets } from './page.js'

/** Styles and script of the page, read from the package. Without the built script the page has no 3D view. */
export function pageAssets(): PageAssets {
  const text = (...path: string[]): string => readFileSync(join(packageRoot, ...path), 'utf8')
  const bundle = join('dist', 'load', 'view.bundle.js')
  return {
    css: pageCss('load', 'load-view'),
    ...(existsSync(join(packageRoot, bundle)) ? { script: text(bundle).trim() } : {}),
  }
}

/**
 * Writes load.html, loading-book.html, load.json, loading-list.csv and the form loaded.csv into a folder, each beside the old file and renamed over it.
 *
 * @returns the paths of the files
 */
export async function writeLoad(
  dir: string,
  move: Move,
  plan: Plan,
  result: LoadResult,
): Promise<readonly string[]> {
  const files = [
    [join(dir, 'load.html'), loadHtml(move, result, pageAssets())],
    [join(dir, 'loading-book.html'), bookHtml(move, plan, result, pageCss('load-book'))],
    [join(dir, 'load.json'), loadJson(move, result)],
    [join(dir, LOADED_FILE), loadedForm(result)],
    [join(dir, 'loading-list.csv'), loadingListCsv(result)],
  ] as const
  for (const [path, text] of files) await replaceFile(path, text)
  return files.map(([path]) => path)
}

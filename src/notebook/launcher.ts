import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { NotebookError } from './format.js'

/**
 * Path of the built kernel launcher. In the built package; from a folder of src or dist; from the sources (tests), in dist.
 * Throws NotebookError if the package has not been built.
 */
export function launcherPath(): string {
  const places = ['../notebook/kernel-main.cjs', '../../dist/notebook/kernel-main.cjs']
  const paths = places.map((place) => fileURLToPath(new URL(place, import.meta.url)))
  const found = paths.find((path) => existsSync(path))
  if (found) return found
  throw new NotebookError(
    `The kernel launcher is not at ${paths.join(' nor at ')}: the package is not built. Run node build.mjs.`,
  )
}

import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Notebook, notebookText } from '../../src/notebook/format.js'

export const repository = fileURLToPath(new URL('../..', import.meta.url))

/** Kernels run the built package; without it every message would be about something else. */
export function needBuild(): void {
  if (!existsSync(join(repository, 'dist/notebook/kernel-main.cjs'))) {
    throw new Error('dist is missing: run node build.mjs (npm test does it by itself)')
  }
}

export interface SampleCell {
  readonly source: string
  readonly type?: 'code' | 'markdown' | 'raw'
  readonly tags?: readonly string[]
}

/** A notebook of the given cells; plain strings are code. Ids are c1, c2 and so on. */
export function sample(cells: readonly (string | SampleCell)[]): Notebook {
  return {
    cells: cells.map((given, index) => {
      const cell: SampleCell = typeof given === 'string' ? { source: given } : given
      const base = {
        id: `c${index + 1}`,
        metadata: cell.tags ? { tags: cell.tags } : {},
        source: cell.source,
      }
      return cell.type === 'markdown' || cell.type === 'raw'
        ? { cell_type: cell.type, ...base }
        : { cell_type: 'code' as const, ...base, execution_count: null, outputs: [] }
    }),
    metadata: {},
    nbformat: 4,
    nbformat_minor: 5,
  }
}

/** A folder of its own inside the repository, so that cells find the package; removed by `remove`. */
export function workFolder(): {
  path: string
  write: (name: string, notebook: Notebook) => string
  remove: () => void
} {
  const path = mkdtempSync(join(repository, 'tests/notebook/run-'))
  return {
    path,
    write: (name, notebook) => {
      const file = join(path, name)
      writeFileSync(file, notebookText(notebook))
      return file
    },
    remove: () => rmSync(path, { recursive: true, force: true }),
  }
}

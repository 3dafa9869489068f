// The notebooks of an open folder: the package's, and the folder's own in their stead.
import { mkdir, readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { textOf } from '../notebook/format.js'
import {
  KERNEL_METADATA,
  type Notebook,
  parseNotebook,
  readNotebook,
  writeNotebook,
} from '../notebook/index.js'
import { packageRoot } from '../plan/open.js'
import { newNotebook } from './new-notebook.js'
import type { NotebookName } from './protocol.js'

/** Whether a name can be that of a notebook's file. */
export const isName = (name: string): boolean => /^[\w-]{1,80}\.ipynb$/.test(name)

export class NotebookFiles {
  constructor(readonly folder: string) {}

  get #own(): string {
    return join(this.folder, 'notebooks')
  }

  /** The package's notebooks and the folder's own; one of the folder's stands in for the package's of its name. */
  async names(): Promise<NotebookName[]> {
    const list = async (folder: string): Promise<string[]> =>
      (await readdir(folder).catch((): string[] => [])).filter(isName).sort()
    const own = await list(this.#own)
    const given = (await list(join(packageRoot, 'notebooks'))).filter((name) => !own.includes(name))
    const named = async (name: string, isOwn: boolean): Promise<NotebookName> => ({
      name,
      own: isOwn,
      title: titleOf(await readFile(this.#path(name, isOwn), 'utf8'), name),
    })
    const all = await Promise.all([
      ...given.map((name) => named(name, false)),
      ...own.map((name) => named(name, true)),
    ])
    return all.sort((a, b) => (a.name < b.name ? -1 : 1))
  }

  #path(name: string, own: boolean): string {
    return join(own ? this.#own : join(packageRoot, 'notebooks'), name)
  }

  async read(name: string): Promise<{ notebook: Notebook; own: boolean }> {
    const own = (await readdir(this.#own).catch((): string[] => [])).includes(name)
    return { notebook: await readNotebook(this.#path(name, own)), own }
  }

  /** Writes a notebook into the folder. */
  async save(name: string, sent: unknown): Promise<void> {
    // Read as any file is, so that nothing but a notebook is ever written under the name of one.
    const notebook = parseNotebook(JSON.stringify(sent), name)
    await mkdir(this.#own, { recursive: true })
    await writeNotebook(this.#path(name, true), {
      ...notebook,
      metadata: { ...notebook.metadata, ...KERNEL_METADATA },
    })
  }

  /** Begins a notebook of that title; throws one sentence where the name is taken. */
  async begin(name: string, title: string): Promise<void> {
    if ((await this.names()).some((one) => one.name === name))
      throw new Error(`there is a notebook ${name} already; take another name`)
    await mkdir(this.#own, { recursive: true })
    await writeNotebook(this.#path(name, true), newNotebook(title))
  }
}

/** The first heading of a notebook's text, or its file name. */
function titleOf(text: string, name: string): string {
  try {
    const [first] = parseNotebook(text, name).cells
    return /^#\s+(.+)$/m.exec(first ? textOf(first.source) : '')?.[1] ?? name
  } catch {
    return name
  }
}

import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { cp, mkdir } from 'node:fs/promises'
import { basename, join, relative, resolve } from 'node:path'
import { openAssets } from '../open/assets.js'
import { FolderInUse } from '../open/lock.js'
import { serveFolder } from '../open/server.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, packageRoot } from './command.js'

export const openCommand: Command = {
  name: 'open',
  words: '[DIR]',
  says: 'opens a household as a page in your browser: type things in, choose, see the totals follow, run notebooks',
  options: {
    port: { value: 'N', says: 'the port on this machine; any free one otherwise' },
    'no-browser': { says: 'print the address and start no browser' },
    reference: { value: 'DIR', says: 'other reference tables than those of the package' },
  },
  async run(args, io) {
    const folder = await workingFolder(args)
    const assets = await openAssets(args.text('reference'))
    const server = await serveFolder({
      folder,
      assets,
      port: portOf(args),
      now: new Date().toISOString(),
    }).catch((error: unknown) => {
      if (error instanceof FolderInUse) throw new UsageError(error.message)
      throw error
    })
    io.out(`${relative('.', folder) || '.'} is open at\n  ${server.address}`)
    if (!args.flags.has('no-browser') && !showInBrowser(server.address))
      io.out('No browser was found: open that address in one on this machine.')
    io.out('Ctrl+C ends it. What is typed is kept at once; Save writes it into the CSV files.')
    await interrupted()
    await server.close()
    return 0
  },
}

/** The folder to open. The package's own households are examples: a copy under out/ is opened, never they themselves. */
async function workingFolder(args: Args): Promise<string> {
  const [word] = args.words
  const folder = word !== undefined && args.words.length === 1 ? asStated(word) : householdFolder(args)
  const own = join(packageRoot, 'data', 'households')
  if (resolve(folder, '..') !== own) return folder
  const copy = resolve('out', basename(folder), 'household')
  if (!existsSync(copy)) {
    await mkdir(copy, { recursive: true })
    await cp(folder, copy, { recursive: true, filter: (path) => path === folder || path.endsWith('.csv') })
  }
  return copy
}

/** A path where there is no such household of the package: a folder that is not there yet is begun. */
const asStated = (word: string): string =>
  existsSync(join(packageRoot, 'data', 'households', word)) && !existsSync(word)
    ? join(packageRoot, 'data', 'households', word)
    : resolve(word)

function portOf(args: Args): number {
  const text = args.text('port') ?? '0'
  if (!/^\d{1,5}$/.test(text) || Number(text) > 65_535)
    throw new UsageError(`--port ${text}: write a number from 1 to 65535, as in --port 8123`)
  return Number(text)
}

/** Starts the system's browser; false where there is none to start. */
function showInBrowser(address: string): boolean {
  const [command, ...words] = openerOf(process.platform)
  const hasScreen = process.platform !== 'linux' || process.env.DISPLAY || process.env.WAYLAND_DISPLAY
  const found =
    process.platform !== 'linux' ||
    (process.env.PATH ?? '').split(':').some((dir) => existsSync(join(dir, 'xdg-open')))
  if (command === undefined || !hasScreen || !found) return false
  const child = spawn(command, [...words, address], { stdio: 'ignore', detached: true })
  child.on('error', () => undefined)
  child.unref()
  return true
}

function openerOf(platform: NodeJS.Platform): readonly string[] {
  if (platform === 'darwin') return ['open']
  if (platform === 'win32') return ['cmd', '/c', 'start', '']
  return ['xdg-open']
}

/** Resolves at Ctrl+C or when the system asks the process to end. */
const interrupted = (): Promise<void> =>
  new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve())
  })

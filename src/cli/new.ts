import { constants } from 'node:fs'
import { copyFile, mkdir, readdir } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { UsageError } from './args.js'
import { type Command, packageRoot } from './command.js'

export const newCommand: Command = {
  name: 'new',
  words: 'DIR',
  says: 'makes a household’s folder with one template of each file; never writes over a file',
  options: {},
  async run(args, io) {
    const [word] = args.words
    if (word === undefined || args.words.length > 1) throw new UsageError('where to? quaybook new DIR')
    const folder = resolve(word)
    await mkdir(folder, { recursive: true })
    const templates = join(packageRoot, 'data', 'templates')
    const names = (await readdir(templates)).filter((name) => name.endsWith('.csv')).sort()
    const there = (await readdir(folder)).filter((name) => names.includes(name))
    if (there.length > 0) {
      throw new UsageError(
        `${folder} holds ${there.join(', ')} already; name a new folder, nothing was written`,
      )
    }
    for (const name of names)
      await copyFile(join(templates, name), join(folder, name), constants.COPYFILE_EXCL)
    io.out(`${folder}: ${names.join(', ')}`)
    io.out('Each file holds one example row to replace. data/README.md tells what every column means.')
    return 0
  },
}

import { join } from 'node:path'
import { writeKernelspec } from '../notebook/index.js'
import { type Command, packageRoot } from './command.js'

export const kernel: Command = {
  name: 'kernel',
  words: '',
  says: 'tells Jupyter of the TypeScript kernel: prints the folder to put in JUPYTER_PATH',
  options: {},
  async run(_args, io) {
    const folder = join(packageRoot, 'out', 'jupyter')
    await writeKernelspec(folder)
    io.out(folder)
    return 0
  },
}

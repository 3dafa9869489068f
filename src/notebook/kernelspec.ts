import { join } from 'node:path'
import { replaceFile } from '../paper/replace-file.js'
import { launcherPath } from './launcher.js'

/** Name under which Jupyter finds the kernel; it stands in the metadata of every notebook. */
export const KERNEL_NAME = 'tslab'

/** What a notebook's metadata say about kernel and language; the language version is left to the kernel. */
export const KERNEL_METADATA = {
  kernelspec: { display_name: 'TypeScript', language: 'typescript', name: KERNEL_NAME },
  language_info: { file_extension: '.ts', mimetype: 'text/typescript', name: 'typescript' },
} as const

/** What a machine's settings must not change in a cell's output: time zone, number formats, colours. */
export const KERNEL_ENVIRONMENT = { TZ: 'UTC', LC_ALL: 'en_US.UTF-8', FORCE_COLOR: '0' } as const

/**
 * Writes the kernel's description for Jupyter, `<dir>/kernels/tslab/kernel.json`.
 *
 * Start Jupyter with that folder in its path: `JUPYTER_PATH=<dir> jupyter notebook`. The file names this
 * machine's node and this copy of the package, so it belongs in no repository.
 * @returns path of the file written
 */
export async function writeKernelspec(dir: string): Promise<string> {
  const path = join(dir, 'kernels', KERNEL_NAME, 'kernel.json')
  const spec = {
    argv: [process.execPath, launcherPath(), '--config-path', '{connection_file}'],
    display_name: KERNEL_METADATA.kernelspec.display_name,
    language: KERNEL_METADATA.kernelspec.language,
    env: KERNEL_ENVIRONMENT,
    interrupt_mode: 'signal',
  }
  await replaceFile(path, `${JSON.stringify(spec, null, 2)}\n`)
  return path
}

// Parts of a study as a job array of Slurm, which the machines of many universities and companies understand.
import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { UsageError } from './args.js'

/** What a job array is to do. */
export interface JobArray {
  /** Folder that all machines of the cluster see; parts and what they say go there. */
  readonly folder: string
  readonly parts: number
  /** Words of the command line for one part, without --part, --out and --threads. */
  readonly words: readonly string[]
  readonly tell: (text: string) => void
}

const partFile = (folder: string, index: number | string): string => join(folder, `part-${index}.csv`)

/**
 * Has the parts that are not there yet worked out, and waits for them. A part whose machine is lost is begun again by
 * Slurm on another one and goes on from what it had done.
 *
 * @returns the files of all parts, in order
 *
 * Throws UsageError where sbatch is not there or does not take the job, or where parts have failed.
 */
export async function partsBySlurm({ folder, parts, words, tell }: JobArray): Promise<string[]> {
  await mkdir(folder, { recursive: true })
  const missing = (): number[] =>
    Array.from({ length: parts }, (_, k) => k + 1).filter((index) => !existsSync(partFile(folder, index)))
  const open = missing()
  if (open.length > 0) {
    tell(
      open.length < parts
        ? `${parts - open.length} of ${parts} parts were done before and are kept.`
        : `${parts} parts are handed to Slurm; squeue shows how far they are.`,
    )
    const said = await sbatch([
      '--wait',
      '--requeue',
      '--open-mode=append',
      '--job-name=quaybook-study',
      `--array=${open.join(',')}`,
      `--output=${join(folder, 'part-%a.log')}`,
      '--wrap',
      commandOfPart(folder, parts, words),
    ])
    const failed = missing()
    if (failed.length > 0)
      throw new UsageError(
        `${failed.length} of ${parts} parts were not worked out: ${failed.slice(0, 20).join(', ')}. ${said.trim()} What they said is in ${join(folder, `part-${failed[0]}.log`)}. Type the same line again: finished parts are kept`,
      )
  }
  return Array.from({ length: parts }, (_, k) => partFile(folder, k + 1))
}

/** One part, as the shell of a machine of the cluster reads it. */
function commandOfPart(folder: string, parts: number, words: readonly string[]): string {
  const bin = fileURLToPath(new URL('./bin.js', import.meta.url))
  const task = '"$SLURM_ARRAY_TASK_ID"'
  return [
    'exec',
    ...[process.execPath, bin, 'study', ...words].map(shellWord),
    '--threads "$SLURM_CPUS_ON_NODE"',
    `--part ${task}/${parts}`,
    `--out ${shellWord(join(folder, 'part-'))}${task}.csv`,
  ].join(' ')
}

const shellWord = (word: string): string => `'${word.replaceAll("'", "'\\''")}'`

/** What sbatch said once the job was over, whether or not every part went well. */
function sbatch(words: readonly string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn('sbatch', words, { stdio: ['ignore', 'pipe', 'pipe'] })
    let out = ''
    let err = ''
    child.stdout.on('data', (text) => {
      out += text
    })
    child.stderr.on('data', (text) => {
      err += text
    })
    child.once('error', (error: NodeJS.ErrnoException) => {
      reject(
        error.code === 'ENOENT'
          ? new UsageError(
              'no sbatch on this machine: --slurm is typed where jobs are handed in. Without Slurm run the parts yourself with --part i/n',
            )
          : error,
      )
    })
    child.once('close', (code) => {
      // A job that was not taken has no number.
      if (code !== 0 && !/\d/.test(out)) reject(new UsageError(`Slurm did not take the job: ${err.trim()}`))
      else resolve(err)
    })
  })
}

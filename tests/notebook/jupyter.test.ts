import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { parseNotebook } from '../../src/notebook/format.js'
import { KERNEL_METADATA, writeKernelspec } from '../../src/notebook/kernelspec.js'
import { runNotebook } from '../../src/notebook/run.js'
import { needBuild, sample, workFolder } from './sample.js'
import { schemaErrors } from './schema.js'

beforeAll(needBuild)
const folder = workFolder()
afterAll(folder.remove)

describe('the kernel under Jupyter', () => {
  it('is described by a kernelspec with absolute paths and interruption by signal', async () => {
    const path = await writeKernelspec(folder.path)
    expect(path).toBe(join(folder.path, 'kernels/tslab/kernel.json'))
    const spec = JSON.parse(readFileSync(path, 'utf8'))
    expect(spec).toMatchObject({
      display_name: 'TypeScript',
      language: 'typescript',
      interrupt_mode: 'signal',
    })
    expect(spec.argv[1]).toMatch(/^\/.*kernel-main\.cjs$/)
    expect(spec.argv.slice(2)).toEqual(['--config-path', '{connection_file}'])
  })

  it('jupyter nbconvert --execute gives the same outputs as the own runner', async () => {
    const probe = spawnSync('jupyter', ['nbconvert', '--version'])
    if (probe.status !== 0) {
      console.warn(
        'SKIPPED: jupyter nbconvert is not installed (Debian: jupyter-nbconvert, python3-nbclient)',
      )
      return
    }
    await writeKernelspec(folder.path)
    const notebook = {
      ...sample([
        "import { showTable } from 'quaybook/notebook'\nconst a = 1",
        "showTable({ caption: 'Rooms', columns: [{ label: 'Room' }], rows: [['Hall']] })\nconsole.log({ a })",
        'for (let i = 0; i < 3000; i++) console.log(i)',
        { source: "throw new TypeError('expected')", tags: ['raises-exception'] },
      ]),
      metadata: KERNEL_METADATA,
    }
    const input = folder.write('in.ipynb', notebook)
    const jupyter = spawnSync(
      'jupyter',
      ['nbconvert', '--to', 'notebook', '--execute', '--output', 'jupyter.ipynb', input],
      { env: { ...process.env, JUPYTER_PATH: folder.path }, encoding: 'utf8' },
    )
    expect(jupyter.status, jupyter.stderr).toBe(0)
    const text = readFileSync(join(folder.path, 'jupyter.ipynb'), 'utf8')
    expect(schemaErrors(text)).toEqual([])

    const own = await runNotebook({ input, output: join(folder.path, 'own.ipynb') })
    const theirs = parseNotebook(text)
    const outcome = (cells: typeof theirs.cells) =>
      cells.map((cell) => (cell.cell_type === 'code' ? [cell.execution_count, cell.outputs] : []))
    expect(outcome(theirs.cells)).toEqual(outcome(parseNotebook(readFileSync(own.output, 'utf8')).cells))
  })
})

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import { type Output, textOf } from '../../src/notebook/format.js'
import {
  failureText,
  type NotebookRun,
  type Progress,
  runNotebook,
  runNotebooks,
} from '../../src/notebook/run.js'
import { needBuild, type SampleCell, sample, workFolder } from './sample.js'
import { schemaErrors } from './schema.js'

beforeAll(needBuild)
const folder = workFolder()
// Kernels put their folders here, so that this file sees its own and no other's.
const temporary = mkdtempSync(join(tmpdir(), 'run-'))
process.env.TMPDIR = temporary
afterAll(() => {
  folder.remove()
  rmSync(temporary, { recursive: true })
})

const place = (name: string): string => join(folder.path, name)
const outputs = (run: NotebookRun, id: string): readonly Output[] => {
  const cell = run.notebook.cells.find((each) => each.id === id)
  return cell?.cell_type === 'code' ? cell.outputs : []
}
const printed = (run: NotebookRun, id: string): string =>
  outputs(run, id)
    .map((output) => (output.output_type === 'stream' ? textOf(output.text) : ''))
    .join('')

describe('a notebook that uses the package', () => {
  const cells: SampleCell[] = [
    { type: 'markdown', source: '# What it shows' },
    {
      source: "const greeting: string = 'hello'\nlet counts: Record<string, number> = {}",
      tags: ['parameters'],
    },
    { source: "import { showTable, showChart } from 'quaybook/notebook'" },
    {
      source:
        "const volumeM3 = 3\nconst line = { greeting, volumeM3 }\nconsole.log(line, counts['a'] ?? 'none')",
    },
    {
      source:
        "showTable({ caption: 'Rooms', columns: [{ label: 'Room' }, { label: 'Volume', unit: 'm³', align: 'right' }], rows: [['Hall', '3.2']] })",
    },
    {
      source:
        "await showChart({ data: { values: [{ a: 'x', b: 1 }] }, mark: 'bar', encoding: { x: { field: 'a', type: 'nominal' }, y: { field: 'b', type: 'quantitative' } } }, 'One bar & more')",
    },
    {
      source: "import { display } from 'tslab'\ndisplay.html('<b>bold</b>')\nconsole.error('careful')\n1 + 1",
    },
    { source: "console.log('never')", tags: ['skip-execution'] },
    { source: "throw new RangeError('too far')", tags: ['raises-exception'] },
    { source: 'const wrong: number = greeting', tags: ['raises-exception'] },
    {
      source:
        "const { a1 = 1 } = {} as { a1?: number }\nawait new Promise((r) => setTimeout(r, 5))\nconsole.log('end', a1)",
    },
  ]
  let first: NotebookRun
  const seen: Progress[] = []
  beforeAll(async () => {
    first = await runNotebook({
      input: folder.write('whole.ipynb', sample(cells)),
      output: place('whole.out.ipynb'),
      cellTimeoutMs: 20_000,
      onProgress: (progress) => seen.push(progress),
    })
  })

  it('runs to the end, and the file is valid nbformat 4.5', () => {
    expect(failureText(first)).toBe('')
    expect(first.ok).toBe(true)
    expect(schemaErrors(readFileSync(first.output, 'utf8'))).toEqual([])
  })

  it('prints, with shorthand of names from earlier cells', () => {
    expect(printed(first, 'c4')).toBe("{ greeting: 'hello', volumeM3: 3 } none\n")
  })

  it('shows a table and a chart, each as one output for the eye and for plain text', () => {
    const [table] = outputs(first, 'c5')
    const [chart] = outputs(first, 'c6')
    expect(table).toMatchObject({
      output_type: 'display_data',
      data: { 'text/plain': expect.stringContaining('Hall') },
    })
    expect(JSON.stringify(table)).toContain('<th scope=\\"row\\">Hall</th>')
    expect(chart).toMatchObject({ data: { 'text/plain': 'One bar & more' } })
    expect(JSON.stringify(chart)).toContain(
      '<img alt=\\"One bar &#38; more\\" src=\\"data:image/svg+xml;base64,',
    )
  })

  it('keeps display, standard error and the last value apart', () => {
    expect(outputs(first, 'c7')).toEqual([
      { output_type: 'display_data', data: { 'text/html': '<b>bold</b>' }, metadata: {} },
      { output_type: 'stream', name: 'stderr', text: 'careful\n' },
      { output_type: 'stream', name: 'stdout', text: '2\n' },
    ])
  })

  it('honours skip-execution and raises-exception', () => {
    expect(outputs(first, 'c8')).toEqual([])
    expect(outputs(first, 'c9')).toMatchObject([
      { output_type: 'error', ename: 'RangeError', evalue: 'too far' },
    ])
    expect(outputs(first, 'c10')).toMatchObject([
      { ename: 'TypeScriptError', evalue: "1:7 - Type 'string' is not assignable to type 'number'." },
    ])
    expect(printed(first, 'c11')).toBe('end 1\n')
  })

  it('tells which cell is running, by its heading', () => {
    expect(seen.map((progress) => progress.cell)).toEqual([2, 3, 4, 5, 6, 7, 9, 10, 11])
    expect(seen[0]).toEqual({ notebook: 'whole.ipynb', cell: 2, of: 11, name: 'What it shows' })
  })

  it('gives the same bytes again, also when the executed notebook is the input; takes parameters and loses them', async () => {
    const bytes = readFileSync(first.output, 'utf8')
    const input = readFileSync(first.input, 'utf8')
    const output = place('with.ipynb')
    const parameters = { greeting: 'it\'s "new"', counts: { a: 7 } }
    const [again, over, given, wrongType] = await runNotebooks([
      { input: first.input, output: place('again.ipynb') },
      { input: first.output, output: place('over.ipynb') },
      { input: first.input, output, parameters },
      { input: first.input, output: place('wrong-type.ipynb'), parameters: { greeting: 5 } },
    ])
    expect(again?.ok && over?.ok).toBe(true)
    expect(readFileSync(place('again.ipynb'), 'utf8')).toBe(bytes)
    expect(readFileSync(place('over.ipynb'), 'utf8')).toBe(bytes)
    expect(given && printed(given, 'c4')).toBe('{ greeting: `it\'s "new"`, volumeM3: 3 } 7\n')
    expect(schemaErrors(readFileSync(output, 'utf8'))).toEqual([])
    expect(readFileSync(first.input, 'utf8')).toBe(input)
    expect(wrongType?.failure).toMatchObject({
      id: 'injected-parameters',
      error: {
        ename: 'TypeScriptError',
        evalue: expect.stringContaining("'number' is not assignable to type 'string'"),
      },
    })

    const plain = await runNotebook({ input: output, output })
    expect(plain.ok).toBe(true)
    expect(readFileSync(output, 'utf8')).toBe(bytes)
  })

  it('is not run with a parameter it does not declare', async () => {
    const output = place('refused.ipynb')
    const refused = runNotebooks([
      { input: first.input, output },
      { input: first.input, output: place('refused2.ipynb'), parameters: { greting: 'x' } },
    ])
    await expect(refused).rejects.toThrow(/found the parameter "greting".*nearest: greeting/)
    expect(existsSync(output)).toBe(false)
  })
})

/** Long enough for what comes before an endless loop on a machine that has much else to do. */
const LIMIT_MS = 4_000

describe('a notebook with a failing cell', () => {
  const before = "console.log('before'); await new Promise((r) => setTimeout(r, 50));"
  const failing: readonly [string, string, string, RegExp][] = [
    [
      'an endless loop',
      "console.log('before'); while (true) {}",
      'timeout',
      /CellTimeout: not done after 4000 ms/,
    ],
    ['a promise that never settles', `${before} await new Promise(() => {})`, 'timeout', /CellTimeout/],
    ['an endless loop that no interrupt reaches', `${before} while (true) {}`, 'timeout', /CellTimeout/],
    [
      'a cell that ends the process',
      `${before} process.exit(3)`,
      'died',
      /KernelDied: the kernel ended by itself with code 3/,
    ],
    [
      'a cell that crashes the process',
      `${before} process.kill(process.pid, 'SIGSEGV')`,
      'died',
      /KernelDied: the kernel ended by signal SIGSEGV/,
    ],
  ]
  const thrower = [
    { type: 'markdown', source: '# A' } as const,
    "console.log('kept', process.cwd())",
    "\n// the reason\nfunction deep() { throw new TypeError('no such crate') }\ndeep()",
    "console.log('not reached')",
  ]
  let failed: NotebookRun[]
  beforeAll(async () => {
    const notebooks = [
      sample(thrower),
      ...failing.map(([, source]) => sample(["console.log('first')", source])),
    ]
    failed = await runNotebooks(
      notebooks.map((notebook, at) => ({
        input: folder.write(`failing-${at}.ipynb`, notebook),
        output: place(`failing-${at}.out.ipynb`),
        ...(at === 0 ? { kernelDir: temporary } : {}),
        // What ends by itself is waited for, whatever it takes: how fast a process crashes is the system's affair.
        ...(failing[at - 1]?.[2] === 'timeout' ? { cellTimeoutMs: LIMIT_MS } : {}),
      })),
    )
  })
  const run = (at: number): NotebookRun => failed[at] as NotebookRun

  it('stops there, says where and what, and keeps what was executed', () => {
    expect(run(0).ok).toBe(false)
    expect(run(0).failure).toMatchObject({ kind: 'error', cell: 3, id: 'c3', firstLine: '// the reason' })
    expect(failureText(run(0))).toContain(
      `failing-0.ipynb: cell 3 (id c3) failed.\n  first line: // the reason\n  TypeError: no such crate\n    at deep `,
    )
    expect(schemaErrors(readFileSync(run(0).output, 'utf8'))).toEqual([])
    expect(printed(run(0), 'c2')).toBe(`kept ${temporary}\n`)
    expect(printed(run(0), 'c4')).toBe('')
    expect(JSON.stringify(run(0).notebook)).not.toContain(folder.path)
    expect(readFileSync(run(0).input, 'utf8')).not.toContain('"output_type"')
  })

  test.each(failing.map((each, at) => [...each, at] as const))(
    'reports %s and keeps the output before it',
    (_name, _source, kind, message, at) => {
      const stopped = run(at + 1)
      expect(stopped.failure?.kind).toBe(kind)
      expect(failureText(stopped)).toMatch(message)
      expect(printed(stopped, 'c1')).toBe('first\n')
      expect(printed(stopped, 'c2')).toBe('before\n')
      expect(outputs(stopped, 'c2').at(-1)?.output_type).toBe('error')
      expect(schemaErrors(readFileSync(stopped.output, 'utf8'))).toEqual([])
    },
  )
})

it('a notebook finds no name and no count of one that ran before it, in the same kernel or another', async () => {
  const cells = [
    "const mine: string = 'text'\nconsole.log(process.pid)",
    'console.log(mine)',
    { source: 'theirs', tags: ['raises-exception'] },
  ]
  const others = ["const theirs = 'left'\nconst mine = 1\nconsole.log(process.pid)"]
  const runs = await runNotebooks(
    [others, others, cells, cells].map((given, i) => ({
      input: folder.write(`one-${i}.ipynb`, sample(given)),
      output: place(`one-${i}.out.ipynb`),
    })),
  )
  expect(runs.map(failureText)).toEqual(['', '', '', ''])
  for (const run of runs.slice(2)) {
    expect(printed(run, 'c2')).toBe('text\n')
    expect(outputs(run, 'c3')).toMatchObject([{ evalue: "1:1 - Cannot find name 'theirs'." }])
    expect(run.notebook.cells.map((cell) => cell.cell_type === 'code' && cell.execution_count)).toEqual([
      1, 2, 3,
    ])
  }
})

it('no kernel folder is left', () => {
  expect(readdirSync(temporary)).toEqual([])
})

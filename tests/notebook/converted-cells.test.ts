import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { repository } from './sample.js'

// The compiled module, because a kernel is CommonJS; what it keeps is compared with what tslab's own converter says.
const load = createRequire(join(repository, 'dist/notebook/converted-cells.cjs'))
const { keeping, folderFor } = load('./converted-cells.cjs')
const fromTslab = createRequire(load.resolve('tslab/package.json'))
const typescript = fromTslab('@tslab/typescript-for-tslab')
const { createConverter } = fromTslab('./dist/converter.js')

const folder = mkdtempSync(join(tmpdir(), 'quaybook-cells-'))
const compiler = createConverter({ isJS: false, isBrowser: false })
let asked = 0
/** A new kernel's converter over the same folder; `asked` counts the cells that its compiler is given. */
const kernel = () =>
  keeping(
    () => ({
      ...compiler,
      convert: (declared: string, code: string) => {
        asked += 1
        return compiler.convert(declared, code)
      },
      close: () => {},
    }),
    folder,
    typescript,
  )
afterAll(() => {
  compiler.close()
  rmSync(folder, { recursive: true, force: true })
})

const cells = [
  `let household: string = 'a-home'\nlet set: string[] = []\nlet work: number = 5`,
  `// values of this run\nlet household: string = "/home/\\"x\\"/$&"\nlet set: string[] = ["cost.origin.wage=9", "b"]\nlet work: number = 7.5`,
  `const doubled = work * 2\nconst named = set.map((text) => ({ text, household }))\ndoubled`,
  `await Promise.resolve(named.length)`,
  '',
]

/** What each cell of a notebook becomes, one after the other. */
function notebook(converter: { convert: typeof compiler.convert }, codes: readonly string[]) {
  let declared = ''
  return codes.map((code) => {
    const converted = converter.convert(declared, code)
    declared = converted.declOutput ?? ''
    return JSON.parse(JSON.stringify(converted))
  })
}

test('cells are the same from the compiler, at their first and at their second run; then the compiler is not asked', () => {
  const expected = notebook(compiler, cells)
  asked = 0
  expect(notebook(kernel(), cells)).toEqual(expected)
  expect(asked).toBe(cells.length)
  asked = 0
  expect(notebook(kernel(), cells)).toEqual(expected)
  expect(asked).toBe(0)
})

test('other values of parameters need no compiler, of another type they do and are refused in its words', () => {
  const codes = (values: string): string[] => [cells[0] ?? '', values, ...cells.slice(2)]
  const other = codes(
    `// values of this run\nlet household: string = "Zuhause"\nlet set: string[] = []\nlet work: number = -3`,
  )
  asked = 0
  expect(notebook(kernel(), other)).toEqual(notebook(compiler, other))
  expect(asked).toBe(0)
  const wrong = codes(`let household: string = "x"\nlet set: string[] = [1]\nlet work: number = 3`)
  const refused = notebook(kernel(), wrong.slice(0, 2))
  expect(refused).toEqual(notebook(compiler, wrong.slice(0, 2)))
  expect(refused[1].diagnostics[0].messageText).toContain("Type 'number' is not assignable to type 'string'")
})

test('a cell with a fault, with the cell above changed, or that imports a file is asked anew each time', () => {
  for (const codes of [
    ['const a: number = "one"'],
    ['let b = 1', 'b.toUpperCase()'],
    [`import { something } from './not-there'`],
  ]) {
    for (const _ of [1, 2]) {
      asked = 0
      const found = notebook(kernel(), codes)
      expect(found).toEqual(notebook(compiler, codes))
      expect(found.at(-1).diagnostics.length).toBeGreaterThan(0)
      expect(asked).toBeGreaterThan(0)
    }
  }
  expect(notebook(kernel(), ['let b = "one"', 'b.toUpperCase()'])).toEqual(
    notebook(compiler, ['let b = "one"', 'b.toUpperCase()']),
  )
})

test('a cell that is only looked at while it is typed is not kept', () => {
  const code = 'const halfTyped = 12'
  const expected = JSON.parse(JSON.stringify(compiler.convert('', code)))
  expect(JSON.parse(JSON.stringify(kernel().convert('', code, true)))).toEqual(expected)
  asked = 0
  expect(JSON.parse(JSON.stringify(kernel().convert('', code)))).toEqual(expected)
  expect(asked).toBe(1)
})

test('a torn file counts as none, and is put right', () => {
  const code = ['const torn = 1']
  notebook(kernel(), code)
  for (const name of readdirSync(folder)) {
    const file = join(folder, name)
    if (readFileSync(file, 'utf8').includes('torn')) writeFileSync(file, '{"output": "const to')
  }
  asked = 0
  expect(notebook(kernel(), code)).toEqual(notebook(compiler, code))
  notebook(kernel(), code)
  expect(asked).toBe(1)
})

test('before a notebook the compiler is started where a cell needs it, and not where all are known', () => {
  let made = 0
  const ready = (codes: readonly string[]): number => {
    made = 0
    const converter = keeping(
      () => {
        made += 1
        return { ...compiler, close: () => {} }
      },
      folder,
      typescript,
    )
    converter.readyFor(codes)
    return made
  }
  expect(ready(cells)).toBe(0)
  expect(ready([...cells, 'const more = 1'])).toBe(1)
  // The same cell after others than it ran after.
  expect(ready([...cells.slice(3), ...cells.slice(2)])).toBe(1)
  expect(ready([`import { readFileSync } from 'node:fs'`])).toBe(1)
})

test('closing a kernel that needed no compiler makes none', () => {
  const unused = keeping(
    () => {
      throw new Error('made')
    },
    folder,
    typescript,
  )
  expect(notebook(unused, cells)).toHaveLength(cells.length)
  unused.close()
})

test('the folder hangs on the versions and is there for this package alone', () => {
  const here = folderFor(join(repository, 'notebooks'), ['1', '2'])
  expect(here).toMatch(/dist.converted-cells.[0-9a-f]{64}$/)
  expect(folderFor(join(repository, 'notebooks'), ['1', '3'])).not.toBe(here)
  expect(folderFor(tmpdir(), ['1', '2'])).toBeUndefined()
})

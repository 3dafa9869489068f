import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import {
  type Notebook,
  notebookText,
  parseNotebook,
  readNotebook,
  writeNotebook,
} from '../../src/notebook/format.js'
import { sample } from './sample.js'
import { schemaErrors } from './schema.js'

const everything: Notebook = {
  ...sample([
    { type: 'markdown', source: '# Title\n\ntext' },
    { type: 'raw', source: '' },
    { source: 'const a = 1\n', tags: ['parameters'] },
  ]),
  metadata: {
    language_info: { name: 'typescript' },
    kernelspec: { name: 'tslab', display_name: 'TypeScript', language: 'typescript' },
  },
}
const withOutputs: Notebook = {
  ...everything,
  cells: [
    ...everything.cells,
    {
      cell_type: 'code',
      id: 'outputs',
      metadata: { execution: { 'iopub.status.busy': '2026-01-01T00:00:00Z' }, tags: ['a'] },
      source: ['1\n', '2'],
      execution_count: 4,
      outputs: [
        { output_type: 'stream', name: 'stdout', text: 'é – 木\nb\n' },
        {
          output_type: 'display_data',
          data: { 'text/plain': 'x\ny', 'application/json': { b: [1, 'two'], a: null } },
          metadata: {},
        },
        { output_type: 'execute_result', execution_count: 4, data: { 'text/plain': '1' }, metadata: {} },
        { output_type: 'error', ename: 'E', evalue: 'v', traceback: ['E: v'] },
      ],
    },
  ],
}

describe('written notebooks', () => {
  test.each([
    ['text, raw and code cells', everything],
    ['every kind of output', withOutputs],
    ['no cells', sample([])],
  ])('%s are valid by the official nbformat 4.5 JSON schema', (_, notebook) => {
    expect(schemaErrors(notebookText(notebook))).toEqual([])
  })

  test.each([
    ['a cell without id', '"id"', '"no_id"'],
    ['an unknown cell type', '"markdown"', '"prose"'],
    ['an unknown stream field', '"output_type": "stream"', '"output_type": "stream", "extra": 1'],
  ])('the schema refuses %s, so it does check', (_, from, to) => {
    expect(schemaErrors(notebookText(withOutputs).replace(from, to))).not.toEqual([])
  })

  it('have sorted keys, one space of indent, lines of source and a final newline', () => {
    expect(notebookText(sample(['const a = 1\na']))).toBe(`{
 "cells": [
  {
   "cell_type": "code",
   "execution_count": null,
   "id": "c1",
   "metadata": {},
   "outputs": [],
   "source": [
    "const a = 1\\n",
    "a"
   ]
  }
 ],
 "metadata": {},
 "nbformat": 4,
 "nbformat_minor": 5
}
`)
  })

  it('carry no times of execution', () => {
    expect(notebookText(withOutputs)).not.toContain('2026')
  })

  it('are read back to the same bytes', () => {
    const text = notebookText(withOutputs)
    expect(notebookText(parseNotebook(text))).toBe(text)
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary' })), (sources) => {
        const written = notebookText(sample(sources))
        expect(notebookText(parseNotebook(written))).toBe(written)
      }),
      { seed: 1, numRuns: 50 },
    )
  })

  it("have the bytes of Jupyter's own writer (Python package nbformat)", () => {
    const script =
      'import sys,io,nbformat\n' +
      'text=io.TextIOWrapper(sys.stdin.buffer,encoding="utf-8").read()\n' +
      'nb=nbformat.reads(text,4); nbformat.validate(nb)\n' +
      'sys.stdout.buffer.write((nbformat.writes(nb)+"\\n").encode())'
    const python3 = ['/usr/bin/python3', 'python3'].find(
      (program) => spawnSync(program, ['-c', 'import nbformat']).status === 0,
    )
    if (python3 === undefined) {
      console.warn('SKIPPED: python3 with the package nbformat is not installed (Debian: python3-nbformat)')
      return
    }
    const text = notebookText(withOutputs)
    const python = spawnSync(python3, ['-c', script], { input: text, encoding: 'utf8' })
    expect(python.stderr).toBe('')
    expect(python.stdout).toBe(text)
  })

  it('replace the file as a whole and leave nothing beside it', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'quaybook-test-'))
    const path = join(folder, 'deep', 'a.ipynb')
    await writeNotebook(path, everything)
    await writeNotebook(path, withOutputs)
    expect(readdirSync(join(folder, 'deep'))).toEqual(['a.ipynb'])
    expect(readFileSync(path, 'utf8')).toBe(notebookText(withOutputs))
    rmSync(folder, { recursive: true })
  })
})

describe('reading', () => {
  it('gives cells of files before 4.5 ids that stay the same', () => {
    const old = JSON.stringify({
      nbformat: 4,
      nbformat_minor: 2,
      metadata: {},
      cells: [
        { cell_type: 'code', source: 'a', metadata: {}, outputs: [], execution_count: null },
        { cell_type: 'markdown', source: 'a', metadata: {} },
      ],
    })
    const ids = parseNotebook(old).cells.map((cell) => cell.id)
    expect(new Set(ids).size).toBe(2)
    expect(parseNotebook(old).cells.map((cell) => cell.id)).toEqual(ids)
    expect(schemaErrors(notebookText(parseNotebook(old)))).toEqual([])
  })

  test.each([
    ['{', /x\.ipynb: found text that is not JSON/],
    ['[]', /x\.ipynb: found no JSON object, expected a notebook of nbformat 4/],
    ['{"nbformat":3,"worksheets":[]}', /found nbformat 3, expected a notebook of nbformat 4/],
    ['{"nbformat":4,"cells":[{"cell_type":"code"}]}', /x\.ipynb, cell 1: found no text under "source"/],
    ['{"nbformat":4,"cells":[{"cell_type":"heading","source":""}]}', /cell 1: found cell_type "heading"/],
    [
      '{"nbformat":4,"cells":[{"cell_type":"raw","source":"","id":"a b"}]}',
      /found the id "a b", expected 1 to 64/,
    ],
    [
      '{"nbformat":4,"cells":[{"cell_type":"raw","source":"","metadata":{"tags":"parameters"}}]}',
      /found tags "parameters", expected a list of words/,
    ],
    [
      '{"nbformat":4,"cells":[{"cell_type":"raw","source":"","id":"a"},{"cell_type":"raw","source":"","id":"a"}]}',
      /cell 2: found the id "a" of cell 1/,
    ],
    [
      '{"nbformat":4,"cells":[{"cell_type":"code","source":"","outputs":[{"output_type":"pyout"}]}]}',
      /found an output of type "pyout"/,
    ],
  ])('refuses %s', (text, message) => {
    expect(() => parseNotebook(text, 'x.ipynb')).toThrow(message)
  })

  it('names a file that is not there', async () => {
    await expect(readNotebook('no/such.ipynb')).rejects.toThrow(/no\/such\.ipynb: could not be read/)
  })
})

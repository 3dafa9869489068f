import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it, test } from 'vitest'
import { pageHtml } from '../../src/paper/page.js'
import { pdfPages } from '../../src/paper/pdf-pages.js'
import { chromiumPath, withPrinter } from '../../src/paper/print.js'

it('finds no browser on an empty search path, and the one that is named', () => {
  expect(chromiumPath({ PATH: '/nowhere', CHROMIUM: '/nowhere/chromium' })).toBeUndefined()
  expect(chromiumPath({ PATH: '/nowhere', CHROMIUM: process.execPath })).toBe(process.execPath)
})

it('knows no pages of a file that is no PDF', () => {
  expect(pdfPages(new TextEncoder().encode('hello')).count).toBe(0)
})

const chromium = chromiumPath()
const poppler = existsSync('/usr/bin/pdfinfo')
if (!chromium || !poppler) console.warn('SKIPPED: no Chromium or no pdfinfo; nothing was printed')

test.skipIf(!chromium || !poppler)(
  'prints a tagged PDF with bookmarks, and its pages are those that poppler finds',
  async () => {
    const sections = ['one', 'two', 'three'].map(
      (id) => `<section id="annex-${id}"><h2>${id}</h2><p>text</p></section>`,
    )
    const links = ['one', 'two', 'three'].map((id) => `<a href="#annex-${id}">${id}</a>`)
    const html = pageHtml({
      lang: 'en',
      title: 'Print',
      css: '@page { size: A4 } section { break-before: page }',
      body: `<h1>Print</h1>${links.join(' ')}${sections.join('')}`,
    })
    const pdf = await withPrinter(chromium ?? '', (print) => print(html))
    const folder = await mkdtemp(join(tmpdir(), 'print-'))
    try {
      const file = join(folder, 'a.pdf')
      await writeFile(file, pdf)
      const info = execFileSync('pdfinfo', [file]).toString()
      expect(info).toMatch(/Tagged:\s+yes/)
      expect(info).toMatch(/Page size:.*A4/)
      const { count, of } = pdfPages(pdf)
      expect(info).toMatch(new RegExp(`Pages:\\s+${count}\\b`))
      const found = new Map(
        [
          ...execFileSync('pdfinfo', ['-dests', file])
            .toString()
            .matchAll(/^\s*(\d+)\s.*"(.*)"$/gm),
        ].map(([, page, name]) => [name, Number(page)]),
      )
      expect(of.size).toBe(3)
      for (const [name, page] of of) expect(found.get(name)).toBe(page)
      expect([...of.values()]).toEqual([2, 3, 4])
      expect(Buffer.from(pdf).includes('/Outlines')).toBe(true)
    } finally {
      await rm(folder, { recursive: true })
    }
  },
  60_000,
)

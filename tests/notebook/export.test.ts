import { createHash } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { chromium } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { notebookToHtml } from '../../src/notebook/export.js'
import type { Notebook, Output } from '../../src/notebook/format.js'
import { chartBundle, tableHtml } from '../../src/notebook/show.js'
import { sample } from './sample.js'

const table = tableHtml({
  caption: 'Rooms',
  columns: [{ label: 'Room' }, { label: 'Volume', unit: 'm³', align: 'right' }],
  rows: [['Hall', '3.2']],
})

function withOutputs(outputs: readonly Output[], tags: readonly string[] = []): Notebook {
  const [title, code] = sample([
    { type: 'markdown', source: '# A <b>move</b>\n\ntext [bad](javascript:alert(1))' },
    { source: 'if (1 < 2) run()', tags },
  ]).cells
  if (!title || code?.cell_type !== 'code') throw new Error('expected a title and a code cell')
  return { ...sample([]), cells: [title, { ...code, execution_count: 3, outputs }] }
}
const html = (data: Record<string, unknown>): Output => ({ output_type: 'display_data', data, metadata: {} })

describe('an exported page', () => {
  it('folds code away, keeps outputs, and escapes what is text', () => {
    const page = notebookToHtml(
      withOutputs([
        { output_type: 'stream', name: 'stdout', text: ['a < b\n', 'c'] },
        { output_type: 'error', ename: 'TypeError', evalue: '<x>', traceback: [] },
        html({ 'text/html': [table], 'text/plain': 'Rooms' }),
        html({ 'image/png': 'AAAA\n', 'text/plain': 'a "picture"' }),
        html({ 'image/svg+xml': '<svg onload="x()"/>', 'text/plain': 'drawn' }),
        html({ 'text/markdown': '*soft* <i>' }),
        html({ 'application/json': { a: 1 }, 'text/plain': '{ a: 1 }' }),
      ]),
    )
    expect(page).toContain('<title>A &#60;b&#62;move&#60;/b&#62;</title>')
    expect(page).toContain('<h1>A &lt;b&gt;move&lt;/b&gt;</h1>')
    expect(page).not.toContain('href="javascript:')
    expect(page).toContain(
      '<details><summary>Code 3</summary><pre tabindex="0"><code>if (1 &#60; 2) run()</code></pre></details>',
    )
    expect(page).toContain('>a &#60; b\nc</pre>')
    expect(page).toContain('>TypeError: &#60;x&#62;</pre>')
    expect(page).toContain(table.replaceAll(' style="text-align:right"', ' class="n"'))
    expect(page).not.toContain('unsafe')
    expect(page).toContain('<img alt="a &#34;picture&#34;" src="data:image/png;base64,AAAA">')
    expect(page).toContain('<img alt="drawn" src="data:image/svg+xml;base64,')
    expect(page).not.toContain('onload')
    expect(page).toContain('<em>soft</em> &lt;i&gt;')
    expect(page).toContain('@media print')
  })

  it('honours the tags for leaving things out', () => {
    const outputs: Output[] = [{ output_type: 'stream', name: 'stdout', text: 'printed' }]
    const page = (tag: string): string => notebookToHtml(withOutputs(outputs, [tag]))
    expect(page('remove_input')).not.toContain('<details>')
    expect(page('remove_input')).toContain('printed')
    expect(page('remove_output')).not.toContain('printed')
    expect(page('remove_cell')).not.toContain('id="c2"')
  })

  it('drops scripts unless asked to keep them, and then allows each by its hash alone', () => {
    const notebook = withOutputs([
      html({ 'text/html': '<p>a</p><script>one()</script>' }),
      html({ 'text/html': '<script type="module">one()</script >' }),
    ])
    expect(notebookToHtml(notebook)).not.toContain('one()')
    expect(notebookToHtml(notebook)).toContain("script-src 'none'")
    const kept = notebookToHtml(notebook, { scripts: 'hash' })
    const sha = createHash('sha256').update('one()').digest('base64')
    expect(kept.match(/one\(\)/g)).toHaveLength(1)
    expect(kept).toContain(`script-src 'sha256-${sha}'`)
  })

  it('shows as meant in a browser: no blocked style, aligned figures, no accessibility finding, folded on paper', async () => {
    const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
      existsSync,
    )
    if (executablePath === undefined) {
      console.warn('SKIPPED: no Chromium found (Debian: chromium)')
      return
    }
    const spec = {
      data: { values: [{ a: 'x', b: 1 }] },
      mark: 'bar',
      encoding: { x: { field: 'a', type: 'nominal' }, y: { field: 'b', type: 'quantitative' } },
    }
    const bundle = await chartBundle(spec, 'One bar')
    const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] })
    try {
      const page = await browser.newPage({ bypassCSP: false })
      const complaints: string[] = []
      page.on('console', (message) => complaints.push(message.text()))
      page.on('request', (made) => {
        if (!/^(about|data):/.test(made.url())) complaints.push(made.url())
      })
      await page.setContent(
        notebookToHtml(
          withOutputs([
            html({ 'text/html': table }),
            html(bundle),
            html({ 'text/html': '<script>document.title="ran"</script>' }),
          ]),
        ),
      )
      expect(await page.locator('td').evaluate((cell) => getComputedStyle(cell).textAlign)).toBe('right')
      expect(await page.locator('body').evaluate((body) => getComputedStyle(body).maxWidth)).not.toBe('none')
      expect(
        await page.locator('img').evaluate((image) => (image as HTMLImageElement).naturalWidth),
      ).toBeGreaterThan(0)
      expect(await page.title()).toBe('A <b>move</b>')
      expect(complaints).toEqual([])
      await page.emulateMedia({ media: 'print' })
      expect(await page.locator('details').isVisible()).toBe(false)
      await page.emulateMedia({ media: 'screen' })
      // Run by the debugger, not by a script element, because the page's policy allows none.
      const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
      await page.evaluate(axe)
      const findings = await page.evaluate(
        'axe.run().then((result) => result.violations.map((each) => each.id))',
      )
      expect(findings).toEqual([])
    } finally {
      await browser.close()
    }
  })
})

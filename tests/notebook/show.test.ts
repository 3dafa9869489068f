import { spawnSync } from 'node:child_process'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { chartSvg } from '../../src/charts/render.js'
import { chartBundle, type Table, tableHtml, tableText } from '../../src/notebook/show.js'
import { needBuild, repository } from './sample.js'

const rooms: Table = {
  caption: 'Rooms & <halls>',
  columns: [{ label: 'Room' }, { label: 'Volume', unit: 'm³', align: 'right' }],
  rows: [
    ['Kitchen "K"', '12.5'],
    ["<script>alert('x')</script>", '3.25'],
  ],
  note: 'Net volume > 0',
}

describe('a table', () => {
  it('is accessible HTML: caption, headers with scope, figures to the right', () => {
    expect(tableHtml(rooms)).toBe(
      [
        '<table>',
        '<caption>Rooms &#38; &#60;halls&#62;</caption>',
        '<thead><tr><th scope="col">Room</th><th scope="col" style="text-align:right">Volume (m³)</th></tr></thead>',
        '<tbody>',
        '<tr><th scope="row">Kitchen &#34;K&#34;</th><td style="text-align:right">12.5</td></tr>',
        '<tr><th scope="row">&#60;script&#62;alert(&#39;x&#39;)&#60;/script&#62;</th><td style="text-align:right">3.25</td></tr>',
        '</tbody>',
        '</table>',
        '<p><small>Net volume &#62; 0</small></p>',
      ].join('\n'),
    )
  })

  it('holds any text whatever as text', () => {
    const markup = tableHtml({ ...rooms, rows: [['', '']] }).match(/[<>"']/g)?.length
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.string(), (name, figure) => {
        const html = tableHtml({ ...rooms, rows: [[name, figure]] })
        expect(html.match(/[<>"']/g)).toHaveLength(markup ?? 0)
        const shown = html.replace(/&#(\d+);/g, (_, code) => String.fromCharCode(Number(code)))
        expect(shown).toContain(`<th scope="row">${name}</th><td style="text-align:right">${figure}</td>`)
      }),
      { seed: 1 },
    )
  })

  it('is also lines of text in columns', () => {
    expect(
      tableText({
        ...rooms,
        rows: [
          ['Hall', '12.5'],
          ['Möbel\nlager 木', '3.25'],
        ],
      }),
    ).toBe(
      [
        'Rooms & <halls>',
        'Room           Volume (m³)',
        '-------------  -----------',
        'Hall                  12.5',
        'Möbel lager 木         3.25',
        'Net volume > 0',
      ].join('\n'),
    )
  })

  it('must have one cell for each column in every row', () => {
    expect(() => tableHtml({ ...rooms, rows: [['a', '1'], ['b']] })).toThrow(
      /row 2: found 1 cells, expected 2/,
    )
  })

  it('goes to standard output where no kernel runs', () => {
    needBuild()
    const script = `import { showTable } from 'quaybook/notebook'
      showTable({ caption: 'Rooms', columns: [{ label: 'Room' }], rows: [['Hall']] })`
    const node = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
      cwd: repository,
      encoding: 'utf8',
    })
    expect(node.stdout).toBe('Rooms\nRoom\n----\nHall\n')
  })
})

const bars = {
  data: {
    values: [
      { room: 'Hall', m3: 3 },
      { room: '</text><script>', m3: 1 },
    ],
  },
  mark: { type: 'bar', clip: true },
  encoding: { x: { field: 'room', type: 'nominal' }, y: { field: 'm3', type: 'quantitative' } },
}

describe('a chart', () => {
  it('is the same SVG every time, whatever was drawn before', async () => {
    const first = await chartSvg(bars)
    await chartSvg({ ...bars, width: 300 })
    expect(await chartSvg(bars)).toBe(first)
    expect(await Promise.all([chartSvg(bars), chartSvg(bars)])).toEqual([first, first])
    expect(first).toMatch(/^<svg [\s\S]*<\/svg>$/)
    expect(first).not.toContain('<script')
  })

  it('is an image with alternative text, in HTML and in the SVG itself', async () => {
    const bundle = await chartBundle(bars, 'Hall 3 m³, "other" <1> m³')
    const html = String(bundle['text/html'])
    expect(bundle['text/plain']).toBe('Hall 3 m³, "other" <1> m³')
    expect(html).toContain(
      '<figure><img alt="Hall 3 m³, &#34;other&#34; &#60;1&#62; m³" src="data:image/svg+xml;base64,',
    )
    const svg = Buffer.from(html.match(/base64,([^"]+)/)?.[1] ?? '', 'base64').toString()
    expect(svg).toMatch(/^<svg role="img" aria-label="Hall 3 m³, &#34;other&#34; &#60;1&#62; m³" /)
  })

  test.each<[string, object, RegExp]>([
    ['an unknown mark', { ...bars, mark: 'sausage' }, /cannot read .*check mark and encoding/],
    [
      'a field without values',
      { ...bars, encoding: { y: { field: 'nothing', type: 'quantitative' } } },
      /nothing/,
    ],
    ['data from a file', { ...bars, data: { url: '/etc/passwd' } }, /charts load nothing/],
    ['data from the network', { ...bars, data: { url: 'https://example.com/a.csv' } }, /charts load nothing/],
    [
      'an image from elsewhere',
      { ...bars, mark: { type: 'image', url: 'https://example.com/a.png', width: 5, height: 5 } },
      /charts load nothing/,
    ],
  ])('is refused for %s', async (_, spec, message) => {
    await expect(chartSvg(spec)).rejects.toThrow(message)
  })

  it('needs a sentence for those who do not see it', async () => {
    await expect(chartBundle(bars, ' ')).rejects.toThrow(/no alternative text/)
  })
})

import { expect, it } from 'vitest'
import { type PaperData, paperHtml } from '../../src/brief/index.js'
import { wordsIn } from '../../src/paper/words-file.js'
import { exact } from '../../src/quantity/exact.js'

const figure = {
  kind: 'figure' as const,
  value: exact.of('1234.5'),
  unit: 'EUR',
  decimals: 2,
  scenario: 'One & only',
  cells: ['cost.total'],
}

/** One of each block, small enough that the golden file is read when it changes. */
const data: PaperData = {
  household: 'Two rooms <and> a cat',
  from: 'Ålesund, NO',
  to: 'Nelson, NZ',
  kind: 'Moving brief',
  stated: 'Prices and rules as of 25 November 2026.',
  recommended: 'One & only',
  sections: [
    {
      id: 'all',
      title: 'One of each',
      blocks: [
        { kind: 'paragraph', lead: true, text: ['Expect to pay ', figure, '.'] },
        { kind: 'facts', facts: [{ label: 'Total', text: [figure] }] },
        { kind: 'list', items: [['Stairs: mind your back.']] },
        {
          kind: 'table',
          caption: 'Lines',
          columns: [{ label: 'Line' }, { label: 'One & only', numeric: true }],
          rows: [
            { kind: 'group', cells: [{ text: ['Origin'] }, { text: [''] }] },
            {
              cells: [
                { text: ['Loading'], trace: 'cost.origin.loading' },
                { text: [figure], small: 'mover' },
              ],
            },
            {
              kind: 'total',
              cells: [
                { text: ['Difference'] },
                { text: [{ ...figure, value: exact.of('-0.5'), against: 'Other' }] },
              ],
            },
          ],
        },
        { kind: 'chart', id: 'c', caption: 'A picture', chart: { spec: {}, alt: 'One bar of 3 "m³".' } },
        {
          kind: 'warnings',
          warnings: [
            { severity: 'stop', text: 'Too wide.', scenarios: ['One & only'], cells: ['options.22G1.fits'] },
          ],
        },
      ],
    },
  ],
}
const words = await wordsIn()
const copy = 'analyst'
const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><text>100 %</text></svg>'

it('writes each kind of block as the golden file has it', async () => {
  const html = paperHtml(data, { css: 'p { margin: 0 }\n', pictures: new Map([['c', svg]]), words, copy })
  await expect(html).toMatchFileSnapshot('golden/blocks.html')
})

it('keeps a style sheet inside its element', () => {
  const html = paperHtml(data, { css: '</style><script>', pictures: new Map([['c', svg]]), words, copy })
  expect(html).not.toContain('</style><script>')
})

it('refuses to write a chart that nobody drew', () => {
  expect(() => paperHtml(data, { css: '', pictures: new Map(), words, copy })).toThrow(
    'no picture for the chart "c"',
  )
})

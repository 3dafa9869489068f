import type { Block, PaperData } from '../paper/blocks.js'
import { plainText as plain } from '../paper/figure-text.js'
import { escapeHtml } from '../tables/as-data.js'
import { show, showChart, showTable } from './show.js'

/** Which blocks of a section a cell wants to see. */
export type BlockKind = Block['kind']

/**
 * Shows a section of the brief in a cell: its paragraphs, tables and charts, in order.
 *
 * @param section id of the section, as `brief.sections` lists them
 * @param kinds only blocks of these kinds; all otherwise
 *
 * Throws one sentence for a section that the brief does not have.
 */
export async function showSection(
  brief: PaperData,
  section: string,
  ...kinds: readonly BlockKind[]
): Promise<void> {
  const found = brief.sections.find(({ id }) => id === section)
  if (!found)
    throw new Error(`no section "${section}"; there are: ${brief.sections.map(({ id }) => id).join(', ')}`)
  for (const block of found.blocks) {
    if (kinds.length === 0 || kinds.includes(block.kind)) await showBlock(block)
  }
}

async function showBlock(block: Block): Promise<void> {
  switch (block.kind) {
    case 'paragraph':
      return showText([plain(block.text)])
    case 'list':
      return showText(block.items.map((item) => plain(item)))
    case 'facts':
      return showTable({
        caption: 'At a glance',
        columns: [{ label: 'What' }, { label: 'Figure', align: 'right' }],
        rows: block.facts.map(({ label, text }) => [label, plain(text)]),
      })
    case 'table':
      return showTable({
        caption: block.caption,
        columns: block.columns.map(({ label, numeric }) => ({ label, align: numeric ? 'right' : 'left' })),
        rows: block.rows.map(({ cells }) => block.columns.map((_, i) => plain(cells[i]?.text ?? []))),
      })
    case 'chart':
      return showChart(block.chart.spec, block.chart.alt)
    case 'warnings':
      return showTable({
        caption: 'Warnings',
        columns: [{ label: 'Weight' }, { label: 'What to know' }],
        rows: block.warnings.map(({ severity, text }) => [severity, text]),
      })
  }
}

function showText(lines: readonly string[]): void {
  show({
    'text/html': lines.map((line) => `<p>${escapeHtml(line)}</p>`).join(''),
    'text/plain': lines.join('\n'),
  })
}

// What the cells of a notebook call to show tables and charts.

import { createRequire } from 'node:module'
import { chartSvg } from '../charts/render.js'
import { escapeHtml } from '../tables/as-data.js'
import type { MimeBundle } from './format.js'

type WriteDisplay = (
  display: { data: MimeBundle; metadata: MimeBundle; transient: MimeBundle },
  update: boolean,
) => void

/**
 * The running kernel's way to send an output. tslab's public display sends one mime type at a time, so this
 * takes the function behind it. Found among the modules already loaded, so that it is the kernel's own copy
 * whatever folder that came from, and that nothing is loaded where no kernel runs.
 */
function kernelDisplay(): WriteDisplay | undefined {
  for (const [file, loaded] of Object.entries(createRequire(import.meta.url).cache)) {
    if (!/[\\/]tslab[\\/]dist[\\/]jupyter\.js$/.test(file)) continue
    const write: unknown = loaded?.exports?.lastWriteDisplayData
    if (typeof write === 'function') return write as WriteDisplay
  }
  return undefined
}

/** What shows an output in the cell that is running now, even if it is called when another one runs. */
function shower(): (bundle: MimeBundle) => void {
  const display = kernelDisplay()
  return (bundle) => {
    if (display) display({ data: bundle, metadata: {}, transient: {} }, false)
    else process.stdout.write(`${String(bundle['text/plain'] ?? '')}\n`)
  }
}

/**
 * Shows one output that carries several renderings by mime type; a front end picks the best it knows.
 * Outside a kernel the `text/plain` rendering goes to standard output.
 */
export function show(bundle: MimeBundle): void {
  shower()(bundle)
}

export interface TableColumn {
  readonly label: string
  /** Unit of the column's figures, shown behind the label. */
  readonly unit?: string
  /** Figures go right. Default: left. */
  readonly align?: 'left' | 'right'
}

export interface Table {
  readonly caption: string
  readonly columns: readonly TableColumn[]
  /** Cells as they are to be read; the first cell of a row is its name. */
  readonly rows: readonly (readonly string[])[]
  readonly note?: string
}

/** The one inline style of a table; exported pages allow exactly this one. */
export const RIGHT_ALIGNED = 'text-align:right'

const heading = (column: TableColumn): string =>
  column.unit ? `${column.label} (${column.unit})` : column.label

function checkShape(table: Table): void {
  table.rows.forEach((row, index) => {
    if (row.length !== table.columns.length) {
      throw new Error(
        `table "${table.caption}", row ${index + 1}: found ${row.length} cells, expected ${table.columns.length}, one for each column`,
      )
    }
  })
}

/** A table as HTML: caption, headers with their scope, figures to the right. All text is escaped. */
export function tableHtml(table: Table): string {
  checkShape(table)
  const style = (column: TableColumn | undefined): string =>
    column?.align === 'right' ? ` style="${RIGHT_ALIGNED}"` : ''
  const head = table.columns.map(
    (column) => `<th scope="col"${style(column)}>${escapeHtml(heading(column))}</th>`,
  )
  const body = table.rows.map((row) => {
    const cells = row.map((text, at) => {
      const inside = `${style(table.columns[at])}>${escapeHtml(text)}`
      return at === 0 ? `<th scope="row"${inside}</th>` : `<td${inside}</td>`
    })
    return `<tr>${cells.join('')}</tr>`
  })
  const note = table.note ? [`<p><small>${escapeHtml(table.note)}</small></p>`] : []
  return [
    '<table>',
    `<caption>${escapeHtml(table.caption)}</caption>`,
    `<thead><tr>${head.join('')}</tr></thead>`,
    '<tbody>',
    ...body,
    '</tbody>',
    '</table>',
    ...note,
  ].join('\n')
}

const characters = (text: string): number => [...text].length

/** A table as lines of text in aligned columns. */
export function tableText(table: Table): string {
  checkShape(table)
  const flat = (text: string): string => text.replace(/\s+/g, ' ')
  const head = table.columns.map((column) => flat(heading(column)))
  const body = table.rows.map((row) => row.map(flat))
  const widths = head.map((label, at) =>
    Math.max(...[label, ...body.map((row) => row[at] ?? '')].map(characters)),
  )
  const line = (row: readonly string[]): string =>
    row
      .map((text, at) => {
        const gap = ' '.repeat((widths[at] ?? 0) - characters(text))
        return table.columns[at]?.align === 'right' ? gap + text : text + gap
      })
      .join('  ')
      .trimEnd()
  const rule = widths.map((width) => '-'.repeat(width)).join('  ')
  const note = table.note ? [flat(table.note)] : []
  return [table.caption, line(head), rule, ...body.map(line), ...note].join('\n')
}

/** Shows a table. Throws an Error if a row has not one cell for each column. */
export function showTable(table: Table): void {
  show({ 'text/html': tableHtml(table), 'text/plain': tableText(table) })
}

/**
 * Shows a Vega-Lite 6 chart as a picture with a text that says what is to be seen in it.
 *
 * As an image in HTML, because that is what every front end shows, trusted or not.
 * @param altText what a reader who does not see the chart must know; also the plain rendering
 * Throws an Error for an empty text, and as chartSvg does.
 */
export async function showChart(spec: object, altText: string): Promise<void> {
  const showHere = shower()
  showHere(await chartBundle(spec, altText))
}

/** The mime type a chart's specification is kept under beside its picture. */
export const CHART_MIME = 'application/vnd.vegalite.v6+json'

/** What showChart shows. */
export async function chartBundle(spec: object, altText: string): Promise<MimeBundle> {
  if (altText.trim() === '') {
    throw new Error('chart: found no alternative text, expected a sentence that says what the chart shows')
  }
  const svg = await chartSvg({ ...spec, description: altText })
  const address = `data:image/svg+xml;base64,${Buffer.from(svg).toString('base64')}`
  return {
    'text/html': `<figure><img alt="${escapeHtml(altText)}" src="${address}"></figure>`,
    'text/plain': altText,
    // No front end draws this version by itself; the page export makes the chart live from it.
    [CHART_MIME]: JSON.parse(JSON.stringify({ ...spec, description: altText })),
  }
}

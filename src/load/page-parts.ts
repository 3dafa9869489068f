import { sectionHtml } from '../paper/page.js'
import { escapeHtml as escaped } from '../tables/as-data.js'

/** A section of the load plan's page. */
export const section = (id: string, title: string, ...inside: readonly string[]): string =>
  sectionHtml(id, title, inside)

/** A column of a table of the page. */
export interface Col {
  readonly label: string
  readonly numeric?: boolean
}

/** A table; cells are HTML already. */
export function table(
  caption: string,
  columns: readonly Col[],
  rows: readonly (readonly string[])[],
): string {
  const n = (at: number): string => (columns[at]?.numeric ? ' class="n"' : '')
  return [
    `<div class="table"><table><caption>${escaped(caption)}</caption>`,
    `<thead><tr>${columns.map((c, i) => `<th scope="col"${n(i)}>${escaped(c.label)}</th>`).join('')}</tr></thead><tbody>`,
    ...rows.map(
      (row) =>
        `<tr>${row.map((c, i) => (i === 0 ? `<th scope="row"${n(i)}>${c}</th>` : `<td${n(i)}>${c}</td>`)).join('')}</tr>`,
    ),
    '</tbody></table></div>',
  ].join('\n')
}

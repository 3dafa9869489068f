import { OWN_COLUMN } from './formula.js'
import type { WorkbookScenario } from './layout.js'
import { columnLetters } from './names.js'
import type { Content } from './page-content.js'
import type { Style } from './styles.js'

// How every sheet of the workbook is laid out: title, subtitle, headings, then rows; ids, labels, then a column a scenario.

export const HEADING_ROW = 2
export const FIRST_ROW = 3
export const FIRST_VALUE = 2

export const heading: Style = { font: 'heading', fill: 'heading', wrap: true }
export const plain: Style = {}
export const wrapped: Style = { wrap: true }
export const note: Style = { font: 'note' }
export const unitStyle: Style = { indent: true }

/** Title and subtitle above the column that paper begins with: ids are not printed. */
export const titleRows = (title: string, subtitle: string): (Content | undefined)[][] => [
  [undefined, { text: title, style: { font: 'title' } }],
  [undefined, { text: subtitle, style: note }],
]

export const sectionRow = (text: string): (Content | undefined)[] => [
  undefined,
  { text, style: { font: 'bold' } },
]

export const withFormat = (style: Style, format: string | undefined): Style =>
  format ? { ...style, format } : style

/** A row's formula in the column of one scenario. References to the sheet it stands on need no sheet. */
export const inColumn = (formula: string, s: number, sheet: string): string =>
  formula
    .replaceAll(OWN_COLUMN, columnLetters(FIRST_VALUE + s))
    .replace(new RegExp(`(?<![A-Za-z0-9_])${sheet}!`, 'g'), '')

/** Choices and their words in each scenario; only those that are not the same in all, if asked. */
export function choiceRows(
  scenarios: readonly WorkbookScenario[],
  labels: ReadonlyMap<string, string> = new Map(),
  onlyApart: boolean,
): Content[][] {
  const ids = new Set(scenarios.flatMap((s) => [...s.sheet.choices.keys()]))
  return [...ids].flatMap((id) => {
    const words = scenarios.map((s) => s.sheet.choices.get(id) ?? '')
    if (onlyApart && new Set(words).size === 1) return []
    return [
      [
        { text: id, style: note },
        { text: labels.get(id) ?? '', style: wrapped },
        ...words.map((text) => ({ text, style: plain })),
      ],
    ]
  })
}

/** First and last of each run of neighbouring rows. */
export function runs(rows: readonly number[]): [number, number][] {
  const found: [number, number][] = []
  for (const row of rows) {
    const last = found.at(-1)
    if (last && row === last[1] + 1) last[1] = row
    else found.push([row, row])
  }
  return found
}

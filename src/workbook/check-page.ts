import type { Book } from './book.js'
import { NEAR, RELATIVELY_NEAR, stateColumns } from './cell-page.js'
import { CELL_SHEETS } from './layout.js'
import { columnLetters, sheetPrefix } from './names.js'
import type { Content, Page } from './page-content.js'
import { wayLists } from './scenarios-page.js'
import { FIRST_ROW, heading, note, plain } from './sheet-rows.js'
import { AGREES_LOOK, DIFFERS_LOOK } from './styles.js'

/** Whether the workbook still says what the model says, sheet by sheet. */
export function checkPage(book: Book): Page {
  const first = 8
  const sheets = CELL_SHEETS.filter((sheet) => (book.rows.get(sheet)?.length ?? 0) > 0)
  const rows = sheets.map((sheet): Content[] => {
    const laid = book.rows.get(sheet) ?? []
    const column = columnLetters(stateColumns(book, sheet).state)
    const range = (letters: string) =>
      `${sheetPrefix(sheet)}$${letters}$${FIRST_ROW + 1}:$${letters}$${FIRST_ROW + laid.length}`
    const count = (state: string) => ({ formula: `COUNTIF(${range(column)},"${state}")`, style: plain })
    const inputs = laid.filter((row) => row.kind === 'input').length
    return [
      { text: sheet, style: plain },
      { number: inputs, style: plain },
      count('changed'),
      { number: laid.length - inputs, style: plain },
      count('same'),
      count('differs'),
      count('no number'),
      {
        formula: `IFERROR(INDEX(${range('A')},MATCH("no number",${range(column)},0)),IFERROR(INDEX(${range('A')},MATCH("differs",${range(column)},0)),""))`,
        style: note,
      },
    ]
  })
  const last = first + rows.length
  const sum = (letters: string) => ({
    formula: `SUM(${letters}${first + 1}:${letters}${last})`,
    style: { font: 'bold' } as const,
  })
  const total = (letters: string) => `${letters}${last + 1}`
  book.names.push(
    { name: NEAR, sheet: 'Check', column: 2, row: 3 },
    { name: RELATIVELY_NEAR, sheet: 'Check', column: 2, row: 4 },
  )
  const labelled = (text: string, content: Content): (Content | undefined)[] => [
    { text, style: plain },
    undefined,
    content,
  ]
  return {
    name: 'Check',
    rows: [
      [{ text: 'Check: does this workbook still say what the model says?', style: { font: 'title' } }],
      [
        { text: 'Verdict', style: { font: 'bold' } },
        undefined,
        {
          formula: `IF(${total('G')}+IF(C3>0,0,${total('F')})>0,"Do not use: "&(${total('F')}+${total('G')})&" figures differ",IF(C3>0,"Live: "&C3&" inputs changed, figures no longer those of the model","All "&${total('E')}&" figures agree with the model"))`,
          style: { font: 'bold' },
        },
      ],
      labelled('Inputs and choices changed', {
        formula: [total('C'), ...wayLists(book).map(chosenCount)].join('+'),
        style: plain,
      }),
      labelled('A figure is the same that is this near', { number: 1e-9, style: { format: '0E+00' } }),
      labelled('and this share of itself', { number: 1e-12, style: { format: '0E+00' } }),
      [
        {
          text: 'What the model worked out in exact decimals is in hidden columns at the right of each sheet; the column State compares.',
          style: note,
        },
      ],
      [],
      ['Sheet', 'Inputs', 'Changed', 'Results', 'Same', 'Differ', 'No number', 'First that does'].map(
        (text) => ({ text, style: heading }),
      ),
      ...rows,
      [{ text: 'All', style: { font: 'bold' } }, ...['B', 'C', 'D', 'E', 'F', 'G'].map(sum)],
    ],
    widths: [34, 10, 14, 10, 10, 10, 12, 44],
    frozen: { rows: first, columns: 1 },
    looks: [
      { range: 'C2', condition: 'LEFT($C$2,3)="All"', look: AGREES_LOOK },
      { range: 'C2', condition: 'LEFT($C$2,2)="Do"', look: DIFFERS_LOOK },
    ],
  }
}

/** How many cells of a list name a way. */
const chosenCount = ({ range, cheapest }: { range: string; cheapest: string }): string =>
  `COUNTIF(Scenarios!${range},"?*")-COUNTIF(Scenarios!${range},Scenarios!${cheapest})`

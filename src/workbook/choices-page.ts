import { exact } from '../quantity/exact.js'
import type { Book } from './book.js'
import { stored } from './layout.js'
import type { Content, Page } from './page-content.js'
import {
  FIRST_ROW,
  FIRST_VALUE,
  heading,
  note,
  plain,
  sectionRow,
  titleRows,
  unitStyle,
  wrapped,
} from './sheet-rows.js'

/** What is fixed when the file is written: what was chosen in words, and the numbers of the rules. */
export function choicesPage(book: Book): Page {
  const { scenarios } = book
  const alike = (row: readonly Content[]) =>
    scenarios.length > 1 && new Set(row.slice(2).map((c) => ('text' in c ? c.text : ''))).size === 1
  const headings = (...texts: string[]) => texts.map((text) => ({ text, style: heading }))
  const labelOf = ({ label, usedBy }: { label: string; usedBy: string }) =>
    label || `In: ${book.placed.get(usedBy)?.laid.label ?? usedBy}`
  return {
    name: 'Choices',
    rows: [
      ...titleRows(
        'Choices and numbers of the rules',
        `Fixed when this file was written: have the program write it anew to change one.${book.decisions.length > 0 ? ' The carriage can be chosen on Scenarios.' : ''}`,
      ),
      headings('Id', 'What it is', ...scenarios.map((s) => s.name)),
      [
        { text: 'scenario', style: note },
        { text: 'Number of the scenario: which of several formulas a row takes', style: wrapped },
        ...scenarios.map((_, s) => ({ number: s + 1, style: plain })),
      ],
      ...book.choiceRows,
      [],
      sectionRow('Numbers that formulas use by name'),
      headings('Name', 'What it is', 'Value', 'Unit'),
      ...[...book.numbers.values()].map((number) => [
        { text: number.name, style: note },
        { text: labelOf(number), style: wrapped },
        { number: stored(exact.of(number.value)), style: plain },
        { text: number.unit, style: unitStyle },
      ]),
    ],
    widths: [30, 52, ...scenarios.map(() => 20)],
    frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    detailRows: new Set(book.choiceRows.flatMap((row, i) => (alike(row) ? [FIRST_ROW + 1 + i] : []))),
    printed: { from: 0, to: FIRST_VALUE + scenarios.length },
    portrait: true,
  }
}

import type { Book } from './book.js'
import type { Page } from './page-content.js'
import { FIRST_ROW, FIRST_VALUE, heading, inColumn, note, plain, titleRows, wrapped } from './sheet-rows.js'

/** Parts of formulas that would be too long, or that several formulas share. */
export function stepsPage(book: Book): Page {
  return {
    name: 'Steps',
    hidden: true,
    rows: [
      ...titleRows(
        'Steps',
        'Parts of formulas of other sheets, in rows of their own because they are shared, long, or rounded.',
      ),
      ['Id', 'Part of', ...book.scenarios.map((s) => s.name)].map((text) => ({ text, style: heading })),
      ...book.steps.map(({ id, label, formula, scenarios }) => [
        { text: id, style: note },
        { text: label, style: wrapped },
        ...book.scenarios.map((_, s) =>
          scenarios.has(s) ? { formula: inColumn(formula, s, 'Steps'), style: plain } : undefined,
        ),
      ]),
    ],
    widths: [40, 60, ...book.scenarios.map(() => 18)],
    frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
  }
}

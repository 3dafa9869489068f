import type { Decimal } from 'decimal.js'
import { amount, type Sentence, several } from '../../paper/sentence.js'
import { ENGLISH_WORDS } from '../../paper/words.js'
import type { Warning } from '../../plan/ledger.js'
import type { Move, Plan } from '../../plan/move.js'
import type { InventoryLine } from '../../tables/household-columns.js'

/** A warning with the cells it was read from, so that it can be traced as every figure can, and its sentence for other languages. */
export interface PlanWarning extends Warning {
  readonly cells: readonly string[]
  readonly says: Sentence
}

/** A warning as its sentence says it, with its English as plain text. */
export const warning = (
  step: Warning['step'],
  severity: Warning['severity'],
  sentence: Sentence,
  ...cells: readonly string[]
): PlanWarning => ({ step, severity, text: ENGLISH_WORDS.tell(sentence), says: sentence, cells })

/** A cell of the exact sheet. */
export const cellOf = (plan: Plan, id: string): Decimal | undefined => plan.sheet.cells.get(id)?.value

/** Figures as sentences take them. */
export const money = (move: Move, value: Decimal) => amount(value, move.household.facts.currency)
export const percent = (share: Decimal) => amount(share, '1')
export const count = (value: number | Decimal) => String(value)

/** Lines of the inventory by mark and name, the first few of them. */
export const named = (lines: readonly Pick<InventoryLine, 'line' | 'item'>[], most?: number) =>
  several(
    lines.map(({ line, item }) => `${line} ${item}`),
    most,
  )

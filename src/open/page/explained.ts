// Where a figure comes from, as plain data.
import type { Explanation } from '../../analysis/index.js'
import { figure } from './scenario-answers.js'

export interface Explained {
  readonly id: string
  readonly label: string
  readonly text: string
  readonly formula?: string
  readonly source?: string
  readonly confirmed?: string
  readonly from: readonly Explained[]
}

/** An explanation with its figures as they are read. */
export function explanation(e: Explanation, minor: number): Explained {
  return {
    id: e.id,
    label: e.label,
    text: figure(e.label, e.unit, e.value, minor).text,
    ...(e.formula === undefined ? {} : { formula: e.formula }),
    ...(e.source === undefined ? {} : { source: e.source }),
    ...(e.confirmed === undefined ? {} : { confirmed: e.confirmed }),
    from: e.from.map((inner) => explanation(inner, minor)),
  }
}

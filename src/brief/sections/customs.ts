import type { Block, Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import type { Plan } from '../../plan/move.js'
import { type BriefSource, figure, hasCell } from '../figure.js'
import { dayText } from '../names.js'

/** What the customs step found, as plain data. Texts are shown as they are; amounts are named by their cells. */
export interface CustomsBrief {
  /** What it comes to, in a sentence or two. */
  readonly summary: string
  readonly verdicts: readonly {
    readonly what: string
    readonly verdict: string
    readonly reason: string
    readonly source?: string
  }[]
  readonly dutiable: readonly {
    readonly item: string
    readonly reason: string
    /** Ids of the cells with value, duty and tax of the line, where the plan has them. */
    readonly cells: { readonly value?: string; readonly duty?: string; readonly tax?: string }
  }[]
  readonly documents: readonly {
    readonly name: string
    readonly note?: string
    /** The day it has to be there, ISO date, where a rule gives one. */
    readonly by?: string
  }[]
  /** Days by which something has to be done, ISO dates. */
  readonly deadlines: readonly { readonly what: string; readonly on: string; readonly note?: string }[]
  readonly restricted: readonly { readonly item: string; readonly why: string; readonly todo: string }[]
  readonly cautions: readonly string[]
}

/** Relief, what is charged, papers, deadlines and restricted goods. Absent where the customs step was not run. */
export function customsSection(source: BriefSource, customs: CustomsBrief): Section {
  const { recommended: plan } = source
  const blocks: Block[] = [
    { kind: 'paragraph', text: [customs.summary] },
    ...(customs.verdicts.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: 'Relief from duty and tax',
            columns: [{ label: 'What' }, { label: 'Verdict' }, { label: 'Why' }],
            rows: customs.verdicts.map((v) => ({
              cells: [
                cell(v.what),
                cell(v.verdict),
                { text: [v.reason], ...(v.source === undefined ? {} : { small: v.source }) },
              ],
            })),
          },
        ]
      : []),
    ...(customs.dutiable.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: 'What is likely to be charged',
            columns: [
              { label: 'Class of goods' },
              { label: 'Lines' },
              { label: 'Customs value charged', numeric: true },
              { label: 'Duty', numeric: true },
              { label: 'Import tax', numeric: true },
            ],
            rows: customs.dutiable.map((d) => ({
              cells: [
                { text: [d.item], ...(d.cells.value === undefined ? {} : { trace: d.cells.value }) },
                cell(d.reason),
                amount(source, plan, d.cells.value),
                amount(source, plan, d.cells.duty),
                amount(source, plan, d.cells.tax),
              ],
            })),
          },
        ]
      : []),
    ...(customs.restricted.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: 'Goods that other rules ask about',
            columns: [{ label: 'Item' }, { label: 'Why' }, { label: 'What to do' }],
            rows: customs.restricted.map((r) => ({ cells: [cell(r.item), cell(r.why), cell(r.todo)] })),
          },
        ]
      : []),
    ...(customs.documents.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: 'Papers to have ready',
            columns: [{ label: 'Paper' }, { label: 'What for' }, { label: 'By' }],
            rows: customs.documents.map((d) => ({
              cells: [
                cell(d.name),
                cell(d.note ?? ''),
                cell(d.by === undefined ? 'in good time' : dayText(d.by).replaceAll(' ', '\u00a0')),
              ],
            })),
          },
        ]
      : []),
    ...customs.cautions.map((text): Block => ({ kind: 'paragraph', text: [text] })),
  ]
  return { id: 'customs', title: 'Customs', blocks }
}

const amount = (source: BriefSource, plan: Plan, id: string | undefined) =>
  cell(id !== undefined && hasCell(plan, id) ? figure(source, plan, id) : '\u2013')

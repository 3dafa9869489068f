import type { Block, Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import type { Plan } from '../../plan/move.js'
import { type BriefSource, figure, hasCell } from '../figure.js'

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
    /** What of it could not be determined, whatever its cell holds. */
    readonly open: { readonly duty: boolean; readonly tax: boolean }
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
export function customsSection(source: BriefSource, words: Words, customs: CustomsBrief): Section {
  const { line } = words
  const { recommended: plan } = source
  const blocks: Block[] = [
    { kind: 'paragraph', text: [customs.summary] },
    ...(customs.verdicts.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: line`Relief from duty and tax`,
            columns: [{ label: line`What` }, { label: line`Verdict` }, { label: line`Why` }],
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
            caption: line`What is likely to be charged`,
            columns: [
              { label: line`Class of goods` },
              { label: line`Lines` },
              { label: line`Customs value charged`, numeric: true },
              { label: line`Duty`, numeric: true },
              { label: line`Import tax`, numeric: true },
            ],
            rows: customs.dutiable.map((d) => ({
              cells: [
                { text: [d.item], ...(d.cells.value === undefined ? {} : { trace: d.cells.value }) },
                cell(d.reason),
                amount(source, plan, d.cells.value),
                d.open.duty ? cell(line`not determined`) : amount(source, plan, d.cells.duty),
                d.open.tax ? cell(line`not determined`) : amount(source, plan, d.cells.tax),
              ],
            })),
          },
        ]
      : []),
    ...(customs.restricted.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: words.say('papers.restricted'),
            columns: [
              { label: words.say('papers.thing') },
              { label: line`Why` },
              { label: words.say('papers.todo') },
            ],
            rows: customs.restricted.map((r) => ({ cells: [cell(r.item), cell(r.why), cell(r.todo)] })),
          },
        ]
      : []),
    ...(customs.documents.length > 0
      ? [
          {
            kind: 'table' as const,
            caption: words.say('papers.caption'),
            columns: [
              { label: words.say('papers.paper') },
              { label: line`What for` },
              { label: words.say('papers.by') },
            ],
            rows: customs.documents.map((d) => ({
              cells: [
                cell(d.name),
                cell(d.note ?? ''),
                cell(
                  d.by === undefined
                    ? words.say('papers.in-time')
                    : words.locale.day(d.by).replaceAll(' ', '\u00a0'),
                ),
              ],
            })),
          },
        ]
      : []),
    ...customs.cautions.map((text): Block => ({ kind: 'paragraph', text: [text] })),
  ]
  return { id: 'customs', title: words.say('annex.customs'), blocks }
}

const amount = (source: BriefSource, plan: Plan, id: string | undefined) =>
  cell(id !== undefined && hasCell(plan, id) ? figure(source, plan, id) : '\u2013')

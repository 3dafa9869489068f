import { type ChartTheme, coversChart } from '../../charts/specs/index.js'
import type { Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { listed } from '../../paper/format.js'
import { choicesOf } from '../../plan/providers.js'
import { type BriefSource, figure, hasCell } from '../figure.js'

/** The covers: what each costs, the damage at which it has paid for itself, and what it leaves out. */
export function coverSection(source: BriefSource, theme: ChartTheme): Section {
  const { recommended: plan, move } = source
  const { covers, perils } = move.reference
  const { ledger } = choicesOf(move, plan)
  const chosen = ledger.choice('cover')
  const of = (id: string) => (hasCell(plan, id) ? cell(figure(source, plan, id)) : cell('\u2013'))
  const js = (id: string) => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const [first, ...rest] = covers
  const said = (peril: (typeof perils)[number], cover: string): string => {
    const word = (peril as unknown as Record<string, unknown>)[cover]
    return typeof word === 'string' ? word : '\u2013'
  }
  return {
    id: 'cover',
    title: 'Cover for the crossing',
    blocks: [
      {
        kind: 'paragraph',
        text: [
          'The sum insured is the price of replacing everything at the destination, ',
          figure(source, plan, 'value.insured'),
          '; customs is told what the goods would sell for today, ',
          figure(source, plan, 'value.declared'),
          '. A dearer cover pays from the damage at which its extra premium, the services it makes you buy and its deductible are less than the damage itself.',
        ],
      },
      {
        kind: 'table',
        caption: `Covers for the goods of \u201c${plan.name}\u201d`,
        columns: [
          { label: 'Cover' },
          { label: 'Premium', numeric: true },
          { label: 'Services it forces', numeric: true },
          { label: 'Break-even against no cover', numeric: true },
          { label: 'Break-even against the next cover', numeric: true },
          { label: 'Break-even, premium alone', numeric: true },
        ],
        rows: covers.map((row) => ({
          ...(row.id === chosen ? { kind: 'total' as const } : {}),
          cells: [
            {
              text: [row.label, row.id === chosen ? ' (chosen)' : ''],
              trace: `cover.${row.id}.premium`,
            },
            of(`cover.${row.id}.premium`),
            of(`cover.${row.id}.forced-services`),
            of(`cover.${row.id}.break-even`),
            of(`cover.${row.id}.break-even-over-next`),
            of(`cover.${row.id}.break-even-premium-only`),
          ],
        })),
      },
      ...(first
        ? [
            {
              kind: 'chart' as const,
              id: 'covers',
              caption: `Cost of cover and damage borne, for one damage that only \u201c${first.label.toLowerCase()}\u201d answers for, such as breakage`,
              chart: coversChart(
                {
                  answering: {
                    label: first.label,
                    cost: js(`cover.${first.id}.cost`),
                    deductible: ledger.money(`cover.${first.id}.deductible`).toNumber(),
                  },
                  others: [
                    ...rest.map((row) => ({ label: row.label, cost: js(`cover.${row.id}.cost`) })),
                    { label: 'No cover', cost: 0 },
                  ],
                  currency: move.household.facts.currency,
                },
                theme,
              ),
            },
          ]
        : []),
      {
        kind: 'table',
        caption: 'What the covers answer for',
        columns: [{ label: 'Cause' }, ...covers.map((row) => ({ label: row.label }))],
        rows: perils.map((peril) => ({
          cells: [cell(peril.label), ...covers.map((row) => cell(said(peril, row.id)))],
        })),
      },
      {
        kind: 'paragraph',
        text: [
          `Read from the shape of the usual cargo clauses; the certificate you are offered decides. ${covers
            .filter((row) => row.requires.length > 0)
            .map((row) => `${row.label} commonly asks for professional ${listed(row.requires)}.`)
            .join(' ')}`,
        ],
      },
    ],
  }
}

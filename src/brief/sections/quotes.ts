import type { Section } from '../blocks.js'
import { cell } from '../blocks.js'
import { type BriefSource, figure } from '../figure.js'

/** Movers' quotes on one footing; no section where there are no quotes. */
export function quoteSections(source: BriefSource): Section[] {
  const { move, recommended: plan } = source
  const quotes = [...new Set(move.household.quotes.map((q) => q.quote))]
  if (quotes.length === 0) return []
  const parts = ['stated', 'for-volume', 'left-out', 'not-wanted', 'like-for-like'] as const
  const best = quotes.reduce((a, b) => {
    const of = (quote: string) => plan.sheet.cells.get(`quotes.${quote}.like-for-like`)?.value
    return of(b)?.lt(of(a) ?? 0) ? b : a
  })
  return [
    {
      id: 'quotes',
      title: 'Quotes compared',
      blocks: [
        {
          kind: 'paragraph',
          text: [
            'Quotes that measure different volumes and leave out different lines cannot be compared by their totals. Here each is brought to the volume of this household; what it leaves out of the recommended scenario is added at the model’s price, what the household does itself is taken off. Ask the movers to confirm volume and lines before signing.',
          ],
        },
        {
          kind: 'table',
          caption: `Quotes for “${plan.name}”, ${move.household.facts.currency}`,
          columns: [
            { label: 'Quote' },
            { label: 'Volume quoted', numeric: true },
            { label: 'As stated', numeric: true },
            { label: 'For the volume', numeric: true },
            { label: 'Left out', numeric: true },
            { label: 'Not wanted', numeric: true },
            { label: 'Like for like', numeric: true },
          ],
          rows: quotes.map((quote) => ({
            ...(quote === best ? { kind: 'total' as const } : {}),
            cells: [
              { text: [quote], small: `quotes.${quote}.like-for-like` },
              cell(figure(source, plan, `quote.${quote}.volume`)),
              ...parts.map((part) => cell(figure(source, plan, `quotes.${quote}.${part}`))),
            ],
          })),
        },
      ],
    },
  ]
}

import { type ChartTheme, coversChart } from '../../charts/specs/index.js'
import type { Section } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { inARow, inside, label, says, several } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import { choicesOf } from '../../plan/providers.js'
import { type BriefSource, figure, hasCell } from '../figure.js'

/** The covers: what each costs, the damage at which it has paid for itself, and what it leaves out. */
export function coverSection(source: BriefSource, words: Words, theme: ChartTheme): Section {
  const { line } = words
  const named = (row: { readonly id: string; readonly label: string }) =>
    words.label(`cover.${row.id}`, row.label)
  const { recommended: plan, move } = source
  const { covers, perils } = move.reference
  const { ledger } = choicesOf(move, plan)
  const serviceName = (id: string) => move.reference.services.find((s) => s.id === id)?.label ?? id
  const chosen = ledger.choice('cover')
  const of = (id: string) => (hasCell(plan, id) ? cell(figure(source, plan, id)) : cell('\u2013'))
  const js = (id: string) => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const [first, ...rest] = covers
  const said = (peril: (typeof perils)[number], cover: string): string => {
    const word = (peril as unknown as Record<string, unknown>)[cover]
    return typeof word === 'string' ? words.phrase(word) : '\u2013'
  }
  return {
    id: 'cover',
    title: words.say('annex.cover'),
    blocks: [
      {
        kind: 'paragraph',
        text: words.text`The sum insured is the price of replacing everything at the destination, ${figure(source, plan, 'value.insured')}; customs is told what the goods would sell for today, ${figure(source, plan, 'value.declared')}. A dearer cover pays from the damage at which its extra premium, the services it makes you buy and its deductible are less than the damage itself.`,
      },
      {
        kind: 'table',
        caption: line`Covers for the goods of \u201c${plan.name}\u201d`,
        columns: [
          { label: line`Cover` },
          { label: line`Premium`, numeric: true },
          { label: line`Services it forces`, numeric: true },
          { label: line`Break-even against no cover`, numeric: true },
          { label: line`Break-even against the next cover`, numeric: true },
          { label: line`Break-even, premium alone`, numeric: true },
        ],
        rows: covers.map((row) => ({
          ...(row.id === chosen ? { kind: 'total' as const } : {}),
          cells: [
            {
              text: [named(row), row.id === chosen ? ` ${line`(chosen)`}` : ''],
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
              caption: line`Cost of cover and damage borne, for one damage that only \u201c${words.inSentence(named(first))}\u201d answers for, such as breakage`,
              chart: coversChart(
                {
                  answering: {
                    label: named(first),
                    cost: js(`cover.${first.id}.cost`),
                    deductible: ledger.money(`cover.${first.id}.deductible`).toNumber(),
                  },
                  others: [
                    ...rest.map((row) => ({ label: named(row), cost: js(`cover.${row.id}.cost`) })),
                    { label: words.label('cover.none', 'No cover'), cost: 0 },
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
        caption: line`What the covers answer for`,
        columns: [{ label: line`Cause` }, ...covers.map((row) => ({ label: named(row) }))],
        rows: perils.map((peril) => ({
          cells: [cell(words.phrase(peril.label)), ...covers.map((row) => cell(said(peril, row.id)))],
        })),
      },
      {
        kind: 'paragraph',
        text: words.inline(
          inARow(
            says`Read from the shape of the usual cargo clauses; the certificate you are offered decides.`,
            ...covers
              .filter((row) => row.requires.length > 0)
              .map(
                (row) =>
                  says`${label(`cover.${row.id}`, row.label)} commonly asks that professionals do this work: ${several(row.requires.map((id) => inside(`service.${id}`, serviceName(id))))}.`,
              ),
          ),
        ),
      },
    ],
  }
}

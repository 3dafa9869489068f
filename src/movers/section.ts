import type { ChartTheme } from '../charts/specs/index.js'
import { moversChart } from '../charts/specs/movers.js'
import { cell, paragraph, type Section } from '../paper/blocks.js'
import { ENGLISH } from '../paper/figure-text.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import type { Comparison } from './compare.js'
import type { Rules } from './questions.js'
import { moversParagraph } from './words.js'

/** The comparison of movers as a paper: paragraph, table, chart, answers side by side, and how sure the order is. */
export function moversSections(
  move: Move,
  comparison: Comparison,
  rules: Rules,
  theme: ChartTheme,
): Section[] {
  const { offers, ranges } = comparison
  const { currency } = move.household.facts
  const whole = (value: Parameters<typeof ENGLISH.number>[0]) => ENGLISH.number(value, 0)
  const share = (value: number) => ENGLISH.percent(exact.of(value))
  const outlier = { low: 'far below the others', high: 'far above the others' } as const
  return [
    {
      id: 'answer',
      title: 'Which mover',
      blocks: [
        { kind: 'paragraph', lead: true, text: [moversParagraph(move, comparison, rules)] },
        {
          kind: 'table',
          caption: `Price on one footing (${currency}) and weighted answers`,
          columns: [
            { label: 'Mover' },
            { label: 'As stated', numeric: true },
            { label: 'For this volume', numeric: true },
            { label: 'Left out, at our price', numeric: true },
            { label: 'Levelled', numeric: true },
            { label: 'Price score', numeric: true },
            { label: 'Score', numeric: true },
            { label: 'First in', numeric: true },
          ],
          rows: offers.map((offer, at) => ({
            ...(at === 0 && offer === comparison.first ? { kind: 'total' as const } : {}),
            cells: [
              {
                text: [offer.mover],
                ...(offer.redLines.length > 0
                  ? { small: 'excluded' }
                  : offer.outlier
                    ? { small: outlier[offer.outlier] }
                    : {}),
              },
              cell(whole(offer.stated)),
              cell(whole(offer.forVolume)),
              cell(whole(offer.leftOut)),
              cell(whole(offer.levelled)),
              cell(share(offer.priceScore)),
              cell(share(offer.total)),
              cell(offer.redLines.length > 0 ? '\u2013' : share(offer.firstShare)),
            ],
          })),
        },
        paragraph(
          'The price score is the lowest levelled price over the mover’s own. \u201cFirst in\u201d is the share of all possible weightings in which the mover comes first.',
        ),
        {
          kind: 'chart',
          id: 'movers',
          caption: 'Levelled price against the answers; up and left is better',
          chart: moversChart(
            offers.map((offer) => ({
              mover: offer.mover,
              levelled: offer.levelled.toNumber(),
              answers: answersShare(offer.scores, rules),
              excluded: offer.redLines.length > 0,
            })),
            currency,
            theme,
          ),
        },
      ],
    },
    {
      id: 'answers',
      title: 'Answers side by side',
      blocks: [
        {
          kind: 'table',
          caption: 'Score of each answer; a dash has not been answered',
          columns: [
            { label: 'Question' },
            { label: 'Weight', numeric: true },
            ...offers.map(({ mover }) => ({ label: mover, numeric: true })),
          ],
          rows: rules.questions.map(({ id, asked, weight }) => ({
            cells: [
              cell(asked),
              cell(String(weight)),
              ...offers.map(({ scores, unanswered }) =>
                cell(unanswered.includes(id) ? '\u2013' : share(scores.get(id) ?? 0)),
              ),
            ],
          })),
        },
        {
          kind: 'list',
          items: offers.flatMap(({ mover, missing, unanswered }) =>
            missing.length + unanswered.length === 0
              ? []
              : [
                  [
                    `${mover}: ${[
                      ...(missing.length > 0 ? [`no price for ${missing.join(', ')}`] : []),
                      ...(unanswered.length > 0 ? [`no answer to ${unanswered.join(', ')}`] : []),
                    ].join('; ')}.`,
                  ],
                ],
          ),
        },
      ],
    },
    {
      id: 'weights',
      title: 'What would change the order',
      blocks: [
        paragraph(
          'One weight moved alone, the others in proportion. Inside the range the first stays first.',
        ),
        {
          kind: 'table',
          caption: 'Weights and the ranges in which the first stays first',
          columns: [
            { label: 'Criterion' },
            { label: 'Now', numeric: true },
            { label: 'From', numeric: true },
            { label: 'To', numeric: true },
          ],
          rows: ranges.map(({ criterion, now, from, until }) => ({
            cells: [
              cell(
                criterion === 'price'
                  ? 'Price'
                  : (rules.questions.find(({ id }) => id === criterion)?.asked ?? criterion),
              ),
              cell(share(now)),
              cell(share(from)),
              cell(share(until)),
            ],
          })),
        },
      ],
    },
  ]
}

/** Weighted answers without the price, 0 to 1. */
function answersShare(scores: ReadonlyMap<string, number>, rules: Rules): number {
  const all = rules.questions.reduce((sum, { weight }) => sum + weight, 0)
  if (all === 0) return 0
  return rules.questions.reduce((sum, { id, weight }) => sum + weight * (scores.get(id) ?? 0), 0) / all
}

import type { ChartTheme } from '../charts/specs/index.js'
import { moversChart } from '../charts/specs/movers.js'
import { cell, paragraph, type Section } from '../paper/blocks.js'
import { inARow, says, several } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import type { Move } from '../plan/move.js'
import { Exact, exact } from '../quantity/exact.js'
import type { Comparison } from './compare.js'
import type { Rules } from './questions.js'
import { asked, moversParagraph, servicesOf } from './words.js'

/** The comparison of movers as a paper: paragraph, table, chart, answers side by side, and how sure the order is. */
export function moversSections(
  move: Move,
  words: Words,
  comparison: Comparison,
  rules: Rules,
  theme: ChartTheme,
): Section[] {
  const { offers, ranges } = comparison
  const { line, locale, tell } = words
  const { currency } = move.household.facts
  const whole = (value: Parameters<typeof locale.number>[0]) => locale.number(value, 0)
  const share = (value: number) => locale.percent(exact.of(value))
  const outlier = { low: line`far below the others`, high: line`far above the others` }
  return [
    {
      id: 'answer',
      title: line`Which mover`,
      blocks: [
        { kind: 'paragraph', lead: true, text: [tell(moversParagraph(move, comparison, rules))] },
        {
          kind: 'table',
          caption: line`Price on one footing (${currency}) and weighted answers`,
          columns: [
            { label: line`Mover` },
            { label: words.say('movers.stated'), numeric: true },
            { label: words.say('movers.for-volume'), numeric: true },
            { label: words.say('movers.left-out'), numeric: true },
            { label: line`Levelled`, numeric: true },
            { label: line`Price score`, numeric: true },
            { label: words.say('movers.score'), numeric: true },
            { label: line`First in`, numeric: true },
          ],
          rows: offers.map((offer, at) => ({
            ...(at === 0 && offer === comparison.first ? { kind: 'total' as const } : {}),
            cells: [
              {
                text: [offer.mover],
                ...(offer.redLines.length > 0
                  ? { small: words.say('movers.excluded') }
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
          line`The price score is the lowest levelled price over the mover’s own. “First in” is the share of all possible weightings in which the mover comes first.`,
        ),
        {
          kind: 'chart',
          id: 'movers',
          caption: line`Levelled price against the answers; up and left is better`,
          chart: moversChart(
            offers.map((offer) => ({
              mover: offer.mover,
              levelled: offer.levelled.toNumber(),
              answers: answersShare(offer.scores, rules),
              excluded: offer.redLines.length > 0,
            })),
            theme,
            {
              price: line`levelled price, ${currency}`,
              answers: line`answers, weighted`,
              alt: (points) =>
                line`Movers by levelled price, ${currency}, and score of their answers: ${points}.`,
              point: ({ mover, levelled, answers, excluded }) => {
                const price = locale.number(new Exact(levelled), 0)
                return excluded
                  ? line`${mover} ${price} and ${share(answers)}, excluded`
                  : line`${mover} ${price} and ${share(answers)}`
              },
              ...(words.english ? {} : { format: '.0f' }),
            },
          ),
        },
      ],
    },
    {
      id: 'answers',
      title: line`Answers side by side`,
      blocks: [
        {
          kind: 'table',
          caption: line`Score of each answer; a dash has not been answered`,
          columns: [
            { label: line`Question` },
            { label: line`Weight`, numeric: true },
            ...offers.map(({ mover }) => ({ label: mover, numeric: true })),
          ],
          rows: rules.questions.map(({ id, weight }) => ({
            cells: [
              cell(tell(asked(rules, id))),
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
                    tell(
                      inARow(
                        says`${mover}:`,
                        missing.length > 0
                          ? says`No price for ${several(servicesOf(move, missing))}.`
                          : undefined,
                        unanswered.length > 0
                          ? says`No answer to: ${inARow(...unanswered.map((id) => asked(rules, id)))}`
                          : undefined,
                      ),
                    ),
                  ],
                ],
          ),
        },
      ],
    },
    {
      id: 'weights',
      title: line`What would change the order`,
      blocks: [
        paragraph(
          line`One weight moved alone, the others in proportion. Inside the range the first stays first.`,
        ),
        {
          kind: 'table',
          caption: line`Weights and the ranges in which the first stays first`,
          columns: [
            { label: line`Criterion` },
            { label: line`Now`, numeric: true },
            { label: line`From`, numeric: true },
            { label: line`To`, numeric: true },
          ],
          rows: ranges.map(({ criterion, now, from, until }) => ({
            cells: [
              cell(criterion === 'price' ? line`Price` : tell(asked(rules, criterion))),
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

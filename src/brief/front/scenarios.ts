import { cell, type Section, type TableRow } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import type { Plan } from '../../plan/move.js'
import { PHASES } from '../../plan/phases.js'
import { type BriefSource, bare, difference, figure, hasCell } from '../figure.js'
import { coverLabel, loadingDay, transportLabel } from './carriage.js'
import { ends, givesMoney, type LikelyRange, leftNames } from './decision.js'

/** In what the scenarios can be compared as they stand: with the same goods, on the same days. */
export function footingText({ move, plans }: Pick<BriefSource, 'move' | 'plans'>, words: Words): string {
  const { line } = words
  const without = plans.flatMap((plan) => {
    const left = leftNames(plan, plans)
    return left === undefined
      ? []
      : [
          line`“${plan.name}” leaves ${left} behind: what that sells for and what replaces it stand in no total.`,
        ]
  })
  if (without.length > 0)
    return [line`Same rules in every column, but not the same goods.`, ...without].join(' ')
  const day = (plan: Plan, id: 'load-on' | 'import-on', stated: string) =>
    plan.inputs.choices.get(id)?.value ?? stated
  const { load_on, import_on } = move.household.facts
  const days = new Set(
    plans.map((plan) => `${day(plan, 'load-on', load_on)} ${day(plan, 'import-on', import_on)}`),
  )
  return days.size > 1
    ? line`Same goods and same rules in every column, but not the same days.`
    : words.say('scenarios.same-footing')
}

/** The scenarios as columns. */
export function scenariosSection(
  source: BriefSource,
  words: Words,
  ranges: ReadonlyMap<string, LikelyRange>,
): Section {
  const { plans, move, recommended } = source
  const phases = PHASES.filter(({ total }) => plans.every((plan) => hasCell(plan, total)))
  const row = (label: string, id: string, decimals?: number, kind?: 'total'): TableRow[] =>
    plans.every((plan) => hasCell(plan, id))
      ? [
          {
            ...(kind ? { kind } : {}),
            cells: [
              { text: [label], trace: id },
              ...plans.map((plan) => cell(figure(source, plan, id, decimals))),
            ],
          },
        ]
      : []
  const said = (id: string, texts: readonly string[]): TableRow => ({
    cells: [cell(words.say(id)), ...texts.map((text) => cell(text))],
  })
  const employerPays = plans.some((plan) => plan.sheet.cells.get('employer.total')?.value.gt(0))
  return {
    id: 'scenarios',
    title: words.say('scenarios.title'),
    blocks: [
      { kind: 'paragraph', text: [footingText(source, words)] },
      {
        kind: 'table',
        caption: words.say('scenarios.caption'),
        columns: [
          { label: '' },
          ...plans.map((plan) => ({
            label: plan === recommended ? words.say('scenarios.recommended', { name: plan.name }) : plan.name,
            numeric: true,
          })),
        ],
        rows: [
          said(
            'scenarios.carriage',
            plans.map((plan) => transportLabel(words, move, plan)),
          ),
          said(
            'scenarios.work',
            plans.map((plan) =>
              words.say(`level.${plan.inputs.choices.get('service-level')?.value ?? 'own'}`),
            ),
          ),
          said(
            'scenarios.cover',
            plans.map((plan) => coverLabel(words, move, plan)),
          ),
          said(
            'scenarios.loading',
            plans.map((plan) => loadingDay(words, move, plan)),
          ),
          ...phases.flatMap(({ total, phase }) => row(words.say(`phase.${phase}`), total, 0)),
          ...row(words.say('scenarios.total'), 'cost.total', 0, 'total'),
          ...(ranges.size > 0
            ? [
                {
                  cells: [
                    cell(words.say('scenarios.range')),
                    ...plans.map((plan) => {
                      const range = ranges.get(plan.name)
                      if (!range) return cell('\u2013')
                      const { low, high } = ends(source, plan, range)
                      return cell(...words.write('fact.and', { low: bare(low), high: bare(high) }))
                    }),
                  ],
                },
              ]
            : []),
          ...(plans.length > 1
            ? [
                {
                  cells: [
                    { text: [words.say('scenarios.against')], trace: 'cost.total' },
                    ...plans.map((plan) =>
                      cell(
                        plan === recommended
                          ? '\u2013'
                          : difference(source, plan, recommended, 'cost.total', 0),
                      ),
                    ),
                  ],
                },
              ]
            : []),
          ...(employerPays ? row(words.say('scenarios.employer'), 'employer.total', 0) : []),
          ...(plans.some(givesMoney)
            ? [
                ...row(words.say('scenarios.employer-gives'), 'employer.gives', 0),
                ...row(words.say('scenarios.left-to-pay'), 'employer.left-to-pay', 0),
              ]
            : []),
          ...row(words.say('scenarios.hours'), 'work.own.hours', 0),
          ...row(words.say('scenarios.value'), 'work.own.value', 0),
          ...row(words.say('scenarios.days'), 'time.door-to-door'),
        ],
      },
    ],
  }
}

import type { Recommendation } from '../analysis/recommend.js'
import type { TornadoBar } from '../analysis/tornado.js'
import type { Block, Inline, Text } from '../paper/blocks.js'
import { inputText, listed } from '../paper/format.js'
import type { Plan } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { type BriefSource, difference, endFigure, figure, hasCell, size } from './figure.js'
import { carriageWords, dayText, planWords } from './names.js'

const HAND_WORK: readonly (readonly [service: string, words: string])[] = [
  ['packing', 'packing'],
  ['dismantling', 'taking furniture apart'],
  ['loading', 'loading'],
  ['unloading', 'unloading'],
  ['unpacking', 'unpacking'],
  ['assembly', 'putting furniture together'],
]

/** Who does the work by hand: `you do the packing and the unpacking; the mover does the loading`. */
function handsText(source: BriefSource): string {
  const who = providers(source.move, source.recommended)
  const doing = (provider: string) =>
    HAND_WORK.filter(([service]) => who.get(service) === provider).map(([, words]) => words)
  const parts = (
    [
      ['you do the', doing('self')],
      ['friends help with the', doing('friends')],
      ['the mover does the', doing('mover')],
      ['the employer pays for the', doing('employer')],
    ] as const
  ).flatMap(([start, works]) => (works.length > 0 ? [`${start} ${listed(works)}`] : []))
  return parts.join('; ')
}

/** The lines that make most of the difference between two plans, in words. */
function mainReasons(plan: Plan, other: Plan, cheaper: boolean): string {
  const gaps = [...plan.sheet.cells.values()]
    .filter(({ id }) => /^cost\.(origin|crossing|destination|customs|cover)\.(?!total$|wage$)/.test(id))
    .flatMap(({ id, label, value }) => {
      const theirs = other.sheet.cells.get(id)?.value
      return theirs ? [{ label: label.toLowerCase(), gap: theirs.minus(value) }] : []
    })
    .filter(({ gap }) => (cheaper ? gap.gt(0) : gap.lt(0)))
    .sort((a, b) => b.gap.abs().cmp(a.gap.abs()))
  return listed(gaps.slice(0, 2).map(({ label }) => label))
}

function comparisons(source: BriefSource): Text[] {
  const { recommended, plans } = source
  return plans
    .filter((plan) => plan !== recommended)
    .map((other) => {
      const gap = difference(source, other, recommended, 'cost.total', 0)
      const cheaper = gap.value.gte(0)
      const reasons = mainReasons(recommended, other, cheaper)
      const hours = difference(source, recommended, other, 'work.own.hours', 0)
      const text: Inline[] = [
        `Against \u201c${other.name}\u201d it ${cheaper ? 'saves' : 'costs'} `,
        size(gap),
        cheaper ? '' : ' more',
        reasons === '' ? '' : `, mostly ${reasons}`,
      ]
      if (!hours.value.isZero()) {
        text.push(hours.value.gt(0) ? ', for ' : ', and spares ', size(hours), ' of your own work')
      }
      return [...text, '. ']
    })
}

/** The paragraph a client can act on, and the figures to remember. */
export function recommendationBlocks(
  source: BriefSource,
  recommendation: Recommendation,
  widest: TornadoBar | undefined,
): Block[] {
  const { move, recommended: plan } = source
  const words = planWords(move, plan)
  const cover = move.reference.covers.find((c) => c.id === words.cover)
  const load = plan.inputs.choices.get('load-on')?.value ?? move.household.facts.load_on
  const text: Inline[] = [
    'We recommend ',
    ...recommendation.words.map((word) =>
      typeof word === 'string' ? word : figure(source, plan, word.cell, 0),
    ),
    ` Book ${carriageWords(move, plan)}, to be loaded on ${dayText(load)} in ${
      move.household.facts.origin_place
    }. In this plan ${handsText(source)}. `,
    ...(cover
      ? [
          `Insure the goods under \u201c${cover.label.toLowerCase()}\u201d for `,
          figure(source, plan, 'value.insured', 0),
          ' (premium ',
          figure(source, plan, 'cost.cover.premium', 0),
          '). ',
        ]
      : ['Nothing is insured in this plan. ']),
    'Expect to pay ',
    figure(source, plan, 'cost.total', 0),
    ' if every figure turns out as likely; eight moves in ten end between ',
    endFigure(source, plan, 'p10'),
    ' and ',
    endFigure(source, plan, 'p90'),
    '. ',
  ]
  const why: Inline[] = [...comparisons(source).flat(), `${recommendation.rule} `]
  const valued = source.plans.filter((p) => p.sheet.cells.get('work.own.value')?.value.gt(0))
  if (valued.length > 0) {
    why.push('What you said an hour of your own is worth makes ')
    valued.forEach((p, i) => {
      why.push(
        i === 0 ? '' : i === valued.length - 1 ? ' and ' : ', ',
        figure(source, p, 'work.own.value', 0),
        ` of work in \u201c${p.name}\u201d`,
      )
    })
    why.push('; the totals leave it out. ')
  }
  const open: Inline[] = widest
    ? [
        `What could change the total most is \u201c${widest.label}\u201d (${inputText(widest.low, widest.unit)} to ${inputText(
          widest.high,
          widest.unit,
        )}). Settle that first.`,
      ]
    : []
  const fact = (label: string, ...inline: Inline[]) => ({ label, text: inline })
  return [
    { kind: 'paragraph', lead: true, text },
    ...(why.length > 0 ? [{ kind: 'paragraph' as const, text: why }] : []),
    ...(open.length > 0 ? [{ kind: 'paragraph' as const, text: open }] : []),
    {
      kind: 'facts',
      facts: [
        fact('Total', figure(source, plan, 'cost.total', 0)),
        fact('Eight moves in ten', endFigure(source, plan, 'p10'), ' to ', endFigure(source, plan, 'p90')),
        fact('Goods, packed', figure(source, plan, 'volume.packed')),
        ...(hasCell(plan, 'time.door-to-door')
          ? [fact('Door to door', figure(source, plan, 'time.door-to-door'))]
          : []),
        fact('Your own work', figure(source, plan, 'work.own.hours', 0)),
      ],
    },
  ]
}

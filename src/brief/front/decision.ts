import type { Decimal } from 'decimal.js'
import { leftBehind } from '../../analysis/left-behind.js'
import type { Block, Figure, Inline, Section, Text } from '../../paper/blocks.js'
import { type Several, several } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import type { Plan } from '../../plan/move.js'
import { PHASES } from '../../plan/phases.js'
import { providers } from '../../plan/providers.js'
import { openWords } from '../customs-brief.js'
import { type BriefSource, difference, figure, hasCell, inputCounts, size } from '../figure.js'
import { inputLabel, planWords } from '../names.js'
import { carriageText, coverLabel, loadingDay } from './carriage.js'

/** The one input that alone moves the total most. */
export interface WidestInput {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly low: Decimal
  readonly high: Decimal
  /** How far the total moves between the two. */
  readonly swing: Decimal
}

/** P10 and P90 of a scenario's total. */
export interface LikelyRange {
  readonly low: Decimal
  /** Half of the moves end above it. */
  readonly half: Decimal
  readonly high: Decimal
}

/** What the decision is told from besides the plans. */
export interface DecisionFacts {
  readonly widest?: WidestInput
  readonly ranges: ReadonlyMap<string, LikelyRange>
  /** Somebody named the scenario, so nothing was compared. */
  readonly named: boolean
  /** The cover stated would leave the household more than it can bear, and was changed. */
  readonly coverChanged: boolean
  /** What forbids even this plan. */
  readonly stops: readonly string[]
  /** The scenarios by phase of the move. */
  readonly chart: Block
}

const HAND_WORK = ['packing', 'dismantling', 'loading', 'unloading', 'unpacking', 'assembly'] as const

/** What to do, why, and what it rests on: the first page. */
export function decisionSection(source: BriefSource, words: Words, facts: DecisionFacts): Section {
  const { move, recommended: plan, plans } = source
  const range = facts.ranges.get(plan.name)
  const lead: Inline[] = [
    ...words.write('decision.take', {
      scenario: plan.name,
      carriage: carriageText(words, move, plan),
      date: loadingDay(words, move, plan),
      place: move.household.facts.origin_place,
    }),
    ' ',
    ...(planWords(move, plan).cover === 'none'
      ? words.write('decision.no-cover', {})
      : words.write('decision.cover', {
          cover: coverLabel(words, move, plan),
          insured: figure(source, plan, 'value.insured', 0),
          premium: figure(source, plan, 'cost.cover.premium', 0),
        })),
    ' ',
    ...words.write('decision.total', { total: figure(source, plan, 'cost.total', 0) }),
    ...(givesMoney(plan)
      ? [
          ' ',
          ...words.write('decision.employer', {
            gives: figure(source, plan, 'employer.gives', 0),
            left: figure(source, plan, 'employer.left-to-pay', 0),
          }),
        ]
      : []),
    ...(range
      ? [' ', ...words.write('decision.range', ends(source, plan, range)), ...belowText(plan, range, words)]
      : []),
    ...openText(source, words),
    ...leftText(source, words),
  ]
  const others = plans.filter((other) => other !== plan)
  return {
    id: 'decision',
    title: words.say('decision.title'),
    blocks: [
      ...(facts.stops.length > 0
        ? [
            {
              kind: 'warnings' as const,
              warnings: facts.stops.map((text) => ({
                severity: 'stop' as const,
                text,
                scenarios: [],
                cells: [],
              })),
            },
          ]
        : []),
      { kind: 'paragraph', lead: true, text: lead },
      { kind: 'list', items: handsItems(source, words) },
      {
        kind: 'facts',
        facts: [
          { label: words.say('fact.total'), text: [figure(source, plan, 'cost.total', 0)] },
          ...(range
            ? [
                {
                  label: words.say('fact.between'),
                  text: words.write('fact.and', ends(source, plan, range)),
                },
              ]
            : []),
          { label: words.say('fact.packed'), text: [figure(source, plan, 'volume.packed')] },
          ...(hasCell(plan, 'time.door-to-door')
            ? [{ label: words.say('fact.days'), text: [figure(source, plan, 'time.door-to-door')] }]
            : []),
          { label: words.say('fact.hours'), text: [figure(source, plan, 'work.own.hours', 0)] },
        ],
      },
      facts.chart,
      { kind: 'heading', text: words.say('decision.why') },
      {
        kind: 'paragraph',
        text: [
          words.say(facts.named ? 'decision.named' : 'decision.rule'),
          ...(facts.coverChanged ? [' ', words.say('decision.cover-changed')] : []),
        ],
      },
      ...(others.length > 0
        ? [{ kind: 'list' as const, items: others.map((other) => comparison(source, words, other)) }]
        : []),
      { kind: 'heading', text: words.say('decision.rests') },
      { kind: 'paragraph', text: basisText(source, words, facts.widest) },
    ],
  }
}

/** Both ends of the range of a plan's total. */
export function ends(
  source: BriefSource,
  plan: Plan,
  { low, half, high }: LikelyRange,
): Readonly<Record<'low' | 'half' | 'high', Figure>> {
  const total = figure(source, plan, 'cost.total', 0)
  return {
    low: { ...total, value: low, how: 'P10 of the simulation' },
    half: { ...total, value: half, how: 'P50 of the simulation' },
    high: { ...total, value: high, how: 'P90 of the simulation' },
  }
}

/** Does an employer give money towards what the household pays? */
export const givesMoney = ({ sheet }: Plan): boolean =>
  sheet.cells.get('employer.gives')?.value.gt(0) ?? false

/** What customs could not determine stands beside the total that lacks it. */
function openText({ recommended: plan }: BriefSource, words: Words): Inline[] {
  const open = plan.sheet.customs.undetermined.map(({ what }) => openWords(words, what))
  return open.length === 0 ? [] : [' ', words.say('decision.open', { what: words.locale.list(open) })]
}

/** Why the planned total may stand below the range in which most moves end. */
function belowText(plan: Plan, { low }: LikelyRange, { line }: Words): Inline[] {
  return plan.sheet.cells.get('cost.total')?.value.lt(low)
    ? [
        ' ',
        line`The total at likely prices lies below all of these, because most figures can go further up than down.`,
      ]
    : []
}

/** What the plan leaves behind that another scenario ships. */
function leftText({ plans, recommended: plan }: BriefSource, { line }: Words): Inline[] {
  const left = leftNames(plan, plans)
  return left === undefined
    ? []
    : [' ', line`It leaves ${left} behind: what that sells for and what replaces it stand in no total.`]
}

/** What a plan leaves behind that another ships, the first three by name; nothing where there is none. */
export function leftNames(plan: Plan, plans: readonly Plan[]): Several | undefined {
  const left = leftBehind(plan, plans).map(({ label }) => label)
  return left.length === 0 ? undefined : several(left, 3)
}

/** Who does the work by hand, one line each. */
function handsItems({ move, recommended }: BriefSource, words: Words): Text[] {
  const who = providers(move, recommended)
  return (['self', 'friends', 'hired', 'mover', 'employer'] as const).flatMap((provider) => {
    const works = HAND_WORK.filter((service) => who.get(service) === provider).map((service) =>
      words.inSentence(serviceLabel(words, move.reference.services, service)),
    )
    return works.length === 0
      ? []
      : [[words.say(`hands.${provider}`, { works: words.locale.list(works) })] as Text]
  })
}

/** A service by its label in the language of the paper. */
export const serviceLabel = (
  words: Words,
  services: readonly { readonly id: string; readonly label: string }[],
  id: string,
): string => words.label(`service.${id}`, services.find((s) => s.id === id)?.label ?? id)

function comparison(source: BriefSource, words: Words, other: Plan): Text {
  const { recommended } = source
  const gap = difference(source, other, recommended, 'cost.total', 0)
  if (gap.value.round().isZero())
    return [...words.write('decision.same', { other: other.name }), ...hoursText(source, words, other)]
  const cheaper = gap.value.gte(0)
  const mostly = mainReasons(source, words, other, cheaper)
  return [
    ...words.write(cheaper ? 'decision.saves' : 'decision.costs', { other: other.name, gap: size(gap) }),
    ...(mostly.length === 0 ? [] : words.write('decision.mostly', { what: words.locale.list(mostly) })),
    ...hoursText(source, words, other),
  ]
}

function hoursText(source: BriefSource, words: Words, other: Plan): Text {
  const { recommended } = source
  const hours = difference(source, recommended, other, 'work.own.hours', 0)
  if (hours.value.round().isZero()) return [words.say('decision.same-hours')]
  const value = difference(source, recommended, other, 'work.own.value', 0)
  const which = hours.value.gt(0) ? 'decision.more-hours' : 'decision.fewer-hours'
  return value.value.isZero()
    ? words.write(which, { hours: size(hours) })
    : words.write(`${which}-valued`, { hours: size(hours), value: size(value) })
}

/** The lines that make most of the difference between two plans. */
function mainReasons(
  { move, recommended }: BriefSource,
  words: Words,
  other: Plan,
  cheaper: boolean,
): readonly string[] {
  const phases = PHASES.map(({ phase }) => phase).join('|')
  const lines = new RegExp(`^cost\\.(?:${phases})\\.(?!total$)(.+)$`)
  return [...recommended.sheet.cells.values()]
    .filter(({ kind, unit }) => kind === 'derived' && unit === move.household.facts.currency)
    .flatMap(({ id, label, value }) => {
      const service = lines.exec(id)?.[1]
      const theirs = other.sheet.cells.get(id)?.value
      if (service === undefined || !theirs) return []
      const known = move.reference.services.some((s) => s.id === service)
      const shown = known
        ? serviceLabel(words, move.reference.services, service)
        : service === 'premium'
          ? words.say('phase.cover')
          : label
      return [{ shown: words.inSentence(shown), gap: theirs.minus(value) }]
    })
    .filter(({ gap }) => (cheaper ? gap.gt(0) : gap.lt(0)))
    .sort((a, b) => b.gap.abs().cmp(a.gap.abs()))
    .slice(0, 2)
    .map(({ shown }) => shown)
}

function basisText(source: BriefSource, words: Words, widest: WidestInput | undefined): Text {
  const { recommended: plan } = source
  const basis = words.write('decision.basis', inputCounts(plan))
  if (!widest) return basis
  return [
    ...basis,
    ' ',
    ...words.write('decision.widest', {
      input: inputLabel(words, source.move, widest.id, widest.label),
      range: words.locale.range(widest.low, widest.high, widest.unit, (low, high) =>
        words.say('fact.and', { low, high }),
      ),
      swing: {
        ...figure(source, plan, 'cost.total', 0),
        value: widest.swing,
        how: `effect of ${widest.id}`,
      },
    }),
  ]
}

import { type Recommendation, recommend } from '../analysis/recommend.js'
import { recordScenarios } from '../analysis/recorded-scenarios.js'
import { scenarioTornado } from '../analysis/tornado.js'
import { totalRanges } from '../analysis/total-ranges.js'
import { stowageStops } from '../analysis/warnings/stowage.js'
import { warnings } from '../analysis/warnings.js'
import type { ChartTheme } from '../charts/specs/index.js'
import type { LoadResult } from '../load/index.js'
import type { Block, PaperData, Section } from '../paper/blocks.js'
import { ENGLISH_WORDS, type Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import { Exact, exact } from '../quantity/exact.js'
import type { AnnexId } from './annexes.js'
import { customsBrief, stopText } from './customs-brief.js'
import { moveDates } from './dates.js'
import type { BriefSource } from './figure.js'
import { decisionSection, type LikelyRange } from './front/decision.js'
import { phasesBlock } from './front/phases.js'
import { scenariosSection } from './front/scenarios.js'
import { basisSection } from './sections/basis.js'
import { cautionsSection, traceSection } from './sections/cautions.js'
import { containerSection } from './sections/containers.js'
import { costSection } from './sections/costs.js'
import { coverSection } from './sections/cover.js'
import { type CustomsBrief, customsSection } from './sections/customs.js'
import { inventorySection } from './sections/inventory.js'
import { loadSection } from './sections/load.js'
import { timeSection } from './sections/time.js'
import { volumeSection } from './sections/volume.js'

/** What a brief can hold beyond the plans themselves. */
export interface BriefExtras {
  /** Scenario to recommend; without it the one that asks least of the household, in money and own hours. */
  readonly recommend?: string
  /** The recommendation, where it has been made before. */
  readonly recommendation?: Recommendation
  /** What to say about customs instead of what the plan's customs step found. */
  readonly customs?: CustomsBrief
  /** A packed container of the recommended scenario; without it the brief says nothing of single pieces. */
  readonly load?: LoadResult
}

/** Every section of a brief: those that lead the pages that are sent, and those that are looked up. */
export interface BriefSections {
  readonly decision: Section
  readonly scenarios: Section
  readonly annexes: ReadonlyMap<AnnexId, Section>
}

/** The sections that both the brief that is sent and the pages of an analyst are made of, in the language of `words`. */
export function briefSections(
  source: BriefSource,
  recommendation: Recommendation,
  words: Words,
  theme: ChartTheme,
  extras: BriefExtras = {},
): BriefSections {
  const { move, recommended } = source
  const ranges = likelyRanges(source)
  const moved = recordScenarios(move, [recommended])
    .flatMap((scenario) => scenarioTornado(scenario, 'cost.total'))
    .filter(({ effect }) => effect > 0)
  const [widest] = moved
  const customs = extras.customs ?? customsBrief(move, recommended, words)
  const { load } = extras
  return {
    decision: decisionSection(source, words, {
      ranges,
      named: recommendation.named,
      coverChanged: recommendation.coverChanged,
      stops: stopsOf(source, words),
      chart: phasesBlock(source, words, theme),
      ...(widest ? { widest: { ...widest, swing: new Exact(widest.effect) } } : {}),
    }),
    scenarios: scenariosSection(source, words, ranges),
    annexes: new Map<AnnexId, Section>([
      ['costs', costSection(source, words, theme, ranges)],
      ['volume', volumeSection(source, words, theme)],
      ['containers', containerSection(source, words, theme)],
      // The load plan stands beside the cubic metres that it confirms or contradicts.
      ...(load ? [['load', loadSection(load, words)] as const] : []),
      ...(customs ? [['customs', customsSection(source, words, customs)] as const] : []),
      ['cover', coverSection(source, words, theme)],
      ['dates', timeSection(source, words, theme, moveDates(move, recommended, words), customs)],
      ['warnings', warningSection(source, words)],
      ['cautions', cautionsSection(words)],
      ['basis', basisSection(source, words, theme, moved)],
      ['inventory', inventorySection(source, words)],
      ['trace', traceSection(words)],
    ]),
  }
}

/**
 * The sections of a brief as one paper, for notebooks and pages on which they are looked at one by one: in English
 * unless other words are given, and without a disk.
 *
 * @param stated the scenarios, planned; at least one
 * @param theme the look of the charts, shared/chart-theme.json
 *
 * Throws one sentence where the recommended scenario is none of the plans.
 */
export function briefData(
  move: Move,
  stated: readonly Plan[],
  theme: ChartTheme,
  extras: BriefExtras = {},
  words: Words = ENGLISH_WORDS,
): PaperData {
  const recommendation = extras.recommendation ?? recommend(move, stated, extras.recommend)
  const source = briefSource(move, recommendation)
  const { decision, scenarios, annexes } = briefSections(source, recommendation, words, theme, extras)
  return {
    ...paperHead(source, words),
    kind: words.say('paper.brief'),
    sections: [decision, scenarios, ...annexes.values()].filter(({ blocks }) => blocks.length > 0),
  }
}

/** What stands over every paper of a move. */
export function paperHead({ move, recommended }: BriefSource, words: Words) {
  const { facts } = move.household
  return {
    household: facts.name,
    from: words.locale.place(facts.origin_place, facts.origin_country),
    to: words.locale.place(facts.destination_place, facts.destination_country),
    stated: words.say('paper.stated', { date: words.locale.day(facts.as_of), currency: facts.currency }),
    recommended: recommended.name,
  }
}

/** P10 and P90 of the total of every scenario. */
const likelyRanges = ({ move, plans }: BriefSource): ReadonlyMap<string, LikelyRange> =>
  new Map(
    totalRanges(move, plans).map(({ scenario, p10, p50, p90 }) => [
      scenario,
      { low: exact.of(p10), half: exact.of(p50), high: exact.of(p90) },
    ]),
  )

/** What forbids even the recommended plan, each sentence once. */
const stopsOf = ({ recommended }: BriefSource, words: Words): string[] => [
  ...new Set([
    ...recommended.sheet.customs.stops.map((stop) => stopText(words, stop)),
    ...stowageStops(recommended).map(({ says }) => words.tell(says)),
  ]),
]

/** What every part of a brief is written from. */
export function briefSource(move: Move, { plan, plans }: Recommendation): BriefSource {
  const { currency } = move.household.facts
  const minorUnits = move.reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  return { move, plans, recommended: plan, minorUnits }
}

/** Warnings of all scenarios; one that several share is told once and names them. */
function warningSection({ move, plans }: BriefSource, words: Words): Section {
  const told = new Map<string, Extract<Block, { kind: 'warnings' }>['warnings'][number]>()
  for (const plan of plans) {
    for (const { severity, says, cells } of warnings(move, plan)) {
      const text = words.tell(says)
      const before = told.get(text)
      told.set(text, { severity, text, cells, scenarios: [...(before?.scenarios ?? []), plan.name] })
    }
  }
  const rank = { stop: 0, care: 1, note: 2 }
  const sorted = [...told.values()].sort((a, b) => rank[a.severity] - rank[b.severity])
  return {
    id: 'warnings',
    title: words.say('annex.warnings'),
    blocks: sorted.length > 0 ? [{ kind: 'warnings', warnings: sorted }] : [],
  }
}

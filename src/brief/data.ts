import { type Recommendation, recommend } from '../analysis/recommend.js'
import { recordScenarios } from '../analysis/recorded-scenarios.js'
import { scenarioTornado } from '../analysis/tornado.js'
import { warnings } from '../analysis/warnings.js'
import type { ChartTheme } from '../charts/specs/index.js'
import type { LoadResult } from '../load/index.js'
import type { Block, PaperData, Section } from '../paper/blocks.js'
import type { Move, Plan } from '../plan/move.js'
import { Exact } from '../quantity/exact.js'
import { customsBrief } from './customs-brief.js'
import { moveDates } from './dates.js'
import type { BriefSource } from './figure.js'
import type { WidestInput } from './front/decision.js'
import { dayText } from './names.js'
import { recommendationBlocks } from './recommendation.js'
import { basisSection } from './sections/basis.js'
import { cautionsSection, traceSection } from './sections/cautions.js'
import { containerSection } from './sections/containers.js'
import { costSection } from './sections/costs.js'
import { coverSection } from './sections/cover.js'
import { type CustomsBrief, customsSection } from './sections/customs.js'
import { loadSection } from './sections/load.js'
import { scenarioSection } from './sections/scenarios.js'
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

/**
 * The client brief of a move: recommendation first, then what it rests on.
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
): PaperData {
  const { facts } = move.household
  const recommendation = extras.recommendation ?? recommend(move, stated, extras.recommend)
  const source = briefSource(move, recommendation)
  const { recommended } = source
  const moved = recordScenarios(move, [recommended])
    .flatMap((scenario) => scenarioTornado(scenario, 'cost.total'))
    .filter(({ effect }) => effect > 0)
  const customs = extras.customs ?? customsBrief(move, recommended)
  const sections: Section[] = [
    {
      id: 'recommendation',
      title: 'Recommendation',
      blocks: recommendationBlocks(source, recommendation, moved[0]),
    },
    warningSection(source),
    scenarioSection(source, theme),
    costSection(source, theme),
    volumeSection(source, theme),
    containerSection(source, theme),
    // The load plan stands beside the cubic metres that it confirms or contradicts.
    ...(extras.load ? [loadSection(extras.load)] : []),
    ...(customs ? [customsSection(source, customs)] : []),
    coverSection(source, theme),
    timeSection(source, theme, moveDates(move, recommended), customs),
    basisSection(source, theme, moved),
    cautionsSection(),
    traceSection(),
  ]
  return {
    household: facts.name,
    from: `${facts.origin_place}, ${facts.origin_country}`,
    to: `${facts.destination_place}, ${facts.destination_country}`,
    kind: 'Moving brief',
    stated: `Prices and rules as of ${dayText(facts.as_of)}. Amounts in ${facts.currency}.`,
    recommended: recommended.name,

    sections: sections.filter((section) => section.blocks.length > 0),
  }
}

/** What every part of a brief is written from. */
export function briefSource(move: Move, { plan, plans }: Recommendation): BriefSource {
  const { currency } = move.household.facts
  const minorUnits = move.reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  return { move, plans, recommended: plan, minorUnits }
}

/** The one input that alone moves the total of a plan most; nothing where no input is a range. */
export function widestInput(move: Move, plan: Plan): WidestInput | undefined {
  const [first] = recordScenarios(move, [plan]).flatMap((scenario) => scenarioTornado(scenario, 'cost.total'))
  if (!first || first.effect === 0) return undefined
  const { id, label, unit, low, high, effect } = first
  return { id, label, unit, low, high, swing: new Exact(effect) }
}

/** Warnings of all scenarios; one that several share is told once and names them. */
function warningSection({ move, plans }: BriefSource): Section {
  const told = new Map<string, Extract<Block, { kind: 'warnings' }>['warnings'][number]>()
  for (const plan of plans) {
    for (const { severity, text, cells } of warnings(move, plan)) {
      const before = told.get(text)
      told.set(text, { severity, text, cells, scenarios: [...(before?.scenarios ?? []), plan.name] })
    }
  }
  const rank = { stop: 0, care: 1, note: 2 }
  const sorted = [...told.values()].sort((a, b) => rank[a.severity] - rank[b.severity])
  return {
    id: 'warnings',
    title: 'Warnings',
    blocks: sorted.length > 0 ? [{ kind: 'warnings', warnings: sorted }] : [],
  }
}

import type { Recommendation } from '../analysis/recommend.js'
import { totalRanges } from '../analysis/total-ranges.js'
import type { ChartTheme } from '../charts/specs/index.js'
import type { Comparison } from '../movers/compare.js'
import type { PaperData, Section, Sender } from '../paper/blocks.js'
import type { Words } from '../paper/words.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import { type Annex, type AnnexId, annexList, lettered } from './annexes.js'
import { type BriefExtras, briefData, briefSource, widestInput } from './data.js'
import { moveDates } from './dates.js'
import { shortCautions } from './front/cautions.js'
import { datesSection } from './front/dates.js'
import { decisionSection } from './front/decision.js'
import { moversSection } from './front/movers.js'
import { paperDays, papersSection } from './front/papers.js'
import { phasesBlock } from './front/phases.js'
import { scenariosSection } from './front/scenarios.js'
import { inventorySection } from './sections/inventory.js'

/** What is chosen about the paper, besides what the brief itself is made from. */
export interface PaperChoices extends BriefExtras {
  readonly sender?: Sender
  /** The movers who answered, compared for the recommended plan. */
  readonly movers?: Comparison
  /** Annexes that stand behind the pages that are sent; the others go into a file of their own. */
  readonly annexes?: readonly AnnexId[]
}

/** The brief as it is sent, and the paper of its other annexes where there are any. */
export interface BriefPapers {
  readonly brief: PaperData
  readonly annexes: PaperData | undefined
}

/**
 * The client brief in a language: decision, scenarios, movers, dates, papers, cautions; then the annexes chosen. The
 * other annexes are a paper of their own.
 *
 * @param recommendation of the scenarios, with the plans to show
 */
export function briefPapers(
  move: Move,
  recommendation: Recommendation,
  theme: ChartTheme,
  words: Words,
  choices: PaperChoices = {},
): BriefPapers {
  const source = briefSource(move, recommendation)
  const { plans } = source
  const { facts } = move.household
  const ranges = new Map(
    totalRanges(move, plans).map(({ scenario, p10, p90 }) => [
      scenario,
      { low: exact.of(p10), high: exact.of(p90) },
    ]),
  )
  const widest = widestInput(move, source.recommended)
  const annexes = annexesOf(source, words, briefData(move, plans, theme, { ...choices, recommendation }))
  const inside = new Set(choices.annexes ?? [])
  const front: Section[] = [
    decisionSection(source, words, {
      ranges,
      named: recommendation.named,
      coverChanged: recommendation.coverChanged,
      stops: recommendation.stops,
      chart: phasesBlock(source, words, theme),
      ...(widest ? { widest } : {}),
    }),
    scenariosSection(source, words, ranges),
    moversSection(source, words, choices.movers),
    datesSection(source, words, moveDates(move, source.recommended), paperDays(source, words)),
    papersSection(source, words),
    shortCautions(words),
    annexList(words, annexes, inside),
  ]
  const head = {
    household: facts.name,
    from: `${facts.origin_place}, ${facts.origin_country}`,
    to: `${facts.destination_place}, ${facts.destination_country}`,
    stated: words.say('paper.stated', {
      date: words.locale.day(facts.as_of),
      currency: facts.currency,
    }),
    recommended: source.recommended.name,
    ...(choices.sender ? { sender: choices.sender } : {}),
  }
  const sections = (wanted: (annex: Annex) => boolean) => annexes.filter(wanted).map(({ section }) => section)
  const others = sections(({ id }) => !inside.has(id))
  return {
    brief: {
      ...head,
      kind: words.say('paper.brief'),
      sections: [...front, ...sections(({ id }) => inside.has(id))],
    },
    annexes: others.length > 0 ? { ...head, kind: words.say('paper.annexes'), sections: others } : undefined,
  }
}

/** The sections of the full brief as annexes, under their letters. */
function annexesOf(
  source: ReturnType<typeof briefSource>,
  words: Words,
  { sections }: PaperData,
): readonly Annex[] {
  const found = (id: string) => sections.find((section) => section.id === id)
  return lettered(
    words,
    new Map<AnnexId, Section | undefined>([
      ['costs', found('costs')],
      ['volume', found('volume')],
      ['containers', found('containers')],
      ['load', found('load')],
      ['customs', found('customs')],
      ['cover', found('cover')],
      ['dates', found('dates')],
      ['warnings', found('warnings')],
      ['basis', found('basis')],
      ['inventory', inventorySection(source)],
      ['trace', found('trace')],
    ]),
  )
}

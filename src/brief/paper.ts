import type { Recommendation } from '../analysis/recommend.js'
import type { ChartTheme } from '../charts/specs/index.js'
import type { Comparison } from '../movers/compare.js'
import type { PaperData, Section, Sender } from '../paper/blocks.js'
import type { Words } from '../paper/words.js'
import type { Move } from '../plan/move.js'
import { type Annex, type AnnexId, annexList, lettered } from './annexes.js'
import { type BriefExtras, briefSections, briefSource, paperHead } from './data.js'
import { moveDates } from './dates.js'
import { shortCautions } from './front/cautions.js'
import { datesSection } from './front/dates.js'
import { moversSection } from './front/movers.js'
import { papersSection } from './front/papers.js'

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
  const parts = briefSections(source, recommendation, words, theme, choices)
  const annexes = lettered(words, parts.annexes)
  const inside = new Set(choices.annexes ?? [])
  const front: Section[] = [
    parts.decision,
    parts.scenarios,
    moversSection(source, words, choices.movers),
    datesSection(source, words, moveDates(move, source.recommended, words)),
    papersSection(source, words),
    shortCautions(words),
    annexList(words, annexes, inside),
  ]
  const head = { ...paperHead(source, words), ...(choices.sender ? { sender: choices.sender } : {}) }
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

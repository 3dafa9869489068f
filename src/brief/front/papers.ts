import { warnings } from '../../analysis/warnings.js'
import { documentsDue } from '../../customs/papers/documents.js'
import { type RestrictionHit, restrictions } from '../../customs/papers/restrictions.js'
import { type Block, cell, type Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { customsSummary, paperName } from '../customs-brief.js'
import type { BriefSource } from '../figure.js'

/** How many restricted goods stand on the page that is sent; all of them are in the annex on customs. */
const SHOWN = 8
/** How many things a row names before it counts the rest. */
const NAMED = 3
/** Gravest first. */
const ACTIONS = ['leave', 'permit', 'declare', 'treat', 'clean', 'use up', 'ask']

const papersOf = ({ move, recommended }: Pick<BriefSource, 'move' | 'recommended'>) =>
  recommended.sheet.customs.assessments.length === 0
    ? []
    : documentsDue(move.reference.customs, recommended.sheet.customs.move, move.household.facts.as_of)

/** What customs asks, the papers, restricted goods, and what stops the move or may cost dear. */
export function papersSection(source: BriefSource, words: Words): Section {
  const { move, recommended: plan } = source
  const { customs } = plan.sheet
  const known = customs.assessments.length > 0
  const hits = known ? restrictions(move.reference.customs, customs.move) : []
  return {
    id: 'papers',
    title: words.say('papers.title'),
    blocks: [
      ...graveWarnings(source, words),
      {
        kind: 'paragraph',
        text: [
          known ? customsSummary(words, customs.assessments) : words.say('papers.no-customs'),
          ' ',
          words.say('papers.authority'),
        ],
      },
      ...(known ? [papersTable(source, words)] : []),
      ...(hits.length > 0 ? [restrictedTable(hits, words)] : []),
    ],
  }
}

function papersTable(source: BriefSource, words: Words): Block {
  return {
    kind: 'table',
    caption: words.say('papers.caption'),
    columns: [
      { label: words.say('papers.paper') },
      { label: words.say('papers.side') },
      { label: words.say('papers.by') },
    ],
    rows: papersOf(source).map(({ label, form, side, due }) => ({
      cells: [
        cell(paperName(words, label, form)),
        cell(words.say(`papers.${side}`)),
        cell(
          due === undefined ? words.say('papers.in-time') : words.locale.day(due).replaceAll(' ', '\u00a0'),
        ),
      ],
    })),
  }
}

/** Goods that fall under the same rule stand in one row. */
function restrictedTable(hits: readonly RestrictionHit[], words: Words): Block {
  const byRule = new Map<string, { hit: RestrictionHit; things: string[] }>()
  for (const hit of hits) {
    const rule = byRule.get(hit.rule.what_to_do) ?? { hit, things: [] }
    rule.things.push(hit.label)
    byRule.set(hit.rule.what_to_do, rule)
  }
  const gravity = ({ hit }: { hit: RestrictionHit }) => {
    const at = ACTIONS.indexOf(hit.rule.action)
    return at < 0 ? ACTIONS.length : at
  }
  const rows = [...byRule.values()].sort((a, b) => gravity(a) - gravity(b)).slice(0, SHOWN)
  return {
    kind: 'table',
    caption: words.say('papers.restricted'),
    columns: [{ label: words.say('papers.thing') }, { label: words.say('papers.todo') }],
    rows: rows.map(({ hit, things }) => ({
      cells: [cell(fewOf(words, [...new Set(things)])), cell(words.phrase(hit.rule.what_to_do))],
    })),
  }
}

/** The first of many things; the rest are counted. */
function fewOf(words: Words, things: readonly string[]): string {
  if (things.length <= NAMED + 1) return things.join('; ')
  return words.say('paper.more', {
    words: things.slice(0, NAMED).join('; '),
    count: String(things.length - NAMED),
  })
}

/** What stops the recommended plan, or may cost it dear. */
function graveWarnings({ move, recommended: plan }: BriefSource, words: Words): Block[] {
  const grave = warnings(move, plan).filter(({ severity }) => severity !== 'note')
  if (grave.length === 0) return []
  return [
    { kind: 'heading', text: words.say('papers.stops') },
    { kind: 'warnings', warnings: grave.map((w) => ({ ...w, text: words.tell(w.says), scenarios: [] })) },
  ]
}

import { cell, type Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { type BriefSource, bare, figure } from '../figure.js'

const PARTS = ['stated', 'for-volume', 'left-out', 'not-wanted', 'like-for-like'] as const
const HEADS = {
  stated: 'movers.stated',
  'for-volume': 'movers.for-volume',
  'left-out': 'movers.left-out',
  'not-wanted': 'movers.not-wanted',
  'like-for-like': 'movers.levelled',
} as const

/** Movers' offers on one footing for the recommended scenario; where none is in, how to bring them in. */
export function moversSection(source: BriefSource, words: Words): Section {
  const { recommended: plan, move } = source
  const offers = [...plan.sheet.cells.keys()].flatMap((id) => /^quotes\.(.+)\.stated$/.exec(id)?.[1] ?? [])
  const section = (blocks: Section['blocks']): Section => ({
    id: 'movers',
    title: words.say('movers.title'),
    blocks,
  })
  if (offers.length === 0) return section([{ kind: 'paragraph', text: [words.say('movers.none')] }])
  const levelled = (offer: string) => plan.sheet.cells.get(`quotes.${offer}.like-for-like`)?.value
  const sorted = [...offers].sort((a, b) => {
    const [x, y] = [levelled(a), levelled(b)]
    return x && y ? x.cmp(y) : 0
  })
  return section([
    {
      kind: 'table',
      caption: words.say('movers.caption', {
        scenario: plan.name,
        currency: move.household.facts.currency,
      }),
      columns: [
        { label: words.say('movers.offer') },
        ...PARTS.map((part) => ({ label: words.say(HEADS[part]), numeric: true })),
      ],
      rows: sorted.map((offer) => ({
        cells: [
          cell(offer),
          ...PARTS.map((part) => cell(bare(figure(source, plan, `quotes.${offer}.${part}`, 0)))),
        ],
      })),
    },
    { kind: 'paragraph', text: [words.say('movers.note')] },
  ])
}

import type { Comparison } from '../../movers/compare.js'
import { type Block, cell, type Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { exact } from '../../quantity/exact.js'
import { type BriefSource, bare, figure } from '../figure.js'

/** What an offer is made of when it is brought to one footing, in order, and what each part is called. */
export const OFFER_PARTS = ['stated', 'for-volume', 'left-out', 'not-wanted', 'like-for-like'] as const
export const OFFER_HEADS = {
  stated: 'movers.stated',
  'for-volume': 'movers.for-volume',
  'left-out': 'movers.left-out',
  'not-wanted': 'movers.not-wanted',
  'like-for-like': 'movers.levelled',
} as const

/** Movers' offers on one footing for the recommended scenario; where none is in, how to bring them in. */
export function moversSection(source: BriefSource, words: Words, comparison?: Comparison): Section {
  const { recommended: plan, move } = source
  const offers = [...plan.sheet.cells.keys()].flatMap((id) => /^quotes\.(.+)\.stated$/.exec(id)?.[1] ?? [])
  const section = (blocks: Section['blocks']): Section => ({
    id: 'movers',
    title: words.say('movers.title'),
    blocks,
  })
  if (comparison) return section([note(words), rankedTable(source, words, comparison)])
  if (offers.length === 0) return section([{ kind: 'paragraph', text: [words.say('movers.none')] }])
  const levelled = (offer: string) => plan.sheet.cells.get(`quotes.${offer}.like-for-like`)?.value
  const sorted = [...offers].sort((a, b) => {
    const [x, y] = [levelled(a), levelled(b)]
    return x && y ? x.cmp(y) : 0
  })
  return section([
    note(words),
    {
      kind: 'table',
      caption: words.say('movers.caption', {
        scenario: plan.name,
        currency: move.household.facts.currency,
      }),
      columns: [
        { label: words.say('movers.offer') },
        ...OFFER_PARTS.map((part) => ({ label: words.say(OFFER_HEADS[part]), numeric: true })),
      ],
      rows: sorted.map((offer) => ({
        cells: [
          cell(offer),
          ...OFFER_PARTS.map((part) => cell(bare(figure(source, plan, `quotes.${offer}.${part}`, 0)))),
        ],
      })),
    },
  ])
}

const note = (words: Words): Block => ({ kind: 'paragraph', text: [words.say('movers.note')] })

/** Movers by price on one footing and weighted answers, as `quaybook movers` ranks them. */
function rankedTable({ move }: BriefSource, words: Words, { offers }: Comparison): Block {
  const amount = (value: Parameters<typeof words.locale.number>[0]) =>
    cell(words.locale.money(value, move.household.facts.currency, 0))
  return {
    kind: 'table',
    caption: words.say('movers.ranked-caption'),
    columns: [
      { label: words.say('movers.place') },
      { label: words.say('movers.offer') },
      { label: words.say('movers.stated'), numeric: true },
      { label: words.say('movers.levelled'), numeric: true },
      { label: words.say('movers.score'), numeric: true },
      { label: words.say('movers.unanswered'), numeric: true },
    ],
    rows: offers.map((offer, at) => ({
      cells: [
        cell(offer.redLines.length > 0 ? words.say('movers.excluded') : String(at + 1)),
        cell(offer.mover),
        amount(offer.stated),
        amount(offer.levelled),
        cell(words.locale.percent(exact.of(offer.total))),
        cell(String(offer.missing.length + offer.unanswered.length)),
      ],
    })),
  }
}

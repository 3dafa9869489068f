import { wantedDates, wantedWords } from '../../dates/index.js'
import { type Block, cell, type Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { providers } from '../../plan/providers.js'
import type { Provider } from '../../tables/household-columns.js'
import type { MoveDates } from '../dates.js'
import type { BriefSource } from '../figure.js'

type Owner =
  | 'household'
  | 'hired'
  | 'mover'
  | 'carrier'
  | 'broker'
  | 'haulier'
  | 'friends'
  | 'employer'
  | 'none'

const OF_PROVIDER: Readonly<Record<Provider, Owner>> = {
  mover: 'mover',
  self: 'household',
  hired: 'hired',
  friends: 'friends',
  employer: 'employer',
  none: 'none',
}

/** Who answers for a day of the calendar: a service's provider, or the party whose trade it is. */
function ownerOf(id: string, who: ReadonlyMap<string, Provider>): Owner {
  const does = (service: string): Owner => OF_PROVIDER[who.get(service) ?? 'none']
  const part = id.replace(/^shared\./, '')
  switch (part) {
    case 'packing':
      return does('packing')
    case 'loading':
      return does('loading')
    case 'cut-off':
    case 'empty-due':
    case 'empty-back':
      return 'haulier'
    case 'sailing':
    case 'discharge':
      return 'carrier'
    case 'clearance':
    case 'import':
    case 'last-free-day':
    case 'release':
      return does('import-clearance') === 'household' ? 'household' : 'broker'
    case 'delivery':
      return does('destination-haulage')
    default:
      return 'household'
  }
}

/** The dates the household wants: the chance, by how many days one is missed, and what would have to give. */
function wantedBlocks({ move, recommended }: BriefSource, words: Words): Block[] {
  const wanted = wantedDates(move, recommended)
  if (wanted.length === 0) return []
  return [
    {
      kind: 'warnings',
      warnings: wanted.map((each) => ({
        severity: each.lateBy > 0 ? 'care' : 'note',
        text: wantedWords(each, move.household.facts.currency).map(words.tell).join(' '),
        scenarios: [],
        cells: ['time.on.delivered', 'cost.total'],
      })),
    },
  ]
}

/** Every day of the move with who keeps it, in order; papers have their days in the table of papers. */
export function datesSection(source: BriefSource, words: Words, dates: MoveDates): Section {
  const { move, recommended: plan } = source
  const who = providers(move, plan)
  const rows = dates.deadlines.map(({ on, what, cell: id }) => {
    const part = id?.replace(/^time\.on\./, '') ?? ''
    const owner = ownerOf(part === 'import-on' ? 'import' : part, who)
    return { on, what, owner: words.say(`owner.${owner}`) }
  })
  return {
    id: 'dates',
    title: words.say('dates.title'),
    blocks: [
      ...wantedBlocks(source, words),
      {
        kind: 'table',
        caption: words.say('dates.caption'),
        columns: [
          { label: words.say('dates.day') },
          { label: words.say('dates.what') },
          { label: words.say('dates.who') },
        ],
        rows: rows.map(({ on, what, owner }) => ({
          cells: [cell(words.locale.day(on).replaceAll(' ', '\u00a0')), cell(what), cell(owner)],
        })),
      },
      { kind: 'paragraph', text: [words.say('dates.note')] },
    ],
  }
}

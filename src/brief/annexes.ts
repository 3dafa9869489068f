import type { Section } from '../paper/blocks.js'
import type { Words } from '../paper/words.js'
import { UnusableInput } from '../plan/refusal.js'

/** Everything a brief can carry behind the pages that are sent, in the order of the letters. */
export const ANNEXES = [
  'costs',
  'volume',
  'containers',
  'load',
  'customs',
  'cover',
  'dates',
  'warnings',
  'cautions',
  'basis',
  'inventory',
  'trace',
] as const
export type AnnexId = (typeof ANNEXES)[number]

/** An annex with its letter, whether it stands behind the brief or in the file of annexes. */
export interface Annex {
  readonly id: AnnexId
  readonly letter: string
  readonly section: Section
}

/**
 * The annexes asked for: `all`, `none`, or names separated by commas.
 * Throws one sentence that names those there are.
 */
export function chosenAnnexes(text: string): readonly AnnexId[] {
  if (text === 'all') return ANNEXES
  if (text === 'none') return []
  return text.split(',').map((word) => {
    const found = ANNEXES.find((id) => id === word.trim())
    if (found) return found
    throw new UnusableInput(`no annex "${word.trim()}"; there are: all, none, ${ANNEXES.join(', ')}`)
  })
}

/** Sections as annexes: lettered in order, each under its title in the language of the paper. */
export function lettered(words: Words, sections: ReadonlyMap<AnnexId, Section>): readonly Annex[] {
  const there = ANNEXES.flatMap((id) => {
    const section = sections.get(id)
    return section && section.blocks.length > 0 ? [{ id, section }] : []
  })
  return there.map(({ id, section }, at) => {
    const letter = String.fromCharCode(65 + at)
    const title = words.say('annexes.label', { letter, title: words.say(`annex.${id}`) })
    return { id, letter, section: { ...section, id: `annex-${id}`, title, annex: true } }
  })
}

/** The file that holds the annexes which are not behind the brief itself. */
export const ANNEX_FILE = 'annexes.html'

/** Where each annex is, as the last section of the pages that are sent. */
export function annexList(words: Words, annexes: readonly Annex[], inside: ReadonlySet<AnnexId>): Section {
  return {
    id: 'annexes',
    title: words.say('annexes.title'),
    blocks: [
      ...(annexes.some(({ id }) => !inside.has(id))
        ? [
            {
              kind: 'paragraph' as const,
              text: [
                words.say('annexes.file', { file: ANNEX_FILE }),
                ...(words.english ? [] : [' ', words.say('annexes.tables')]),
              ],
            },
          ]
        : []),
      {
        kind: 'references',
        references: annexes.map(({ id, section }) => ({
          to: section.id,
          text: section.title,
          ...(inside.has(id) ? {} : { file: ANNEX_FILE }),
        })),
      },
    ],
  }
}

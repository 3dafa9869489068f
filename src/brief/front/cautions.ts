import type { Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'

const POINTS = ['lifting', 'stowing', 'vehicles', 'dangerous', 'fumigation', 'customs', 'cover'] as const

/** What can hurt someone or cost dear, in short; the annex says the same at length. */
export const shortCautions = (words: Words): Section => ({
  id: 'cautions',
  title: words.say('cautions.title'),
  blocks: [
    { kind: 'paragraph', text: [words.say('cautions.first')] },
    { kind: 'list', items: POINTS.map((point) => [words.say(`cautions.${point}`)]) },
  ],
})

import type { Multiline } from '../../notebook/format.js'

/** Text of a multi-line field as one string; format.ts has the same beside what only Node can load. */
export const asText = (text: Multiline): string => (typeof text === 'string' ? text : text.join(''))

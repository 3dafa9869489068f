import type { Words } from '../../paper/words.js'
import type { Move, Plan } from '../../plan/move.js'
import { planWords } from '../names.js'

/** A way to carry goods by its label in the language of the paper: own containers, a shared one, or both. */
export const optionWords = (words: Words, move: Move, option: string): string =>
  option
    .split('+')
    .map((part) => {
      const row = move.reference.containers.find(({ id }) => id === part)
      return words.label(`container.${part}`, row?.label ?? (part === 'groupage' ? 'Shared container' : part))
    })
    .join(' + ')

/** The carriage of a plan by its label. */
export const transportLabel = (words: Words, move: Move, plan: Plan): string =>
  optionWords(words, move, planWords(move, plan).transport)

/** The carriage with the number of containers, as a sentence needs it: `two 40 foot high cube containers`. */
export function carriageText(words: Words, move: Move, plan: Plan): string {
  const { transport } = planWords(move, plan)
  const value = (name: string) => plan.sheet.cells.get(`options.${transport}.${name}`)?.value.toNumber() ?? 0
  const count = value('containers') || value('boxes')
  if (count === 0) return words.say('carriage.share')
  const [own = transport] = transport.split('+')
  const row = move.reference.containers.find(({ id }) => id === own)
  const container = words.label(`container.${own}`, row?.label ?? own)
  const containers =
    count === 1
      ? words.say('carriage.one', { container })
      : words.say('carriage.many', { count: String(count), container })
  return value('groupage-units') > 0 ? words.say('carriage.and-share', { own: containers }) : containers
}

/** The cover of a plan by its label in the language of the paper. */
export function coverLabel(words: Words, move: Move, plan: Plan): string {
  const { cover, coverLabel } = planWords(move, plan)
  return words.label(`cover.${cover}`, coverLabel)
}

/** The day of loading, as the language writes it. */
export const loadingDay = (words: Words, move: Move, plan: Plan): string =>
  words.locale.day(plan.inputs.choices.get('load-on')?.value ?? move.household.facts.load_on)

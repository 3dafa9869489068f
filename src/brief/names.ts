import type { Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import { choicesOf } from '../plan/providers.js'
import { optionLabel } from '../plan/transport-options.js'
import type { Provider } from '../tables/household-columns.js'

/** Who does a service, as the brief says it to the household. */
export const providerWords = ({ line }: Words, provider: Provider): string =>
  ({
    mover: line`mover`,
    self: line`you`,
    friends: line`friends`,
    hired: line`hired hands`,
    employer: line`employer`,
    none: line`not needed`,
  })[provider]

/** A line of the bill by its label in the language of the paper. */
export function costLabel(words: Words, move: Move, id: string, label: string): string {
  const [, consignment] = id.split('cost.crossing.consignment.')
  if (consignment !== undefined) return words.line`Consignment ${consignment}, carriage and cover`
  const service = id.split('.').at(-1) ?? ''
  if (service === 'premium') return words.line`Premium`
  const known = move.reference.services.find((row) => row.id === service)
  return known ? words.label(`service.${service}`, known.label) : words.phrase(label)
}

/** Carriage and cover of a plan: ids, and their labels in English. */
export function planWords(move: Move, plan: Plan) {
  const context = choicesOf(move, plan)
  const transport = plan.sheet.choices.get('transport') ?? ''
  const cover = context.ledger.choice('cover')
  return {
    transport,
    transportLabel: optionLabel(move.reference, transport),
    cover,
    coverLabel: move.reference.covers.find((c) => c.id === cover)?.label ?? 'No cover',
  }
}

/** An input by its label in the language of the paper: that of its service, room or cover where it belongs to one. */
export function inputLabel(words: Words, move: Move, id: string, label: string): string {
  const [head = '', part = '', container] = id.split('.')
  const service = head === 'price' ? move.reference.services.find((row) => row.id === part) : undefined
  if (service) {
    const name = words.label(`service.${part}`, service.label)
    if (container === undefined) return name
    const row = move.reference.containers.find((each) => each.id === container)
    return `${name}, ${words.inSentence(words.label(`container.${container}`, row?.label ?? container))}`
  }
  const [, room] = /^(.+): volume as it turns out, over the list$/.exec(label) ?? []
  if (room !== undefined) return words.line`${room}: volume as it turns out, over the list`
  const cover = head === 'cover' ? move.reference.covers.find((row) => row.id === part) : undefined
  if (cover && container === 'rate')
    return words.line`${words.label(`cover.${part}`, cover.label)}: premium rate`
  return words.phrase(label)
}

import type { Move, Plan } from '../plan/move.js'
import { choicesOf } from '../plan/providers.js'
import { optionLabel } from '../plan/transport-options.js'
import type { Provider } from '../tables/household-columns.js'

/** Who does a service, as the brief says it to the household. */
export const providerText: Readonly<Record<Provider, string>> = {
  mover: 'mover',
  self: 'you',
  friends: 'friends',
  hired: 'hired hands',
  employer: 'employer',
  none: 'not needed',
}

const levelTexts: Readonly<Record<string, string>> = {
  diy: 'do it yourself',
  part: 'part service',
  full: 'full service',
  own: 'as listed',
}

/** Container, level of service and cover of a plan, in words. */
export function planWords(move: Move, plan: Plan) {
  const context = choicesOf(move, plan)
  const transport = plan.sheet.choices.get('transport') ?? ''
  const cover = context.ledger.choice('cover')
  const level = context.ledger.choice('service-level')
  return {
    transport,
    transportLabel: optionLabel(move.reference, transport),
    cover,
    coverLabel: move.reference.covers.find((c) => c.id === cover)?.label ?? 'No cover',
    level: levelTexts[level] ?? level,
  }
}

/** The carriage in words with the number of containers: `two 40 foot high cubes and a share of another`. */
export function carriageWords(move: Move, plan: Plan): string {
  const { transport, transportLabel } = planWords(move, plan)
  const boxes = plan.sheet.cells.get(`options.${transport}.containers`)?.value.toNumber() ?? 0
  if (boxes === 0) return 'a share of a container'
  const container = transportLabel.replace(/ and a shared container$/, '')
  const own = boxes === 1 ? `one ${container} container` : `${boxes} ${container} containers`
  const shared = plan.sheet.cells.get(`options.${transport}.groupage-units`)?.value
  return shared?.gt(0) ? `${own} and a share of another` : own
}

export { dayText } from '../paper/format.js'

import { DOOR_WAYS } from '../../cost/door.js'
import { amount, day, label, phrase, says, several } from '../../paper/sentence.js'
import { WAY_WORDS } from '../../plan/cells/door.js'
import type { Move, Plan } from '../../plan/move.js'
import { GROUPAGE, optionLabel } from '../../plan/transport-options.js'
import { exact } from '../../quantity/exact.js'
import { stalePrices } from '../rates.js'
import { cellOf, count, money, type PlanWarning, percent, warning } from './warning.js'

/** Old prices, work that saves little, and why the container stands as it does at each door. */
export function costWarnings(move: Move, plan: Plan): PlanWarning[] {
  const out: PlanWarning[] = []
  const old = stalePrices(move, plan)
  if (old.length > 0) {
    const priced = (id: string, name: string) => {
      const service = /^price\.([a-z-]+)$/.exec(id)?.[1]
      return service === undefined ? phrase(name) : label(`service.${service}`, name)
    }
    const named = several(
      old.map(({ id, label: name, lookedOn }) =>
        lookedOn === undefined ? priced(id, name) : says`${priced(id, name)} of ${day(lookedOn)}`,
      ),
      4,
    )
    out.push(
      warning(
        'cost',
        'care',
        old.length === 1
          ? says`One price is older than good for: ${named}. Ask for a written offer.`
          : says`${count(old.length)} prices are older than good for: ${named}. Ask for a written offer.`,
        ...old.map(({ id }) => id),
      ),
    )
  }
  out.push(...freightWarning(move, plan))
  const own = ownWorkWarning(move, plan)
  if (own) out.push(own)
  out.push(...quoteWarnings(move, plan))
  for (const side of ['origin', 'destination'] as const) {
    const taken = cellOf(plan, `door.${side}.way`)?.toNumber()
    const way = DOOR_WAYS[(taken ?? 0) - 1]
    if (way === undefined) continue
    const others = DOOR_WAYS.filter((other) => other !== way).flatMap((other) => {
      const cost = cellOf(plan, `door.${side}.${other}`)
      return cost ? [says`${phrase(WAY_WORDS[other])}: ${money(move, cost)}`] : []
    })
    const least = cellOf(plan, `door.${side}.least`)
    const street = STREET_WORDS[plan.inputs.choices.get(`${side}.street`)?.value ?? ''] ?? ''
    const stands = says`${phrase(WAY_WORDS[way])}, ${money(move, least ?? exact.of(0))}`
    out.push(
      warning(
        'cost',
        'note',
        side === 'origin'
          ? says`At the old door ${stands}: the cheapest way that the street allows (${phrase(street)}). Otherwise ${several(others)}.`
          : says`At the new door ${stands}: the cheapest way that the street allows (${phrase(street)}). Otherwise ${several(others)}.`,
        `door.${side}.least`,
        `door.${side}.way`,
      ),
    )
  }
  return out
}

/**
 * A size of container that wins by a price of the tables while the household has offers for others: it may win only
 * because nobody has asked for it.
 */
function freightWarning(move: Move, plan: Plan): PlanWarning[] {
  const offered = (size: string) => plan.inputs.numbers.get(`price.freight.${size}`)?.confirmed === 'stated'
  const sizes = [...move.reference.containers.map(({ id }) => id), GROUPAGE]
  const taken = (plan.sheet.choices.get('transport') ?? '').split('+')
  const unasked = taken.filter((size) => plan.inputs.numbers.has(`price.freight.${size}`) && !offered(size))
  const asked = sizes.filter(offered)
  if (unasked.length === 0 || asked.length === 0) return []
  const named = (ids: readonly string[]) =>
    several(ids.map((id) => label(`container.${id}`, optionLabel(move.reference, id))))
  return [
    warning(
      'cost',
      'care',
      says`The freight of this carriage is a figure of the tables (${named(unasked)}); your own prices are for ${named(asked)}. It may be the cheapest only because nobody was asked: have it offered too before you book.`,
      ...unasked.map((size) => `price.freight.${size}`),
    ),
  ]
}

/** Own work that is not worth its hours, or done where a worker's day costs less than the crew's lorry and foreman. */
function ownWorkWarning(move: Move, plan: Plan): PlanWarning | undefined {
  const saves = cellOf(plan, 'work.own.saves')
  const hours = cellOf(plan, 'work.own.hours')
  const worth = cellOf(plan, 'work.own.value')
  const crewDay = cellOf(plan, 'work.crew-day')
  const workday = plan.inputs.numbers.get('labour.workday-hours')?.likely
  if (!saves || !worth || !crewDay || !workday || !hours?.gt(0)) return undefined
  if (saves.lt(worth))
    return warning(
      'cost',
      'note',
      says`Own work saves less than its hours are worth to you: ${money(move, saves)} for ${amount(hours, 'h')}, which you value at ${money(move, worth)}.`,
      'work.own.saves',
      'work.own.hours',
      'work.own.value',
    )
  const cheapHands = cellOf(plan, 'work.origin.movers-hour')?.times(workday).lt(crewDay)
  return cheapHands
    ? warning(
        'cost',
        'note',
        says`Own work saves little here: ${money(move, saves)} for ${amount(hours, 'h')}. Where wages are low a mover's crew costs little more than its lorry and foreman.`,
        'work.own.saves',
        'work.own.hours',
      )
    : undefined
}

const STREET_WORDS: Readonly<Record<string, string>> = {
  stand: 'a container may stand there',
  wait: 'a lorry may wait there',
  small: 'only small trucks get there',
}

/** Quotes that cannot be brought to one footing honestly, with the question to ask; quotes far from the model. */
function quoteWarnings(move: Move, plan: Plan): PlanWarning[] {
  return [...new Set(move.household.quotes.map((row) => row.quote))].flatMap((quote): PlanWarning[] => {
    const id = `quotes.${quote}`
    const packed = amount(cellOf(plan, 'volume.packed') ?? exact.of(0), 'm3')
    if (cellOf(plan, `${id}.comparable`)?.isZero()) {
      const measured = amount(plan.inputs.numbers.get(`quote.${quote}.volume`)?.likely ?? exact.of(0), 'm3')
      return [
        warning(
          'cost',
          'care',
          says`${quote} is not comparable: it is made for ${measured} against ${packed} here. Ask the mover: what do the same services cost for ${packed}, after a survey?`,
          `${id}.comparable`,
          `${id}.volume-ratio`,
        ),
      ]
    }
    const outlier = cellOf(plan, `${id}.outlier`)?.toNumber() ?? 0
    if (outlier === 0) return []
    const over = percent(cellOf(plan, `${id}.over-model`) ?? exact.of(0))
    return [
      warning(
        'cost',
        'note',
        outlier === 1
          ? says`${quote} is strikingly high: ${over} of the model's price for the same services. Ask what is in it that others leave out.`
          : says`${quote} is strikingly low: ${over} of the model's price for the same services. Ask what is left out that others have in.`,
        `${id}.outlier`,
        `${id}.over-model`,
      ),
    ]
  })
}

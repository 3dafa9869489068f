import type { Decimal } from 'decimal.js'
import { amount, day, inARow, type Sentence, says } from '../../paper/sentence.js'
import type { Move, Plan } from '../../plan/move.js'
import { isoDay } from '../../time/day-number.js'
import { type PlanWarning, warning } from './warning.js'

/** What does not go together in a plan's dates, and what waiting costs: read from the calendar's cells. */
export function timeWarnings(move: Move, plan: Plan): PlanWarning[] {
  const { cells } = plan.sheet
  const value = (id: string): Decimal | undefined => cells.get(id)?.value
  const text = (on: Decimal) => day(isoDay(on.toNumber()))
  const money = (sum: Decimal) => amount(sum, move.household.facts.currency)
  const out: PlanWarning[] = []
  const tell = (severity: PlanWarning['severity'], sentence: Sentence, ...from: string[]) =>
    out.push(warning('time', severity, sentence, ...from))

  const load = plan.inputs.choices.get('load-on')?.value ?? move.household.facts.load_on
  const { as_of: today } = move.household.facts
  if (load < today) {
    tell(
      'stop',
      says`Loading is set for ${day(load)}, before ${day(today)}, the day this plan is made for. Set load_on to a day to come, or as_of to the day of the plan.`,
      'time.on.loading',
    )
  }
  const booking = value('time.on.booking')
  if (load >= today && booking && isoDay(booking.toNumber()) < today) {
    tell(
      'care',
      says`Space on the ship should have been booked by ${text(booking)}, before ${day(today)}. Ask at once whether a ship can still be had, or load later.`,
      'time.on.booking',
    )
  }
  const packing = value('time.on.packing')
  if (load >= today && packing && isoDay(packing.toNumber()) < today) {
    tell(
      'care',
      says`Packing would have to start on ${text(packing)}, before ${day(today)}. Take more people or more hours a day, or have it packed.`,
      'time.on.packing',
    )
  }
  for (const person of move.household.people) {
    if (person.arrives_on < person.leaves_on) {
      tell(
        'care',
        says`${person.person} arrives on ${day(person.arrives_on)}, before leaving on ${day(person.leaves_on)}. Customs counts residence from these days: check both in people.csv.`,
      )
    }
  }

  const declared = value('import-on')
  const ashore = value('time.on.discharge')
  const earliest = plan.range.cells.get('time.on.discharge')?.value.low
  if (declared && ashore && earliest && declared.lt(ashore)) {
    const never = declared.lt(earliest)
    const dates = { set: text(declared), ashore: text(ashore), earliest: text(earliest) }
    tell(
      never ? 'care' : 'note',
      never
        ? says`Import is set for ${dates.set}, and the goods are ashore on ${dates.ashore} at likely times, on ${dates.earliest} at the earliest. They cannot be released on the day set; the plan counts from the day they are ashore. Set import_on to a day after it, because relief is judged by the day of declaration.`
        : says`Import is set for ${dates.set}, and the goods are ashore on ${dates.ashore} at likely times, on ${dates.earliest} at the earliest. Where customs takes a declaration ahead of the ship this saves days; ask the broker.`,
      'import-on',
      'time.on.discharge',
    )
  }
  const charged = value('time.port.charged-days')
  const cost = value('time.port.delay-cost')
  const free = value('time.on.last-free-day')
  if (charged?.gt(0)) {
    const late = free?.gt(0) && declared?.gt(free) ? { free, declared } : undefined
    const fetched = value('time.storage.chosen')?.gt(0)
    const saves = value('time.storage.saves')
    const warehouse = value('time.storage.cost')
    const paid = !cost?.gt(0)
      ? undefined
      : fetched && warehouse
        ? says`The plan fetches them into a warehouse for ${money(warehouse)}; at the port they would cost ${money(cost)}.`
        : says`That costs ${money(cost)}, in the total.`
    const instead =
      !fetched && saves?.gt(0) && warehouse
        ? says`A warehouse under customs control would cost about ${money(warehouse)} instead; the plan can be reckoned so.`
        : undefined
    tell(
      'care',
      inARow(
        late
          ? says`The goods wait ${amount(charged, 'day')} longer at the port than is free: the last free day is ${text(late.free)}, and the import is declared on ${text(late.declared)}.`
          : says`The goods wait ${amount(charged, 'day')} longer at the port than is free.`,
        paid,
        instead,
        late ? says`Declare earlier or load later.` : says`Have the papers ready before the ship arrives.`,
      ),
      'time.port.charged-days',
      ...(cost ? ['time.port.delay-cost'] : []),
    )
  }
  const delivery = value('time.on.delivery')
  const coverEnd = value('time.on.cover-end')
  const insured = plan.inputs.choices.get('cover')?.value !== 'none'
  if (insured && delivery && coverEnd && delivery.gt(coverEnd)) {
    tell(
      'care',
      says`Delivery is expected on ${text(delivery)}, after transit cover stops on ${text(coverEnd)}. Have the cover extended in writing before that day.`,
      'time.on.cover-end',
      'time.on.delivery',
    )
  }
  const there = move.household.people.map((person) => person.arrives_on).sort()[0]
  if (there && delivery && isoDay(delivery.toNumber()) < there) {
    tell(
      'note',
      says`Delivery is expected on ${text(delivery)}, before anybody of the household arrives on ${day(there)}. Somebody has to take the goods in and note damage.`,
      'time.on.delivery',
    )
  }
  return out
}

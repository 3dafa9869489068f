import type { Decimal } from 'decimal.js'
import { DOOR_WAYS } from '../cost/door.js'
import { amount, day, inside, label, phrase, type Sentence, says, several } from '../paper/sentence.js'
import { ENGLISH_WORDS } from '../paper/words.js'
import { WAY_WORDS } from '../plan/cells/door.js'
import type { Warning } from '../plan/ledger.js'
import type { Move, Plan } from '../plan/move.js'
import { choicesOf, providers } from '../plan/providers.js'
import { exact } from '../quantity/exact.js'
import { goodsWarnings, stairsWarnings } from './goods-warnings.js'
import { stalePrices } from './rates.js'
import { timeWarnings } from './time-warnings.js'

/** A warning with the cells it was read from, so that it can be traced as every figure can, and its sentence for other languages. */
export interface PlanWarning extends Warning {
  readonly cells: readonly string[]
  readonly says: Sentence
}

/** A warning as its sentence says it, with its English as plain text. */
export const warning = (
  step: Warning['step'],
  severity: Warning['severity'],
  sentence: Sentence,
  ...cells: readonly string[]
): PlanWarning => ({ step, severity, text: ENGLISH_WORDS.tell(sentence), says: sentence, cells })

/** Above this share of the usable space, a small mistake in the list calls for another container. */
const TIGHT_FILL = '0.95'

/**
 * What a reader must know before acting on a plan: read from its exact and its bounded sheet and from the
 * household's files. `stop`: the plan does not work; `care`: it may cost dear; `note`: worth knowing.
 *
 * @returns warnings, the gravest first
 */
export function warnings(move: Move, plan: Plan): PlanWarning[] {
  const found = [
    ...stowageStops(plan),
    ...stowageWarnings(plan),
    ...stairsWarnings(move, plan),
    ...timeWarnings(move, plan),
    ...insuranceWarnings(move, plan),
    ...costWarnings(move, plan),
    ...valueWarnings(plan),
    ...goodsWarnings(plan),
  ]
  const rank = { stop: 0, care: 1, note: 2 }
  return found.sort((a, b) => rank[a.severity] - rank[b.severity])
}

const cellOf = (plan: Plan, id: string): Decimal | undefined => plan.sheet.cells.get(id)?.value
const currencyOf = (move: Move) => move.household.facts.currency
const money = (move: Move, value: Decimal) => amount(value, currencyOf(move))
const percent = (share: Decimal) => amount(share, '1')
const count = (value: number | Decimal) => String(value)

/** What makes a plan impossible to carry out: the gravest of its warnings, read from its exact sheet alone. */
export function stowageStops(plan: Plan): PlanWarning[] {
  const option = `options.${plan.sheet.choices.get('transport') ?? ''}`
  const out: PlanWarning[] = []
  const { vehicles } = plan.shipment
  const fits = cellOf(plan, `${option}.fits`)
  if (fits?.lt(1)) {
    out.push(
      warning(
        'stowage',
        'stop',
        says`${several(vehicles.map((v) => v.label))} cannot travel this way: too long, wide or high for the door or the floor, or a shared container takes no vehicle. Choose another container, or leave the vehicle.`,
        `${option}.fits`,
      ),
    )
  }
  const mass = cellOf(plan, `${option}.mass-share`)
  if (mass?.gt(1)) {
    out.push(
      warning(
        'stowage',
        'stop',
        says`The goods weigh ${percent(mass)} of what the container may carry on its plate and on the roads at both ends. Take another container or leave heavy things out.`,
        `${option}.mass-share`,
      ),
    )
  }
  return out
}

function stowageWarnings(plan: Plan): PlanWarning[] {
  const option = `options.${plan.sheet.choices.get('transport') ?? ''}`
  const out: PlanWarning[] = []
  const boxes = plan.range.cells.get(`${option}.containers`)?.value
  if (boxes && !boxes.low.eq(boxes.high)) {
    out.push(
      warning(
        'stowage',
        'care',
        says`Inside the ranges of the inputs this move takes between ${count(boxes.low)} and ${count(boxes.high)} containers. Have the volume surveyed before booking.`,
        `${option}.containers`,
        'volume.packed',
      ),
    )
  }
  const fill = cellOf(plan, `${option}.fill`)
  const shares = cellOf(plan, `${option}.groupage-units`)
  if (fill?.gt(TIGHT_FILL) && shares?.isZero()) {
    out.push(
      warning(
        'stowage',
        'care',
        says`The usable space is ${percent(fill)} full. A few forgotten things, or a less tidy stow, and something stays on the quay.`,
        `${option}.fill`,
      ),
    )
  }
  const boxed = plan.shipment.lines.filter((l) => !l.volume_m3 && !l.volume_ft3 && !l.item_code)
  if (boxed.length > 0) {
    out.push(
      warning(
        'volume',
        'note',
        says`${count(boxed.length)} lines are measured by their outer box only (${several(
          boxed.map((l) => l.line),
          6,
        )}). A box holds air beside a chair's legs, so these read a little large.`,
        'volume.net',
      ),
    )
  }
  return out
}

function insuranceWarnings(move: Move, plan: Plan): PlanWarning[] {
  const out: PlanWarning[] = []
  const insured = cellOf(plan, 'value.insured')
  const replacement = cellOf(plan, 'value.replacement')
  const declared = cellOf(plan, 'value.declared')
  const share = cellOf(plan, 'value.insured-share')
  const chosen = plan.inputs.choices.get('cover')?.value ?? 'none'
  const cover = move.reference.covers.find((c) => c.id === chosen)
  const tolerance = plan.inputs.numbers.get('loss.tolerance')?.likely
  if (!cover) {
    if (replacement && tolerance && replacement.gt(tolerance)) {
      out.push(
        warning(
          'insurance',
          'care',
          says`Nothing is insured, and replacing everything would cost ${money(move, replacement)}, more than the ${money(move, tolerance)} the household says it could bear. Even sound goods can owe a share of general average.`,
          'value.replacement',
        ),
      )
    }
    return out
  }
  const who = providers(move, plan)
  const unmet = cover.requires.filter((service) => who.get(service) !== 'mover')
  const work = (service: string) =>
    inside(`service.${service}`, move.reference.services.find(({ id }) => id === service)?.label ?? service)
  if (unmet.length > 0) {
    out.push(
      warning(
        'insurance',
        'care',
        says`${label(`cover.${cover.id}`, cover.label)} asks for ${several(unmet.map(work))} by professionals, and this plan does not buy that. Cartons the household packed are then commonly covered for the named causes only: ask the insurer in writing.`,
        `cover.${chosen}.forced-services`,
      ),
    )
  }
  const stowedBy = who.get('loading')
  if (stowedBy === 'self' || stowedBy === 'friends') {
    out.push(
      warning(
        'insurance',
        'care',
        says`The container is stowed without professionals. Damage from packing or stowing that was not good enough is excluded from every cover, and stowing counts as packing.`,
        'cost.origin.loading',
      ),
    )
  }
  if (share?.lt(1)) {
    out.push(
      warning(
        'insurance',
        'care',
        says`Only ${percent(share)} of the replacement value is insured. Where average applies, every claim is cut to that share.`,
        'value.insured-share',
      ),
    )
  }
  if (insured && declared && !insured.eq(declared)) {
    const below = insured.lt(declared)
    out.push(
      warning(
        'insurance',
        below ? 'care' : 'note',
        below
          ? says`The sum insured (${money(move, insured)}) is below the value declared to customs (${money(move, declared)}). One of the two lists is wrong.`
          : says`The sum insured (${money(move, insured)}) and the value declared to customs (${money(move, declared)}) differ because they measure different things: the price of replacing everything at the destination, and what the used goods would sell for today. Keep both lists, say on each which it is, and never alter one to match the other.`,
        'value.insured',
        'value.declared',
      ),
    )
  }
  const deductible = choicesOf(move, plan).ledger.money(`cover.${chosen}.deductible`)
  if (tolerance && deductible.gt(tolerance)) {
    out.push(
      warning(
        'insurance',
        'note',
        says`The deductible of ${money(move, deductible)} a claim is more than the ${money(move, tolerance)} the household says it could bear.`,
        `cover.${chosen}.deductible`,
      ),
    )
  }
  return out
}

function valueWarnings(plan: Plan): PlanWarning[] {
  const { lines } = plan.shipment
  const out: PlanWarning[] = []
  const without = lines.filter((l) => l.value === undefined)
  if (without.length > 0) {
    out.push(
      warning(
        'insurance',
        'care',
        says`${count(without.length)} lines have no value and count as worth nothing, for customs and for cover: ${several(
          without.map((l) => `${l.line} ${l.item}`),
          5,
        )}.`,
        'value.declared',
      ),
    )
  }
  const swapped = lines.filter((l) => l.value && l.replacement_value?.lt(l.value))
  if (swapped.length > 0) {
    out.push(
      warning(
        'insurance',
        'care',
        says`${count(swapped.length)} lines cost less new than they are worth used, which is rare outside antiques: ${several(
          swapped.map((l) => `${l.line} ${l.item}`),
          5,
        )}. Check both columns.`,
        'value.replacement',
        'value.declared',
      ),
    )
  }
  return out
}

/** Old prices, work that saves little, and why the container stands as it does at each door. */
function costWarnings(move: Move, plan: Plan): PlanWarning[] {
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

import { inside, label, says, several } from '../../paper/sentence.js'
import type { Move, Plan } from '../../plan/move.js'
import { choicesOf, providers } from '../../plan/providers.js'
import { cellOf, count, money, named, type PlanWarning, percent, warning } from './warning.js'

/** What the cover leaves open. */
export function insuranceWarnings(move: Move, plan: Plan): PlanWarning[] {
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

/** Values that are missing, or change places. */
export function valueWarnings(plan: Plan): PlanWarning[] {
  const { lines } = plan.shipment
  const out: PlanWarning[] = []
  const without = lines.filter((l) => l.value === undefined)
  if (without.length > 0) {
    out.push(
      warning(
        'insurance',
        'care',
        says`${count(without.length)} lines have no value and count as worth nothing, for customs and for cover: ${named(without, 5)}.`,
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
        says`${count(swapped.length)} lines cost less new than they are worth used, which is rare outside antiques: ${named(swapped, 5)}. Check both columns.`,
        'value.replacement',
        'value.declared',
      ),
    )
  }
  return out
}

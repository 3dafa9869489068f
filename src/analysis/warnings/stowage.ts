import { says, several } from '../../paper/sentence.js'
import type { Plan } from '../../plan/move.js'
import { cellOf, count, type PlanWarning, percent, warning } from './warning.js'

/** Above this share of the usable space, a small mistake in the list calls for another container. */
const TIGHT_FILL = '0.95'

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

/** How surely the goods go into the container. */
export function stowageWarnings(plan: Plan): PlanWarning[] {
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
        boxed.length === 1
          ? says`Line ${boxed[0]?.line ?? ''} is measured by its outer box only. A box holds air beside a chair's legs, so it reads a little large.`
          : says`${count(boxed.length)} lines are measured by their outer box only (${several(
              boxed.map((l) => l.line),
              6,
            )}). A box holds air beside a chair's legs, so these read a little large.`,
        'volume.net',
      ),
    )
  }
  return out
}

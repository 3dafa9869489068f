import type { Change, InputTable } from './inputs.js'
import type { DecidedSheet, Plan } from './move.js'
import { Refusal } from './refusal.js'
import type { Shipment } from './shipment.js'

/** A change that moves no figure of a plan, and why. */
export interface UnusedChange {
  readonly change: Change
  readonly why: string
}

/**
 * Inputs that are read beside the cells: what the cover decision holds losses against, the days, what `simulate` draws
 * for an examination by customs, how far off the middle the packer may load, and what the load plan's straps and
 * blankets cost.
 */
const BESIDE_THE_CELLS = new Set([
  'loss.tolerance',
  'load-on',
  'import-on',
  'time.inspection-days',
  'inspection.probability',
  'stowage.centre-of-gravity-offset',
  'stowage.centre-of-gravity-across',
  'stowage.centre-of-gravity-height',
])

/** Whether a plan reads an input beside its cells, so that no cell of it shows. */
export const readBesideCells = (id: string): boolean =>
  BESIDE_THE_CELLS.has(id) || /^(take|deck|dunnage)\./.test(id)

/**
 * Changes that no cell of the plan reads: told by name, because a changed figure that changes nothing would pass for
 * an answer.
 */
export function unusedChanges(
  changes: readonly Change[],
  inputs: InputTable,
  sheet: Pick<DecidedSheet, 'cells' | 'choices'>,
  shipment: Shipment,
): UnusedChange[] {
  return changes.flatMap((change) => {
    const { id } = change
    const used = sheet.cells.has(id) || sheet.choices.has(id) || readBesideCells(id)
    return used ? [] : [{ change, why: reason(id, inputs, sheet, shipment) }]
  })
}

function reason(
  id: string,
  { numbers }: InputTable,
  { choices }: Pick<DecidedSheet, 'choices'>,
  shipment: Shipment,
): string {
  const [kind, name = ''] = id.split('.')
  if (kind === 'line' && shipment.left.lines.some(({ line }) => line === name))
    return `${name} is not shipped in this plan`
  if (kind === 'vehicle' && shipment.left.vehicles.some(({ vehicle }) => vehicle === name))
    return `${name} is not shipped in this plan`
  const who = choices.get(`provider.${name}`)
  if (kind === 'price' && who !== undefined) return `no figure of this plan has that price in it`
  if (kind === 'packed') return 'the goods have not been packed into that container'
  const label = numbers.get(id)?.label
  return `no figure of this plan reads ${label === undefined ? 'it' : `“${label}”`}`
}

/**
 * Refuses changes that no figure of any of these plans reads.
 *
 * @param ids only these changes are looked at: those that somebody has just asked for
 */
export function refuseUnread(plans: readonly Plan[], ids: readonly string[]): void {
  const problems = [...new Set(ids)].flatMap((id) => {
    const found = plans.map((plan) => plan.unused.findLast(({ change }) => change.id === id))
    const [first] = found
    if (!first || found.some((unused) => unused === undefined)) return []
    const { change, why } = first
    return [
      {
        file: change.place?.file ?? 'change',
        line: change.place?.line ?? 1,
        column: id,
        found: change.value,
        expected: 'an input that a figure of the plan reads',
        fix: `Leave it out: ${why}.`,
      },
    ]
  })
  if (problems.length > 0) throw new Refusal(problems)
}

import type { Decimal } from 'decimal.js'
import { type CostCurve, costCurve } from '../cost/crossover.js'
import { type Piecewise, piecewiseUpTo } from '../cost/piecewise.js'
import { Ledger } from '../plan/ledger.js'
import type { Move, Plan } from '../plan/move.js'
import type { PlanContext } from '../plan/plan-context.js'
import { UnusableInput } from '../plan/refusal.js'
import { optionCells, transportOptions } from '../plan/transport-options.js'
import { exact } from '../quantity/exact.js'

/**
 * Carriage cost of each option as an exact function of the packed volume, everything else as planned: prices,
 * vehicles, who loads, and the household's own mass for each m³.
 *
 * The plan's own formulas are run once more in an arithmetic whose numbers are functions of the volume, so bends and
 * jumps come out exactly, and there is no second copy of a tariff rule. Sampling the plan at many volumes would
 * find them only roughly.
 *
 * @param mostM3 the volumes go from 0 to this, more than 0
 * @returns a curve for each option that takes the vehicles
 */
export function carriageCurves(move: Move, plan: Plan, mostM3: Decimal): CostCurve[] {
  const m = piecewiseUpTo(mostM3)
  const { reference } = move
  const { household, shipment } = plan
  const cell = (id: string) => {
    const found = plan.sheet.cells.get(id)
    if (!found) throw new UnusableInput(`unknown cell "${id}"`)
    return found
  }
  return transportOptions(reference).flatMap((option) => {
    const { id } = option
    const ledger = new Ledger<Piecewise>(m, plan.inputs, household.facts.currency, 0)
    const context: PlanContext<Piecewise> = { ledger, household, shipment, reference }
    const packed = cell('volume.packed').value
    const perM3 = (mass: string) => (packed.isZero() ? exact.of(0) : cell(mass).value.div(packed))
    const again = (name: string, value: Piecewise) => {
      const { label, unit } = cell(name)
      ledger.put(name, label, unit, value)
    }
    again('volume.packed', m.variable)
    again('mass.goods', m.variable.times(m.of(perM3('mass.goods'))))
    again('mass.packing', m.variable.times(m.of(perM3('mass.packing'))))
    again('mass.vehicles', m.of(cell('mass.vehicles').value))
    const { fits } = optionCells(context, option)
    return fits.at(mostM3).gte(1) ? [costCurve(id, ledger.get(`options.${id}.cost`))] : []
  })
}

import type { ChargeLine } from '../customs/charges/charge-lines.js'
import { authorityOf, withAsk } from '../customs/charges/importer.js'
import type { Undetermined } from '../customs/charges/undetermined.js'
import type { DutyMove } from '../customs/move.js'
import type { Stop } from '../customs/papers/restrictions.js'
import { insideOneTerritory } from '../customs/relief/assess.js'
import type { LineAssessment } from '../customs/relief/verdict.js'
import type { Num } from '../quantity/arithmetic.js'
import type { ServiceCost } from './cost-cells.js'
import { carriageFor, putCarriage } from './customs/carriage.js'
import { chargesOf, putCharges, rulesOf } from './customs/charges.js'
import type { CustomsGround, Declaring } from './customs/ground.js'
import { EACH_OWNER } from './customs/law.js'
import type { PlanContext, References } from './plan-context.js'
import { decide, type WayLedger, WayNumber } from './ways.js'

/** What customs makes of this move, apart from the amounts: verdicts, importer, and what could not be determined. */
export interface CustomsFindings {
  readonly move: DutyMove
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
  readonly undetermined: readonly Undetermined[]
  /** What the law of a country on the way prohibits: obeyed by every recommendation. */
  readonly stops: readonly Stop[]
  /** The currency the charges are made in; undefined where the tables do not know the destination. */
  readonly currency: string | undefined
}

/** The cell that says who declares, where several would fare differently. */
export const IMPORTER_TAKEN = 'importer.taken'

/**
 * Customs: value, duty, excise, import tax and fees of what is not freed. Where it is open who declares, every way is
 * charged and the one with the least charges is taken.
 *
 * @param ground what `customsGround` found, in the arithmetic G of the sheet it was found in
 * @param lift a number of that arithmetic in this sheet's
 * @returns what was found for each way to declare, in the order that `importer.taken` counts
 */
export function customsCells<N extends Num<N>, G extends Num<G>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  ground: CustomsGround<G>,
  lift: (value: G) => N,
): readonly CustomsFindings[] {
  const { ledger, reference } = context
  const { move, ways } = ground
  const [first] = ways
  if (!first) return []
  const currency = reference.customs.jurisdictionOfCountry.get(move.destination)?.currency
  const carriage = currency === undefined ? undefined : carriageFor(context, costs, currency)
  if (currency === undefined || !carriage) {
    const how = rulesOf(context, move)
    const rate = `no rate from ${currency} into ${ledger.currency}; add it to exchange.csv`
    const gaps = currency === undefined || !how.rules ? [] : [{ what: 'all charges', lines: [], why: rate }]
    return [found(reference, ground, first, currency, [...how.undetermined, ...gaps])]
  }
  putCarriage(context, move, currency, carriage)
  if (ways.length === 1) return [declared(context, ground, first, lift)]
  return decide(
    ledger,
    {
      preposition: 'by',
      id: IMPORTER_TAKEN,
      label: `Who declares, counted in the order ${ways.map(({ importer }) => importer).join(', ')}`,
      least: 'cost.customs.total',
      everyCell: true,
    },
    ways.map((way, i) => ({
      id: String(i + 1),
      label: way.importer === EACH_OWNER ? 'each declares their own' : `${way.importer} declares`,
      write: (sheet: WayLedger<N>) =>
        declared({ ...context, ledger: sheet }, ground, way, (value) => new WayNumber(lift(value), false)),
      works: (sheet: WayLedger<N>) => sheet.m.of(1),
    })),
  ).outcomes
}

function found<G>(
  { customs }: References,
  { move, stops }: Pick<CustomsGround<G>, 'move' | 'stops'>,
  { importer, assessments, undetermined }: Declaring<G>,
  currency: string | undefined,
  gaps: readonly Undetermined[],
): CustomsFindings {
  return {
    move,
    importer,
    assessments,
    currency,
    stops,
    undetermined: withAsk([...undetermined, ...gaps], authorityOf(customs, move.destination)),
  }
}

/** A line as it is charged, in another arithmetic. */
const lifted = <N extends Num<N>, G extends Num<G>>(
  { ceiling, value, ...line }: ChargeLine<G>,
  lift: (value: G) => N,
): ChargeLine<N> => ({
  ...line,
  value: lift(value),
  ...(ceiling ? { ceiling: { ...ceiling, amount: lift(ceiling.amount) } } : {}),
})

/** Charges one way to declare and writes the charges down. */
function declared<N extends Num<N>, G extends Num<G>>(
  context: PlanContext<N>,
  ground: CustomsGround<G>,
  way: Declaring<G>,
  lift: (value: G) => N,
): CustomsFindings {
  const { reference } = context
  const { move } = ground
  const { rules, currency, undetermined } = rulesOf(context, move)
  if (!rules || currency === undefined) return found(reference, ground, way, currency, undetermined)
  const lines = way.lines.map((line) => lifted(line, lift))
  const charges = chargesOf(context, move, lines, rules)
  // Inside one customs territory no relief is asked for, so none can be open; a rate that no line needs is no gap.
  const inside = insideOneTerritory(reference.customs, move)
  const known = { ...way, undetermined: inside ? [] : way.undetermined }
  putCharges(context, currency, charges, known.undetermined.length + charges.undetermined.length === 0)
  return found(reference, ground, known, currency, charges.undetermined)
}

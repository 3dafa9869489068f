import type { Num, NumberInput } from '../quantity/arithmetic.js'
import { bounded } from '../quantity/bounded.js'
import { exact } from '../quantity/exact.js'
import { recorded } from '../quantity/recorded.js'
import { layersOf } from './inputs/layered.js'
import type { Cell } from './ledger.js'
import type { PlanContext, References } from './plan-context.js'

/** What a step wrote for one plan, and what it read for it. */
interface Written {
  readonly reference: References
  /** Ids of all inputs it read. */
  readonly read: ReadonlySet<string>
  /** Those of them that the plan had changed. */
  readonly changed: ReadonlyMap<string, NumberInput>
  readonly cells: readonly Cell<never>[]
}

/** Arithmetics whose numbers never change, so that plans may share them. */
const LASTING: ReadonlySet<unknown> = new Set([exact, recorded, bounded])

/** Steps written before, by the lines that travel, then by arithmetic, step and vehicles. */
const memory = new WeakMap<PlanContext<never>['shipment']['lines'], Map<string, Written[]>>()
/** Plans of one page differ in few ways; more would only hold memory. */
const REMEMBERED = 8

/**
 * Writes the cells of a step, or takes over those of an earlier plan that agrees in all that the step reads: scenarios
 * and what-ifs mostly leave ten thousand lines as they are.
 *
 * @param write reads inputs, the lines and vehicles that travel, and reference tables; and nothing else
 */
export function sharedStep<N extends Num<N>>(
  context: PlanContext<N>,
  name: string,
  write: (context: PlanContext<N>) => void,
): void {
  const { ledger, shipment, reference } = context
  if (!LASTING.has(ledger.m)) {
    write(context)
    return
  }
  const known = memory.get(shipment.lines) ?? new Map<string, Written[]>()
  memory.set(shipment.lines, known)
  const key = JSON.stringify([name, nameOf(ledger.m), shipment.vehicles.map(({ vehicle }) => vehicle)])
  const before = known.get(key) ?? []
  const { above } = layersOf(ledger.inputs.numbers)
  const same = before.find((written) => written.reference === reference && agrees(written, above))
  if (same) {
    ledger.takeOver(same.cells as readonly Cell<N>[])
    return
  }
  const cells = ledger.watch(() => write(context))
  if (!cells) return
  const read = new Set(cells.flatMap(({ id, kind }) => (kind === 'input' ? [id] : [])))
  const changed = new Map([...above].filter(([id]) => read.has(id)))
  const written = { reference, read, changed, cells: cells as readonly Cell<never>[] }
  known.set(key, [...before, written].slice(-REMEMBERED))
}

const nameOf = (m: unknown): string => (m === exact ? 'exact' : m === recorded ? 'recorded' : 'bounded')

/** Whether a plan with these changes has the same inputs for a step. */
function agrees({ read, changed }: Written, above: ReadonlyMap<string, NumberInput>): boolean {
  for (const id of changed.keys()) if (!above.has(id)) return false
  for (const [id, row] of above) if (read.has(id) && !isSame(changed.get(id), row)) return false
  return true
}

function isSame(a: NumberInput | undefined, b: NumberInput): boolean {
  if (a === undefined || a === b) return a === b
  const facts = ({ label, unit, source, confirmed }: NumberInput) =>
    [label, unit, source, confirmed].join('\n')
  return a.low.eq(b.low) && a.likely.eq(b.likely) && a.high.eq(b.high) && facts(a) === facts(b)
}

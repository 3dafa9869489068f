import type { Arithmetic, Num } from '../../quantity/index.js'
import type { ImportCharges, Undetermined } from './import-charges.js'

/** Several entries of one move as one account: amounts added, gaps listed once each. */
export function together<N extends Num<N>>(
  m: Arithmetic<N>,
  all: readonly ImportCharges<N>[],
): ImportCharges<N> {
  const sum = (of: (charges: ImportCharges<N>) => N) => m.sum(all.map(of))
  const refused = all.map((charges) => charges.ifRefused)
  return {
    entries: all.flatMap((charges) => charges.entries),
    fees: all.flatMap((charges) => charges.fees),
    customsValue: sum((charges) => charges.customsValue),
    duty: sum((charges) => charges.duty),
    excise: sum((charges) => charges.excise),
    tax: sum((charges) => charges.tax),
    fee: sum((charges) => charges.fee),
    total: sum((charges) => charges.total),
    totalHousehold: sum((charges) => charges.totalHousehold),
    ifRefused: refused.includes(undefined) ? undefined : m.sum(refused.flatMap((each) => each ?? [])),
    perLine: all.flatMap((charges) => charges.perLine),
    undetermined: merged(all.flatMap((charges) => charges.undetermined)),
    pools: all.at(-1)?.pools ?? new Map(),
  }
}

/** Gaps of the same kind and reason as one gap with all their lines. */
function merged(gaps: readonly Undetermined[]): Undetermined[] {
  const byKind = new Map<string, Undetermined>()
  for (const gap of gaps) {
    const key = `${gap.what} ${gap.why}`
    const known = byKind.get(key)
    byKind.set(key, known ? { ...known, lines: [...known.lines, ...gap.lines] } : gap)
  }
  return [...byKind.values()]
}

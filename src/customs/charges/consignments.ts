import type { Arithmetic, Num } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import { groupBy } from '../../tables/group-by.js'
import type { ChargeLine } from './charge-lines.js'
import type { ChargeRules } from './charge-rules.js'
import type { Entry } from './entry.js'
import { type CustomsCarriage, type ImportCharges, importCharges } from './import-charges.js'
import type { Undetermined } from './undetermined.js'

/** What carrying the main consignment costs, and each further one that has carriage of its own, by its name. */
export interface ConsignmentCarriage<N> extends CustomsCarriage<N> {
  readonly consignments?: ReadonlyMap<string, CustomsCarriage<N>>
}

/**
 * The charges of every consignment of a move as one account. Each is an entry of its own on its own day; those
 * without carriage of their own share the main one's by value. The earliest comes first, so that a ceiling which is
 * given once is used up once.
 *
 * @param rulesOn how the country charges on a day; undefined where the tables do not say, so that the main day's hold
 */
export function consignmentCharges<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  main: { readonly on: IsoDate; readonly rules: ChargeRules<N>; readonly carriage: ConsignmentCarriage<N> },
  rulesOn: (day: IsoDate) => ChargeRules<N> | undefined,
): ImportCharges<N> {
  const groups = new Map<
    string,
    { readonly name: string; readonly on: IsoDate; readonly lines: ChargeLine<N>[] }
  >()
  for (const line of lines) {
    const { consignment: name = '', importOn: on = main.on } = line
    const key = `${on} ${name}`
    const group = groups.get(key)
    if (group) group.lines.push(line)
    else groups.set(key, { name, on, lines: [line] })
  }
  const { carriage } = main
  const sorted = [...groups.values()].toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
  const [only] = sorted
  const isMain = only?.on === main.on && !carriage.consignments?.has(only.name)
  if (only === undefined || (sorted.length === 1 && isMain))
    return importCharges(m, lines, main.rules, carriage)
  const worthOf = (group: { readonly lines: typeof lines }) => m.sum(group.lines.map((line) => line.value))
  // What has carriage of its own takes nothing of the main one's.
  const sharing = sorted.filter(({ name }) => !carriage.consignments?.has(name))
  const whole = m.max(m.sum(sharing.map(worthOf)), m.of('0.000001'))
  const made: ImportCharges<N>[] = []
  for (const group of sorted) {
    const part = (amount: N) => amount.times(worthOf(group)).div(whole)
    const own = carriage.consignments?.get(group.name) ?? {
      freight: part(carriage.freight),
      insurance: part(carriage.insurance),
      inland: part(carriage.inland),
      exchange: carriage.exchange,
    }
    const rules = group.on === main.on ? main.rules : (rulesOn(group.on) ?? main.rules)
    made.push(importCharges(m, group.lines, rules, own, made.at(-1)?.pools))
  }
  return together(m, made)
}

/** Several entries of one move as one account: amounts added, gaps listed once each. */
export function together<N extends Num<N>>(
  m: Arithmetic<N>,
  all: readonly ImportCharges<N>[],
): ImportCharges<N> {
  const sum = (of: (charges: ImportCharges<N>) => N) => m.sum(all.map(of))
  const refused = all.map((charges) => charges.ifRefused)
  return {
    entries: entriesOf(m, all),
    fees: feesOf(m, all),
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

/** Entries of one class as one, whatever consignment they came with. */
function entriesOf<N extends Num<N>>(m: Arithmetic<N>, all: readonly ImportCharges<N>[]): Entry<N>[] {
  const classes = groupBy(
    all.flatMap((charges) => charges.entries),
    (entry) => entry.class,
  )
  return [...classes].map(([name, entries]) => ({
    class: name,
    lines: entries.flatMap((entry) => entry.lines),
    dutiable: m.sum(entries.map((entry) => entry.dutiable)),
    duty: m.sum(entries.map((entry) => entry.duty)),
    surcharges: entries.flatMap((entry) => entry.surcharges),
    excise: m.sum(entries.map((entry) => entry.excise)),
    taxBase: m.sum(entries.map((entry) => entry.taxBase)),
    tax: m.sum(entries.map((entry) => entry.tax)),
  }))
}

function feesOf<N extends Num<N>>(
  m: Arithmetic<N>,
  all: readonly ImportCharges<N>[],
): ImportCharges<N>['fees'] {
  const fees = groupBy(
    all.flatMap((charges) => charges.fees),
    (fee) => fee.id,
  )
  return [...fees].map(([id, same]) => ({
    id,
    label: same[0]?.label ?? id,
    amount: m.sum(same.map((fee) => fee.amount)),
  }))
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

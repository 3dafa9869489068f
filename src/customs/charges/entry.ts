import type { Arithmetic, Num } from '../../quantity/index.js'
import { groupBy } from '../../tables/group-by.js'
import { type Apportioned, share } from './apportion.js'
import type { ChargeRules, Surcharge } from './charge-rules.js'
import type { Undetermined } from './undetermined.js'

/** A class of goods on the declaration. */
export interface Entry<N> {
  readonly class: string
  readonly lines: readonly string[]
  /** Customs value of what is charged. */
  readonly dutiable: N
  /** Surcharges included. */
  readonly duty: N
  readonly surcharges: readonly { readonly id: string; readonly label: string; readonly amount: N }[]
  readonly excise: N
  readonly taxBase: N
  readonly tax: N
}

/** The entries of a declaration: the lines of each class on which something is charged. */
export function declaredEntries<N extends Num<N>>(
  m: Arithmetic<N>,
  parts: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
): { readonly entries: readonly Entry<N>[]; readonly undetermined: readonly Undetermined[] } {
  const undetermined: Undetermined[] = []
  const charged = parts.filter(
    ({ shares }) => shares.duty !== undefined || shares.tax !== undefined || shares.excise !== undefined,
  )
  const classes = groupBy(charged, (part) => part.line.class)
  const entries = [...classes.values()].map((group) => entryOf(m, group, rules, undetermined))
  return { entries, undetermined }
}

function entryOf<N extends Num<N>>(
  m: Arithmetic<N>,
  group: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
  undetermined: Undetermined[],
): Entry<N> {
  const zero = m.of(0)
  const goodsClass = group[0]?.line.class ?? ''
  const round = (amount: N, decimals = rules.decimals) => m.round(amount, decimals, rules.rounding)
  const rate = rules.dutyRate(goodsClass)
  const exciseRate = rules.exciseRate(goodsClass)
  const ids = (parts: readonly Apportioned<N>[]) => parts.map((part) => part.line.id)
  const dutiable = group.filter((part) => part.shares.duty !== undefined)
  const excised = group.filter((part) => part.shares.excise !== undefined)
  const noDuty = dutiable.length > 0 && rate === undefined
  const noExcise =
    excised.length > 0 && exciseRate === undefined && (rules.isExcisable?.(goodsClass) ?? false)
  // Tax is taken of value, duty and excise: where one of them is not known, neither is the tax.
  const taxable = group.filter(
    (part) =>
      part.shares.tax !== undefined &&
      !(noDuty && part.shares.duty !== undefined) &&
      !(noExcise && part.shares.excise !== undefined),
  )
  const untaxable = group.filter((part) => part.shares.tax !== undefined && !taxable.includes(part))
  if (noDuty || noExcise) {
    const named = [noDuty && 'duty', noExcise && 'excise', untaxable.length > 0 && 'import tax']
    const why = [
      noDuty && `no rate of duty for the class ${goodsClass} on that day`,
      noExcise && 'excise, and what states or provinces charge besides, is not in the tables',
    ]
    undetermined.push({
      what: `${listed(named.flatMap((name) => name || []))} on ${goodsClass}`,
      lines: ids([...new Set([...(noDuty ? dutiable : []), ...(noExcise ? excised : [])])]),
      why: why.flatMap((reason) => reason || []).join('; '),
    })
  }
  if (taxable.length > 0 && rules.taxRate === undefined) {
    undetermined.push({ what: 'import tax', lines: ids(taxable), why: 'no rate on that day' })
  }

  const dutyOn = (parts: readonly Apportioned<N>[]) => {
    const base = m.sum(parts.flatMap((part) => share(part.customsValue, part.shares.duty) ?? []))
    if (rate === undefined || parts.length === 0) return { base, duty: zero, surcharges: [] }
    const surcharges = surchargesOn(m, parts, rules, round)
    const tariff = round(round(base, rules.dutyBaseDecimals).times(rate))
    return { base, duty: m.sum([tariff, ...surcharges.map(({ amount }) => amount)]), surcharges }
  }
  const exciseOn = (parts: readonly Apportioned<N>[]) => {
    if (exciseRate === undefined || parts.length === 0) return zero
    const value = m.sum(parts.flatMap((part) => share(part.customsValue, part.shares.excise) ?? []))
    const duty = dutyOn(parts.filter((part) => part.shares.duty !== undefined)).duty
    return round(value.plus(duty).times(exciseRate))
  }
  const { base, duty, surcharges } = dutyOn(dutiable)
  const excise = noDuty ? zero : exciseOn(excised)
  const taxBase =
    taxable.length === 0
      ? zero
      : m.sum([
          m.sum(taxable.flatMap((part) => share(part.taxParts, part.shares.tax) ?? [])),
          dutyOn(taxable.filter((part) => part.shares.duty !== undefined)).duty,
          exciseOn(taxable.filter((part) => part.shares.excise !== undefined)),
        ])
  const tax = rules.taxRate === undefined || taxable.length === 0 ? zero : round(taxBase.times(rules.taxRate))
  return { class: goodsClass, lines: ids(group), dutiable: base, duty, surcharges, excise, taxBase, tax }
}

/** Names as a list in words: duty, excise and import tax. */
const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`

/** Surcharges on the dutiable parts of a class, each rounded once. */
function surchargesOn<N extends Num<N>>(
  m: Arithmetic<N>,
  parts: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
  round: (amount: N) => N,
): { id: string; label: string; amount: N }[] {
  const bases = new Map<string, { readonly rule: Surcharge<N>; readonly values: N[] }>()
  for (const part of parts) {
    const value = share(part.customsValue, part.shares.duty)
    if (value === undefined) continue
    for (const rule of rules.surcharges?.(part.line) ?? []) {
      const known = bases.get(rule.id)
      if (known) known.values.push(value)
      else bases.set(rule.id, { rule, values: [value] })
    }
  }
  return [...bases.values()].map(({ rule, values }) => ({
    id: rule.id,
    label: rule.label,
    amount: round(m.sum(values).times(rule.rate)),
  }))
}

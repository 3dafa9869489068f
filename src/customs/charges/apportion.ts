import type { Arithmetic, Num } from '../../quantity/index.js'
import type { ChargeLine } from './charge-lines.js'
import type { ChargeRules } from './charge-rules.js'
import type { CustomsCarriage } from './import-charges.js'

/** A line with its parts of carriage and the share of it that each levy is taken of. */
export interface Apportioned<N> {
  readonly line: ChargeLine<N>
  readonly customsValue: N
  /** Customs value plus what else the import tax is taken of, before duty. */
  readonly taxParts: N
  /** 1 where nothing is freed, between 0 and 1 for ceilings; undefined where all is freed, or open. */
  readonly shares: {
    readonly duty: N | undefined
    readonly excise: N | undefined
    readonly tax: N | undefined
  }
}

// Stands in for a sum of zero where it divides: shares of nothing are nothing.
const LEAST = '0.000001'

/** Part of an amount; undefined where the part is. */
export function share<N extends Num<N>>(amount: N, part: N | undefined): N | undefined {
  return part && amount.times(part)
}

/**
 * Each line with its part of carriage by value, as a declaration apportions it, and with the share of it that is
 * charged above a ceiling. One method over all lines, freed ones too: so more of one thing takes carriage from the
 * others, and can lower a duty that is taken of value and freight.
 */
export function apportion<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
  carriage: CustomsCarriage<N>,
  used: ReadonlyMap<string, N>,
): { readonly parts: Apportioned<N>[]; readonly pools: ReadonlyMap<string, N> } {
  const whole = m.max(m.sum(lines.map((line) => line.value)), m.of(LEAST))
  const freightAndCover = carriage.freight.plus(carriage.insurance)
  const { excess, pools } = excessShares(m, lines, carriage.exchange, used)
  const one = m.of(1)
  const parts = lines.map((line): Apportioned<N> => {
    const value = line.value.times(carriage.exchange)
    // Multiplied before it is divided: a rate of 34 digits would turn a half cent into a little more than one.
    const freight = value.times(freightAndCover).div(whole)
    const customsValue = rules.base === 'cif' ? value.plus(freight) : value
    let taxParts = customsValue.times(rules.taxUplift)
    if (rules.base === 'fob' && rules.taxAddsFreight) taxParts = taxParts.plus(freight)
    if (rules.taxAddsInland) taxParts = taxParts.plus(value.times(carriage.inland).div(whole))
    const relieved = line.ceiling
      ? excess(line, value)
      : line.proRata
        ? m.of(line.proRata.short).div(m.of(line.proRata.of))
        : undefined
    const of = (levy: 'duty' | 'excise' | 'tax') =>
      line.open?.[levy] ? undefined : line.free[levy] ? relieved : one
    return {
      line,
      customsValue,
      taxParts,
      shares: { duty: of('duty'), excise: of('excise'), tax: of('tax') },
    }
  })
  return { parts, pools }
}

/** The share of each line above its ceiling: of one piece, or of the pool that the line is in. */
function excessShares<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  exchange: N,
  used: ReadonlyMap<string, N>,
) {
  const least = m.of(LEAST)
  const zero = m.of(0)
  const excessOf = (value: N, ceiling: N) => m.max(value.minus(ceiling), zero).div(m.max(value, least))
  const values = new Map<string, N[]>()
  for (const { ceiling, value } of lines) {
    if (ceiling?.kind !== 'total') continue
    values.set(ceiling.pool, [...(values.get(ceiling.pool) ?? []), value.times(exchange)])
  }
  const sums = new Map([...values].map(([pool, each]) => [pool, m.sum(each)] as const))
  const shares = new Map<string, N>()
  const excess = (line: ChargeLine<N>, value: N): N => {
    const { ceiling } = line
    if (!ceiling) return zero
    if (ceiling.kind !== 'total') {
      const piece = value.div(m.of(line.quantity))
      if (ceiling.kind === 'per-item') return excessOf(piece, ceiling.amount)
      return m.choose(ceiling.amount, piece, zero, m.of(1))
    }
    const known = shares.get(ceiling.pool)
    if (known) return known
    const before = used.get(ceiling.pool)
    const left = before ? m.max(ceiling.amount.minus(before), zero) : ceiling.amount
    const pool = excessOf(sums.get(ceiling.pool) ?? zero, left)
    shares.set(ceiling.pool, pool)
    return pool
  }
  const pools = new Map(used)
  for (const [pool, sum] of sums) pools.set(pool, used.get(pool)?.plus(sum) ?? sum)
  return { excess, pools }
}

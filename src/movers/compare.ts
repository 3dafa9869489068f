import type { Decimal } from 'decimal.js'
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { priceForVolume } from '../cost/quote.js'
import { exact } from '../quantity/exact.js'
import type { MoverAnswer } from './answers.js'
import { type Question, type Rules, scoreOf } from './questions.js'

/** A service that the household wants from a mover, with the model's price for it. */
export interface BillLine {
  readonly service: string
  readonly label: string
  /** Grows with the volume: a price for less volume is cheap for that reason alone. */
  readonly byVolume: boolean
  readonly price: Decimal
}

/** What offers are brought to: the household's own volume and the services it wants. */
export interface Bill {
  readonly packedM3: Decimal
  readonly lines: readonly BillLine[]
  readonly currency: string
  /** Units of the household's currency for one unit of another. */
  readonly rates: ReadonlyMap<string, Decimal>
}

/** One mover's offer on the footing of the household. */
export interface Offer {
  readonly mover: string
  readonly stated: Decimal
  readonly forVolume: Decimal
  readonly leftOut: Decimal
  readonly levelled: Decimal
  /** Services the offer does not price, at the model's price in `leftOut`. */
  readonly missing: readonly string[]
  readonly unanswered: readonly string[]
  /** Score of the price and of each answer, 0 to 1. */
  readonly priceScore: number
  readonly scores: ReadonlyMap<string, number>
  /** All of it, weighted, 0 to 1. */
  readonly total: number
  /** Answers that exclude this mover; empty where none does. */
  readonly redLines: readonly { readonly question: string; readonly answer: string }[]
  readonly outlier: 'low' | 'high' | undefined
  /** Share of all weightings in which this mover comes first, 0 to 1. */
  readonly firstShare: number
}

/** How far a weight can move, the others in proportion, before another mover comes first. */
export interface WeightRange {
  /** `price`, or the id of a question. */
  readonly criterion: string
  readonly now: number
  readonly from: number
  readonly until: number
}

/** Movers compared: the best first, those excluded last. */
export interface Comparison {
  readonly offers: readonly Offer[]
  readonly first: Offer | undefined
  readonly ranges: readonly WeightRange[]
}

const DRAWS = 4000

/**
 * Movers on more than price. The price scores the least levelled price over its own, as tenders by quality and cost
 * do (World Bank, selection by quality and cost: Sf = 100 × Fm ÷ F; from memory); each answer scores as the rules say,
 * a blank scores 0; weights add them up. A red line excludes whatever the score.
 *
 * How sure the order is: for each weight the range within which the first stays first, and the share of all weightings,
 * drawn evenly, in which each mover comes first (rank acceptability, Lahdelma, Hokkanen and Salminen 1998; from memory).
 */
export function compareMovers(answers: readonly MoverAnswer[], bill: Bill, rules: Rules): Comparison {
  const levelled = answers.map((answer) => ({ answer, ...level(answer, bill) }))
  const open = levelled.filter(({ answer }) => redLinesOf(answer, rules.questions).length === 0)
  const least = exact.of(
    open.reduce<Decimal | undefined>((a, { levelled: b }) => (a?.lt(b) ? a : b), undefined) ?? 0,
  )
  const weights = weightsOf(rules)
  const rows = levelled.map(({ answer, ...price }) => {
    const redLines = redLinesOf(answer, rules.questions)
    const scores = new Map(
      rules.questions.map((question) => {
        const given = answer.answers.get(question.id)
        return [question.id, given === undefined ? 0 : scoreOf(question, given)] as const
      }),
    )
    const priceScore = price.levelled.isZero() ? 1 : Math.min(1, least.div(price.levelled).toNumber())
    const values = weights.map(({ criterion }) =>
      criterion === 'price' ? priceScore : (scores.get(criterion) ?? 0),
    )
    return { answer, ...price, redLines, scores, priceScore, values, total: weigh(values, weights) }
  })
  const free = rows.filter(({ redLines }) => redLines.length === 0)
  const firsts = acceptability(
    free.map(({ values }) => values),
    weights.length,
  )
  const offers = rows
    .map((row): Offer => {
      const { answer, values: _, ...rest } = row
      return {
        ...rest,
        mover: answer.mover,
        unanswered: answer.unanswered,
        outlier: outlierOf(
          row.levelled,
          rows.filter((other) => other !== row).map((o) => o.levelled),
          rules,
        ),
        firstShare: firsts[free.indexOf(row)] ?? 0,
      }
    })
    .sort((a, b) => Number(a.redLines.length > 0) - Number(b.redLines.length > 0) || b.total - a.total)
  const first = offers.find(({ redLines }) => redLines.length === 0)
  const best = free.find(({ answer }) => answer.mover === first?.mover)
  return {
    offers,
    first,
    ranges: best
      ? weights.map(({ criterion }, at) =>
          rangeOf(
            criterion,
            at,
            best.values,
            free.filter((row) => row !== best).map(({ values }) => values),
            weights,
          ),
        )
      : [],
  }
}

function level(answer: MoverAnswer, bill: Bill) {
  const own = (price: Decimal, currency: string): Decimal => {
    if (currency === bill.currency) return price
    const rate = bill.rates.get(currency)
    if (!rate) throw new Error(`no rate of ${currency} for the offer of ${answer.mover}`)
    return price.times(rate)
  }
  const byVolume = new Set(bill.lines.filter((line) => line.byVolume).map(({ service }) => service))
  const rows = answer.prices.map(({ services, price, currency }) => {
    const stated = own(price, currency)
    const adjusted = services.every((service) => byVolume.has(service))
      ? priceForVolume(stated, answer.volumeM3, bill.packedM3)
      : stated
    return { stated, adjusted }
  })
  const priced = new Set(answer.prices.flatMap(({ services }) => services))
  const missing = bill.lines.filter(({ service }) => !priced.has(service))
  const stated = exact.round(exact.sum(rows.map((row) => row.stated)), 2)
  const adjusted = exact.round(exact.sum(rows.map((row) => row.adjusted)), 2)
  const leftOut = exact.round(exact.sum(missing.map(({ price }) => price)), 2)
  return {
    stated,
    forVolume: adjusted.minus(stated),
    leftOut,
    levelled: adjusted.plus(leftOut),
    missing: missing.map(({ service }) => service),
  }
}

function redLinesOf(answer: MoverAnswer, questions: readonly Question[]) {
  return questions.flatMap(({ id, redLine }) => {
    const given = answer.answers.get(id)
    const text = given === undefined ? '' : given.toString()
    return text !== '' && redLine.includes(text) ? [{ question: id, answer: text }] : []
  })
}

function outlierOf(levelled: Decimal, others: readonly Decimal[], rules: Rules): Offer['outlier'] {
  if (others.length < 2) return undefined
  const sorted = [...others].sort((a, b) => a.cmp(b))
  const middle = sorted.length / 2
  const upper = sorted[Math.floor(middle)] ?? levelled
  const lower = sorted[Math.ceil(middle) - 1] ?? upper
  const median = lower.plus(upper).div(2)
  if (median.isZero()) return undefined
  const ratio = levelled.div(median).toNumber()
  if (ratio < rules.outlierBelow) return 'low'
  return ratio > rules.outlierAbove ? 'high' : undefined
}

interface Weight {
  readonly criterion: string
  readonly weight: number
}

/** The price and each question with its share of one. */
function weightsOf({ questions, priceWeight }: Rules): Weight[] {
  const all = questions.reduce((sum, { weight }) => sum + weight, 0)
  const price = all === 0 ? 1 : priceWeight
  return [
    { criterion: 'price', weight: price },
    ...questions.map(({ id, weight }) => ({
      criterion: id,
      weight: all === 0 ? 0 : ((1 - price) * weight) / all,
    })),
  ]
}

const weigh = (values: readonly number[], weights: readonly Weight[]): number =>
  values.reduce((sum, value, at) => sum + value * (weights[at]?.weight ?? 0), 0)

/**
 * A score is linear in one weight w when the others shrink in proportion: w·x + (1 − w)·rest. The first stays first
 * between the nearest crossings on both sides of its present weight.
 */
function rangeOf(
  criterion: string,
  at: number,
  best: readonly number[],
  others: readonly (readonly number[])[],
  weights: readonly Weight[],
): WeightRange {
  const now = weights[at]?.weight ?? 0
  const rest = (values: readonly number[]): number => {
    const left = 1 - now
    return left === 0 ? 0 : (weigh(values, weights) - now * (values[at] ?? 0)) / left
  }
  let [from, until] = [0, 1]
  for (const other of others) {
    // The lead of the best over the other: lead(w) = w·a + (1 − w)·b.
    const a = (best[at] ?? 0) - (other[at] ?? 0)
    const b = rest(best) - rest(other)
    if (a === b) continue
    const crossing = b / (b - a)
    if (a < b && crossing < until && crossing >= now) until = crossing
    if (a > b && crossing > from && crossing <= now) from = crossing
  }
  return { criterion, now, from, until }
}

/** How often each comes first when the weights are drawn evenly from all that add up to one; the same draws every time. */
function acceptability(rows: readonly (readonly number[])[], criteria: number): number[] {
  const wins = rows.map(() => 0)
  if (rows.length === 0) return wins
  const random = xoroshiro128plus(1)
  for (let draw = 0; draw < DRAWS; draw += 1) {
    // Exponentials over their sum are spread evenly over the simplex.
    const weights = Array.from({ length: criteria }, () => -Math.log(1 - uniformFloat64(random)))
    const scores = rows.map((values) => values.reduce((sum, v, k) => sum + v * (weights[k] ?? 0), 0))
    const best = scores.indexOf(Math.max(...scores))
    wins[best] = (wins[best] ?? 0) + 1
  }
  return wins.map((count) => count / DRAWS)
}

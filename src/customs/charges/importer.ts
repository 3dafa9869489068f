import type { Decimal } from 'decimal.js'
import { exact } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import type { DutyMove } from '../move.js'
import { assessFor, insideOneTerritory, jurisdictionOf } from '../relief/assess.js'
import { type LineAssessment, RANK } from '../relief/verdict.js'
import type { CustomsTables } from '../tables.js'
import { type Counting, chargeLines } from './charge-lines.js'
import { type ChargeRules, chargeRules } from './charge-rules.js'
import { type ConsignmentCarriage, consignmentCharges } from './consignments.js'
import type { ImportCharges } from './import-charges.js'
import type { Undetermined } from './undetermined.js'

/** One way of declaring the consignment: everything by one person, or each thing by its owner. */
export interface ImporterOption {
  /** The person's name, or `each owner`. */
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
  /** Undefined where the tables do not say how the destination charges. */
  readonly charges: ImportCharges<Decimal> | undefined
  readonly undetermined: readonly Undetermined[]
}

/** What customs comes to, with the importer who pays least. */
export interface CustomsOutcome {
  readonly best: ImporterOption
  readonly options: readonly ImporterOption[]
  readonly rules: ChargeRules<Decimal> | undefined
  /** Currency of the charges; undefined where the tables do not have the destination. */
  readonly currency: string | undefined
  /** Whom to ask. */
  readonly authority: string
}

/** Freight to the border, insurance, inland carriage and the declared rate, in decimals. */
export type CarriageAmounts = ConsignmentCarriage<Decimal>

/** Whom to ask about customs at the destination. */
export const authorityOf = (tables: CustomsTables, country: string): string =>
  jurisdictionOf(tables, country)?.authority ?? `the customs authority of ${country}`

/** The same gaps with whom to ask about them. */
export const withAsk = (gaps: readonly Undetermined[], ask: string): Undetermined[] =>
  gaps.map((gap) => ({ ask, ...gap }))

/**
 * Relief and charges of a move under every way of choosing the importer, and the one that pays least.
 *
 * Each person is tried as importer of everything; where lines have different owners, each owner importing their
 * own is tried too. Equal totals go to the earlier person. A household without people is an error of its file.
 *
 * Further consignments are entries of their own, each on its day and with its own carriage; a ceiling that is given
 * once is used up once, by the earliest first.
 *
 * @param carriage in the household's currency
 * @param counting leave relief at the authority's discretion out (`excluded`) or count it in (`included`)
 * @param on the day whose rates hold for the main consignment; the day of import unless given
 */
export function customsOutcome(
  tables: CustomsTables,
  move: DutyMove,
  carriage: CarriageAmounts,
  counting: Counting = 'excluded',
  on: IsoDate = move.importOn,
): CustomsOutcome {
  const authority = authorityOf(tables, move.destination)
  const inside = insideOneTerritory(tables, move)
  const charging = chargeRules(exact, tables, move.destination, on)
  const byPerson = new Map(move.people.map((person) => [person.person, assessFor(tables, move, person)]))
  const [first] = move.people
  if (first === undefined)
    throw new Error('no people in the move, so nobody to import; give people.csv one row or more')
  const ways = [...byPerson].map(([importer, assessments]) => ({ importer, assessments }))
  const owners = new Set(move.lines.map((line) => line.owner ?? first.person))
  if (owners.size > 1) {
    const assessments = move.lines.flatMap((line, i) => byPerson.get(line.owner ?? first.person)?.[i] ?? [])
    const strangers = [...owners].filter((owner) => !byPerson.has(owner))
    if (strangers.length > 0)
      throw new Error(`unknown owner "${strangers[0]}"; people: ${[...byPerson.keys()].join(', ')}`)
    ways.push({ importer: 'each owner', assessments })
  }
  const heads = headcount(move)
  const values = new Map(move.lines.map((line) => [line.id, line.value]))
  const options = ways.map(({ importer, assessments }): ImporterOption => {
    if (inside) return { importer, assessments, charges: undefined, undetermined: [] }
    const { lines, undetermined } = chargeLines(exact, assessments, (id) => values.get(id), counting, heads)
    const charges =
      charging.rules &&
      consignmentCharges(
        exact,
        lines,
        { on, rules: charging.rules, carriage },
        (day) => chargeRules(exact, tables, move.destination, day).rules,
      )
    // A rate that no line needs is no gap.
    const gaps = charges?.undetermined ?? charging.undetermined
    return { importer, assessments, charges, undetermined: withAsk([...undetermined, ...gaps], authority) }
  })
  return {
    best: options.reduce((best, next) => (cheaper(next, best) ? next : best)),
    options,
    rules: charging.rules,
    currency: charging.currency,
    authority,
  }
}

/** Adults and minors of a household, for ceilings that are given per head. */
export function headcount(move: Pick<DutyMove, 'people'>): {
  readonly adults: number
  readonly minors: number
} {
  const adults = move.people.filter((person) => person.adult).length
  return { adults, minors: move.people.length - adults }
}

const badness = (option: ImporterOption) => option.assessments.reduce((sum, a) => sum + RANK[a.verdict], 0)

/**
 * Which of two ways is the cheaper one. Where something is open, what it may come to counts: an importer of whom
 * less is known must not look cheap.
 */
function cheaper(a: ImporterOption, b: ImporterOption): boolean {
  const [most, other] = [mostOf(a), mostOf(b)]
  if (most && other && !most.eq(other)) return most.lt(other)
  return badness(a) < badness(b)
}

const mostOf = ({ charges }: ImporterOption): Decimal | undefined =>
  charges && (charges.ifRefused ?? charges.total)

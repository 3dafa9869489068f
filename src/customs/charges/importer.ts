import type { Decimal } from 'decimal.js'
import { exact } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import type { DutyMove } from '../move.js'
import { assessFor, insideOneTerritory, jurisdictionOf, type LineAssessment } from '../relief/assess.js'
import type { CustomsTables } from '../tables.js'
import {
  type Carriage,
  type ChargeRules,
  type Counting,
  chargeLines,
  chargeRules,
  type ImportCharges,
  importCharges,
  type Undetermined,
} from './charge.js'

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
export type CarriageAmounts = Carriage<Decimal>

/**
 * Relief and charges of a move under every way of choosing the importer, and the one that pays least.
 *
 * Each person is tried as importer of everything; where lines have different owners, each owner importing their
 * own is tried too. Equal totals go to the earlier person. A household without people is an error of its file.
 *
 * @param carriage in the household's currency
 * @param counting count relief at the authority's discretion as refused (`sure`) or as granted (`hoped`)
 * @param on the day whose rates hold; the day of import unless given
 */
export function customsOutcome(
  tables: CustomsTables,
  move: DutyMove,
  carriage: CarriageAmounts,
  counting: Counting = 'sure',
  on: IsoDate = move.importOn,
): CustomsOutcome {
  const jurisdiction = jurisdictionOf(tables, move.destination)
  const authority = jurisdiction?.authority ?? `the customs authority of ${move.destination}`
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
    const { lines, undetermined } = chargeLines(exact, assessments, (id) => values.get(id), counting, heads)
    if (inside) return { importer, assessments, charges: undefined, undetermined: [] }
    const charges = charging.rules && importCharges(exact, lines, charging.rules, carriage)
    // A rate that no line needs is no gap.
    const gaps = charging.rules ? (charges?.undetermined ?? []) : charging.undetermined
    const unknown = assessments.filter((a) => a.verdict === 'unknown').map((a) => a.line.id)
    const open =
      unknown.length > 0
        ? [{ what: 'relief', lines: unknown, why: `the tables or the facts do not tell; ask ${authority}` }]
        : []
    return { importer, assessments, charges, undetermined: [...undetermined, ...gaps, ...open] }
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

const RANK = { qualifies: 0, discretionary: 1, unknown: 2, refused: 3 } as const
const badness = (option: ImporterOption) => option.assessments.reduce((sum, a) => sum + RANK[a.verdict], 0)

function cheaper(a: ImporterOption, b: ImporterOption): boolean {
  if (a.charges && b.charges && !a.charges.total.eq(b.charges.total))
    return a.charges.total.lt(b.charges.total)
  return badness(a) < badness(b)
}

import type { IsoDate } from '../../tables/fields.js'
import { addMonths, daysBetween, latestBeginning, reachedOn, totalMonths } from '../calendar.js'
import type { DutyLine } from '../move.js'
import type { Levy } from '../shared-columns.js'
import type { ReliefRow, Span } from './columns.js'
import { asked, OUTCOME_RANK, type Outcome, type Rank, type Test } from './verdict.js'

/** A rule with all that does not depend on the line worked out once. */
export interface Route {
  readonly row: ReliefRow
  readonly abroadSince: IsoDate
  /** Its tests of the person, its window and its time of ownership; a later consignment has its own. */
  readonly onImport: (importOn: IsoDate | undefined) => OnImport
  readonly isExcluded: (goodsClass: string) => boolean
  /** Is the class one the rule is about? */
  readonly isMeant: (goodsClass: string) => boolean
  readonly about: Readonly<Record<Levy, boolean>>
}

/** What of a rule depends on the day of import. */
export interface OnImport {
  readonly on: IsoDate
  readonly tests: readonly Test[]
  readonly rank: Rank
  readonly owned: OwnedRule | undefined
}

export interface OwnedRule {
  readonly to: IsoDate
  readonly latestStart: IsoDate
  readonly span: Span
  readonly anchor: NonNullable<ReliefRow['owned_to']>
  readonly listedOn?: IsoDate | undefined
}

type Found = (outcome: Outcome, details: () => Omit<Test, 'outcome'>) => void

/**
 * Runs every test of a rule on a line. The one place where tests are decided: without a list only the worst outcome
 * is kept, with one each test is written down as well.
 */
export function runTests(route: Route, line: DutyLine, list: Test[] | undefined): Rank {
  const { row } = route
  const onImport = route.onImport(line.importOn)
  list?.push(...onImport.tests)
  // What the person fails no thing can mend; without a list nobody asks which tests besides.
  if (row.effect === 'none' || (list === undefined && onImport.rank === OUTCOME_RANK.fail))
    return onImport.rank
  let rank = onImport.rank
  const found: Found = (outcome, details) => {
    if (OUTCOME_RANK[outcome] > rank) rank = OUTCOME_RANK[outcome]
    list?.push({ ...details(), outcome })
  }
  if (!route.isMeant(line.class)) found('fail', () => ({ test: 'only', because: row.only.join(', ') }))
  if (route.isExcluded(line.class)) found('fail', () => ({ test: 'class', because: line.class }))
  const taxFree = line.held === 'tax-free' && typeof row.tax_free_months === 'number'
  if (taxFree) found('waivable', () => ({ test: 'held', because: line.held }))
  else if (row.held_excluded.includes(line.held)) found('fail', () => ({ test: 'held', because: line.held }))
  if (row.used_only && line.condition === 'new') found('fail', () => ({ test: 'used' }))
  if (row.listed) {
    const listed = line.notListed === undefined ? 'assumed' : line.notListed ? 'fail' : 'pass'
    found(listed, () => ({ test: 'listed' }))
  }
  if (row.acquired === 'before-abroad') takenAlong(route, line, found)
  if (line.kind !== 'goods') vehicleTests(row, line, onImport.on, found)
  if (row.owned_months === 'unknown') found('unknown', () => ({ test: 'owned' }))
  if (onImport.owned) ownedTest(row, onImport.owned, line, taxFree, found)
  return rank
}

/**
 * Things that went along when the person moved abroad, and come back. Where the law wants proof that they were
 * exported, a household without it has no right to relief, so it is left to the authority.
 */
function takenAlong({ row, abroadSince }: Route, line: DutyLine, found: Found): void {
  const from = line.acquiredOn
  const along = row.on_application ? 'waivable' : 'assumed'
  const outcome = from === undefined ? 'unknown' : from <= abroadSince ? along : 'fail'
  found(outcome, () => ({ test: 'taken-along', to: abroadSince, ...(from && { from }) }))
}

function vehicleTests(row: ReliefRow, line: DutyLine, on: IsoDate, found: Found): void {
  if (row.max_length_m && line.kind === 'boat') {
    const longest = row.max_length_m.toNumber()
    const length = line.lengthM === undefined ? 'unknown' : line.lengthM <= longest ? 'pass' : 'fail'
    found(length, () => ({ test: 'length', needed: longest }))
  }
  if (row.max_age_years !== undefined) {
    const oldest = row.max_age_years
    const last = line.madeOn && addMonths(line.madeOn, oldest * 12)
    const outcome = last === undefined ? 'unknown' : on <= last ? 'pass' : 'fail'
    found(outcome, () => ({ test: 'vehicle-age', needed: oldest, to: on, ...(last && { meetsOn: last }) }))
  }
  if (row.steering !== undefined) {
    const side = row.steering
    const outcome = line.steering === undefined ? 'unknown' : line.steering === side ? 'pass' : 'fail'
    found(outcome, () => ({ test: 'steering', because: side }))
  }
  if (row.min_euro !== undefined) {
    const least = row.min_euro
    const outcome = line.euroClass === undefined ? 'unknown' : line.euroClass >= least ? 'pass' : 'fail'
    found(outcome, () => ({ test: 'emissions', needed: least }))
  }
}

function ownedTest(row: ReliefRow, owned: OwnedRule, line: DutyLine, taxFree: boolean, found: Found): void {
  const span = taxFree ? { months: Number(row.tax_free_months), over: false } : owned.span
  const base = () => ({ test: 'owned', ...asked(span), to: owned.to, anchor: owned.anchor }) as const
  if (row.owned_how === 'total' && line.used) {
    const total = totalMonths(line.used)
    const enough = span.over ? total > span.months : total >= span.months
    found(enough ? 'pass' : 'fail', () => ({ ...base(), because: `${total} months of use in all` }))
    return
  }
  const from = line.acquiredOn
  if (from === undefined) {
    // Where no length of time is asked, what is on a list made before that day is taken to be theirs by then.
    const { listedOn } = owned
    const theirs = span.months === 0 && !span.over && listedOn !== undefined && listedOn <= owned.to
    if (theirs) found('assumed', () => ({ ...base(), because: `on the list of ${listedOn}` }))
    else found('unknown', () => ({ ...base(), because: 'no day of purchase or first use is given' }))
    return
  }
  const start = taxFree ? latestBeginning(owned.to, span) : owned.latestStart
  if (from <= start) {
    found('pass', () => ({ ...base(), from, daysShort: 0 }))
    return
  }
  const proRata = row.owned_how === 'pro-rata'
  found(proRata ? 'pass' : row.waivable.includes('owned') ? 'waivable' : 'fail', () => {
    const meetsOn = reachedOn(from, span)
    const short = { ...base(), from, meetsOn, daysShort: daysBetween(owned.to, meetsOn) }
    return proRata ? { ...short, because: 'charged by the day' } : short
  })
}

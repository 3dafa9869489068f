import type { IsoDate } from '../../tables/fields.js'
import {
  addMonths,
  daysBetween,
  latestStart,
  periodEnd,
  totalMonths,
  wholeMonthsBetween,
} from '../calendar.js'
import type { DutyLine, DutyMove, DutyPerson } from '../move.js'
import type { Anchor, CustomsTables, Jurisdiction, Kind, Levy, ReliefRow } from '../tables.js'
import { holdsOn, LEVIES } from '../tables.js'

/** The answer of a rule: `unknown` where the tables or the household do not say enough to tell. */
export type Verdict = 'qualifies' | 'discretionary' | 'unknown' | 'refused'

/** How one test ended. `waivable`: failed, but the authority may set it aside. `assumed`: passes if what it says is so. */
export type Outcome = 'pass' | 'assumed' | 'waivable' | 'unknown' | 'fail'

export type TestName =
  | 'covered'
  | 'nationality'
  | 'adult'
  | 'first-time'
  | 'earlier-relief'
  | 'permit'
  | 'residence'
  | 'abroad'
  | 'application'
  | 'window'
  | 'class'
  | 'held'
  | 'used'
  | 'owned'
  | 'listed'
  | 'length'

/** One test of one rule, with the facts its sentence is made of. */
export interface Test {
  readonly test: TestName
  readonly outcome: Outcome
  /** What the law asks, e.g. months; and to which day it counts. */
  readonly needed?: number
  readonly from?: IsoDate
  readonly to?: IsoDate
  readonly anchor?: Anchor
  /** The day on which the test is met, or the last day on which it was. */
  readonly meetsOn?: IsoDate
  /** By how many days it fails; for a window, how many days late or early. */
  readonly daysShort?: number
  readonly because?: string
}

/** One rule tried on one person and one line. */
export interface RouteAssessment {
  readonly row: ReliefRow
  readonly verdict: Verdict
  readonly tests: readonly Test[]
  /** For relief charged by the day: the days short and the days asked, so that short/of is charged. */
  readonly proRata?: { readonly short: number; readonly of: number } | undefined
}

/** One line with one person as its importer: each levy on its own, the whole as bad as its worst levy. */
export interface LineAssessment {
  readonly line: DutyLine
  readonly person: string
  readonly verdict: Verdict
  readonly levies: Readonly<Record<Levy, Verdict>>
  /** The rule that decides each levy: the kindest one; undefined where none is about it. */
  readonly by: Readonly<Record<Levy, RouteAssessment | undefined>>
  readonly routes: readonly RouteAssessment[]
}

type Rank = 0 | 1 | 2 | 3
const VERDICTS = ['qualifies', 'discretionary', 'unknown', 'refused'] as const
const RANK: Record<Verdict, Rank> = { qualifies: 0, discretionary: 1, unknown: 2, refused: 3 }
const NOT_FREED: Rank = 3
const OUTCOME_RANK: Record<Outcome, Rank> = { pass: 0, assumed: 0, waivable: 1, unknown: 2, fail: 3 }

function rankOf(tests: readonly Test[]): Rank {
  let worst: Rank = 0
  for (const { outcome } of tests) if (OUTCOME_RANK[outcome] > worst) worst = OUTCOME_RANK[outcome]
  return worst
}

/** What a set of tests comes to: as bad as the worst of them. */
export const verdictOf = (tests: readonly Test[]): Verdict => VERDICTS[rankOf(tests)]

/** The rule that the verdict of a line rests on: that of the worse of duty and tax; undefined where none is about it. */
export function decidingRoute({ verdict, levies, by, routes }: LineAssessment): RouteAssessment | undefined {
  return (levies.duty === verdict ? by.duty : by.tax) ?? routes[0]
}

/** The customs territory of a country, if the tables have it. */
export const jurisdictionOf = (tables: CustomsTables, country: string): Jurisdiction | undefined =>
  tables.jurisdictionOfCountry.get(country)

/** Is this a move inside one customs territory, which needs no import at all? */
export function insideOneTerritory(
  tables: CustomsTables,
  move: Pick<DutyMove, 'origin' | 'destination'>,
): boolean {
  const to = jurisdictionOf(tables, move.destination)
  return move.origin === move.destination || (to !== undefined && to === jurisdictionOf(tables, move.origin))
}

/**
 * Relief for every line of a move with one person as the importer.
 *
 * A destination the tables do not have gives `unknown` on every line: never a guess.
 * Months are counted as the law of the row counts them; see calendar.ts.
 */
export function assessFor(tables: CustomsTables, move: DutyMove, person: DutyPerson): LineAssessment[] {
  if (insideOneTerritory(tables, move)) {
    return move.lines.map((line) => withoutImport(line, person.person))
  }
  const jurisdiction = jurisdictionOf(tables, move.destination)
  return assessIn(tables, jurisdiction, move, person)
}

/** The same with the jurisdiction given: for a look at all of them. */
export function assessIn(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): LineAssessment[] {
  const routes = routesByKind(tables, jurisdiction, move, person)
  return move.lines.map((line) => assessLine(routes[line.kind], line, person.person))
}

/**
 * Only the verdict of each line, as `assessIn` gives it, without the tests behind it: for a look at a thousand lines
 * in every jurisdiction.
 */
export function verdictsIn(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Verdict[] {
  const routes = routesByKind(tables, jurisdiction, move, person)
  return move.lines.map((line) => {
    const tried = routes[line.kind]
    if (tried.length === 0) return 'unknown'
    // As the whole is as bad as the worse of duty and tax, and each is as good as its kindest rule.
    let duty: Rank = NOT_FREED
    let tax: Rank = NOT_FREED
    for (const route of tried) {
      const rank = runTests(route, line, undefined)
      if (route.about.duty && rank < duty) duty = rank
      if (route.about.tax && rank < tax) tax = rank
    }
    return VERDICTS[duty > tax ? duty : tax]
  })
}

/** The days between which goods must be imported under one rule. */
export interface ImportWindow {
  readonly row: ReliefRow
  /** First day, where the law lets goods in before the person; undefined where it sets none. */
  readonly first: IsoDate | undefined
  /** Last day; undefined where the law, or what was read of it, sets none. */
  readonly last: IsoDate | undefined
}

/**
 * The days between which a consignment, the first or a later one, must be imported for a person's relief.
 * Rules without a window are left out.
 */
export function importWindows(tables: CustomsTables, move: DutyMove, person: DutyPerson): ImportWindow[] {
  const jurisdiction = jurisdictionOf(tables, move.destination)
  return reliefRows(tables, jurisdiction?.id, person, move.importOn).flatMap((row) => {
    const event = row.window_from && anchorDay(row.window_from, move, person, move.importOn)
    if (row.effect === 'none' || event === undefined) return []
    const { before, after, window_unit: unit, roll } = row
    return {
      row,
      first: typeof before === 'number' ? periodEnd(event, -before, unit) : undefined,
      last: typeof after === 'number' ? periodEnd(event, after, unit, roll) : undefined,
    }
  })
}

type RoutesByKind = Readonly<Record<Kind, readonly Route[]>>

function routesByKind(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): RoutesByKind {
  const routes = reliefRows(tables, jurisdiction?.id, person, move.importOn).map((row) =>
    routeFor(row, tables, jurisdiction, move, person),
  )
  const of = (kind: Kind) => routes.filter(({ row }) => row.kinds.includes(kind))
  return {
    goods: of('goods'),
    car: of('car'),
    motorcycle: of('motorcycle'),
    trailer: of('trailer'),
    boat: of('boat'),
  }
}

function reliefRows(
  tables: CustomsTables,
  jurisdiction: string | undefined,
  person: DutyPerson,
  on: IsoDate,
): ReliefRow[] {
  return [...(tables.relief.get(jurisdiction ?? '') ?? []), ...(tables.relief.get('any') ?? [])].filter(
    (row) => row.statuses.includes(person.status) && holdsOn(row, on),
  )
}

const ALL_FREE = { duty: 'qualifies', excise: 'qualifies', tax: 'qualifies', fee: 'qualifies' } as const
const NOBODY = { duty: undefined, excise: undefined, tax: undefined, fee: undefined }

const withoutImport = (line: DutyLine, person: string): LineAssessment => ({
  line,
  person,
  verdict: 'qualifies',
  levies: ALL_FREE,
  by: NOBODY,
  routes: [],
})

/** A rule with all that does not depend on the line worked out once. */
interface Route {
  readonly row: ReliefRow
  /** Its tests of the person, its window and its time of ownership; a later consignment has its own. */
  readonly onImport: (importOn: IsoDate | undefined) => OnImport
  readonly isExcluded: (goodsClass: string) => boolean
  readonly about: Readonly<Record<Levy, boolean>>
}

/** What of a rule depends on the day of import. */
interface OnImport {
  readonly tests: readonly Test[]
  readonly rank: Rank
  readonly owned: OwnedRule | undefined
}

interface OwnedRule {
  readonly to: IsoDate
  readonly latestStart: IsoDate
  readonly months: number
}

function routeFor(
  row: ReliefRow,
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Route {
  const excluded = new Set(row.excluded)
  const before = personTests(row, jurisdiction, move, person)
  const waived = isOwnershipWaived(row, person, move)
  const make = (importOn: IsoDate): OnImport => {
    const to = row.owned_to && anchorDay(row.owned_to, move, person, importOn)
    const owned =
      typeof row.owned_months === 'number' && to !== undefined && !waived
        ? { to, months: row.owned_months, latestStart: latestStart(to, row.owned_months) }
        : undefined
    const tests = row.effect === 'none' ? before : [...before, ...windowTests(row, move, person, importOn)]
    return { tests, rank: rankOf(tests), owned }
  }
  const usual = make(move.importOn)
  const later = new Map<IsoDate, OnImport>()
  const about = (levy: Levy) => row.effect === 'none' || row.frees.includes(levy)
  return {
    row,
    about: { duty: about('duty'), excise: about('excise'), tax: about('tax'), fee: about('fee') },
    isExcluded: (goodsClass) =>
      excluded.size > 0 &&
      (excluded.has(goodsClass) || excluded.has(tables.classes.get(goodsClass)?.group ?? '')),
    onImport: (importOn) => {
      if (importOn === undefined) return usual
      const made = later.get(importOn) ?? make(importOn)
      later.set(importOn, made)
      return made
    },
  }
}

function anchorDay(
  anchor: Anchor,
  move: DutyMove,
  person: DutyPerson,
  importOn: IsoDate,
): IsoDate | undefined {
  switch (anchor) {
    case 'leave':
      return person.leaves_on
    case 'ship':
      return [move.loadOn, person.leaves_on].toSorted()[0]
    case 'arrive':
      return person.arrives_on
    case 'first-arrival':
      return person.first_arrival_on ?? person.arrives_on
    case 'import':
      return importOn
    case 'wedding':
      return person.marriedOn
    case 'inheritance':
      return person.inheritedOn
  }
}

function isOwnershipWaived(row: ReliefRow, person: DutyPerson, move: DutyMove): boolean {
  if (typeof row.owned_waived_abroad !== 'number') return false
  const to = anchorDay(row.abroad_to ?? 'arrive', move, person, move.importOn)
  return to !== undefined && wholeMonthsBetween(person.abroad_since, to) >= row.owned_waived_abroad
}

function personTests(
  row: ReliefRow,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Test[] {
  if (row.effect === 'none') return [{ test: 'covered', outcome: 'fail', because: row.refusal ?? '' }]
  const tests: Test[] = []
  if (row.national !== undefined) {
    const outcome: Outcome =
      person.nationality === undefined
        ? 'unknown'
        : (jurisdiction?.countries.includes(person.nationality) ?? false) === (row.national === 'yes')
          ? 'pass'
          : 'fail'
    tests.push({
      test: 'nationality',
      outcome,
      because: row.national === 'yes' ? 'nationals only' : 'not for nationals',
    })
  }
  if (row.adult_only) tests.push({ test: 'adult', outcome: person.adult ? 'pass' : 'fail' })
  if (row.first_time) {
    const before = person.livedThereBefore
    tests.push({ test: 'first-time', outcome: before === undefined ? 'assumed' : before ? 'fail' : 'pass' })
  }
  if (typeof row.again_months === 'number') {
    const free = person.reliefUsedOn && addMonths(person.reliefUsedOn, row.again_months)
    if (free === undefined)
      tests.push({ test: 'earlier-relief', outcome: 'assumed', needed: row.again_months })
    else {
      const late = Math.max(0, daysBetween(move.importOn, free))
      tests.push({
        test: 'earlier-relief',
        outcome: late > 0 ? 'fail' : 'pass',
        needed: row.again_months,
        meetsOn: free,
        daysShort: late,
      })
    }
  }
  if (typeof row.permit_months === 'number' && person.status !== 'returning') {
    const months = person.permit_months
    const outcome: Outcome = months === undefined ? 'unknown' : months >= row.permit_months ? 'pass' : 'fail'
    tests.push({ test: 'permit', outcome, needed: row.permit_months })
  }
  if (person.tiesOnBothSides) {
    tests.push({ test: 'residence', outcome: row.waivable.includes('residence') ? 'waivable' : 'unknown' })
  }
  tests.push(...abroadTests(row, move, person))
  if (row.on_application)
    tests.push({ test: 'application', outcome: 'assumed', because: row.discretion ?? '' })
  return tests
}

function abroadTests(row: ReliefRow, move: DutyMove, person: DutyPerson): Test[] {
  if (row.abroad_months === 'unknown') return [{ test: 'abroad', outcome: 'unknown' }]
  const to = anchorDay(row.abroad_to ?? 'leave', move, person, move.importOn)
  if (to === undefined) return []
  const tests: Test[] = []
  if (typeof row.abroad_months === 'number') {
    const meetsOn = addMonths(person.abroad_since, row.abroad_months)
    const daysShort = Math.max(0, daysBetween(to, meetsOn))
    const failed = row.waivable.includes('abroad') ? 'waivable' : 'fail'
    tests.push({
      test: 'abroad',
      outcome: daysShort === 0 ? 'pass' : failed,
      needed: row.abroad_months,
      from: person.abroad_since,
      to,
      anchor: row.abroad_to ?? 'leave',
      meetsOn,
      daysShort,
    })
  }
  if (typeof row.abroad_under === 'number' && addMonths(person.abroad_since, row.abroad_under) <= to) {
    tests.push({
      test: 'abroad',
      outcome: 'fail',
      because: `this band ends at ${row.abroad_under} months abroad`,
      to,
    })
  }
  return tests
}

function windowTests(row: ReliefRow, move: DutyMove, person: DutyPerson, importOn: IsoDate): Test[] {
  if (row.after === 'unknown') return [{ test: 'window', outcome: 'unknown' }]
  if (row.window_from === undefined || row.window_from === 'import') return []
  const event = anchorDay(row.window_from, move, person, importOn)
  if (event === undefined) return [{ test: 'window', outcome: 'unknown', anchor: row.window_from }]
  const failed: Outcome = row.waivable.includes('window') ? 'waivable' : 'fail'
  const common = { test: 'window', anchor: row.window_from, from: event, to: importOn } as const
  if (importOn < event) {
    if (typeof row.before !== 'number') return []
    // Counted from the import: within so long of it the person must have settled.
    const settleBy = periodEnd(importOn, row.before, row.window_unit, row.roll)
    const daysShort = Math.max(0, daysBetween(settleBy, event))
    return [
      {
        ...common,
        outcome: daysShort === 0 ? 'pass' : failed,
        needed: row.before,
        daysShort,
        meetsOn: settleBy,
      },
    ]
  }
  if (typeof row.after !== 'number') return []
  const last = periodEnd(event, row.after, row.window_unit, row.roll)
  const daysShort = Math.max(0, daysBetween(last, importOn))
  return [
    { ...common, outcome: daysShort === 0 ? 'pass' : failed, needed: row.after, daysShort, meetsOn: last },
  ]
}

function assessLine(routes: readonly Route[], line: DutyLine, person: string): LineAssessment {
  const tried = routes.map((route) => new Tried(route, line))
  const levies: Record<Levy, Verdict> = { duty: 'unknown', excise: 'unknown', tax: 'unknown', fee: 'unknown' }
  const by: Record<Levy, RouteAssessment | undefined> = { ...NOBODY }
  for (const levy of LEVIES) {
    let best: Tried | undefined
    for (const route of tried) {
      if (route.about[levy] && (best === undefined || isKinder(route, best))) best = route
    }
    by[levy] = best
    // Rules that are there but say nothing of this levy leave it standing; no rule at all is not known.
    levies[levy] = best?.verdict ?? VERDICTS[tried.length > 0 ? NOT_FREED : 2]
  }
  // What fees an entry costs does not decide whether the goods qualify, and excise goes with duty.
  const verdict = RANK[levies.duty] > RANK[levies.tax] ? levies.duty : levies.tax
  return { line, person, verdict, levies, by, routes: tried }
}

/** Of two rules that end alike the one without a ceiling is the kinder. */
const isKinder = (a: Tried, b: Tried): boolean =>
  a.rank !== b.rank
    ? a.rank < b.rank
    : a.row.ceiling_amount === undefined && b.row.ceiling_amount !== undefined

/** A rule tried on a line: the verdict at once, the tests behind it when somebody asks. */
class Tried implements RouteAssessment {
  readonly rank: Rank
  constructor(
    private readonly route: Route,
    private readonly line: DutyLine,
  ) {
    this.rank = runTests(route, line, undefined)
  }
  get row(): ReliefRow {
    return this.route.row
  }
  get about(): Readonly<Record<Levy, boolean>> {
    return this.route.about
  }
  get verdict(): Verdict {
    return VERDICTS[this.rank]
  }
  get tests(): readonly Test[] {
    const tests: Test[] = []
    runTests(this.route, this.line, tests)
    return tests
  }
  get proRata(): { readonly short: number; readonly of: number } | undefined {
    const { owned } = this.route.onImport(this.line.importOn)
    const from = this.line.acquiredOn
    if (this.row.owned_how !== 'pro-rata' || owned === undefined || from === undefined) return undefined
    if (from <= owned.latestStart) return undefined
    // The days asked are counted back from the anchor: 365, or 366 across a leap day.
    const of = daysBetween(addMonths(owned.to, -owned.months), owned.to)
    return { short: Math.min(of, of - daysBetween(from, owned.to)), of }
  }
}

/**
 * Runs every test of a rule on a line. The one place where tests are decided: without a list only the worst outcome
 * is kept, with one each test is written down as well.
 */
function runTests(route: Route, line: DutyLine, list: Test[] | undefined): Rank {
  const { row } = route
  const { tests, rank: before, owned } = route.onImport(line.importOn)
  list?.push(...tests)
  if (row.effect === 'none') return before
  let rank = before
  const found = (outcome: Outcome, details: () => Omit<Test, 'outcome'>) => {
    if (OUTCOME_RANK[outcome] > rank) rank = OUTCOME_RANK[outcome]
    list?.push({ ...details(), outcome })
  }
  if (route.isExcluded(line.class)) found('fail', () => ({ test: 'class', because: line.class }))
  const taxFree = line.held === 'tax-free' && typeof row.tax_free_months === 'number'
  if (taxFree) found('waivable', () => ({ test: 'held', because: line.held }))
  else if (row.held_excluded.includes(line.held)) found('fail', () => ({ test: 'held', because: line.held }))
  if (row.used_only && line.condition === 'new') found('fail', () => ({ test: 'used' }))
  if (row.listed) {
    const listed = line.notListed === undefined ? 'assumed' : line.notListed ? 'fail' : 'pass'
    found(listed, () => ({ test: 'listed' }))
  }
  if (row.max_length_m && line.kind === 'boat') {
    const longest = row.max_length_m.toNumber()
    const length = line.lengthM === undefined ? 'unknown' : line.lengthM <= longest ? 'pass' : 'fail'
    found(length, () => ({ test: 'length', needed: longest }))
  }
  if (row.owned_months === 'unknown') found('unknown', () => ({ test: 'owned' }))
  if (owned === undefined) return rank

  const months = taxFree ? Number(row.tax_free_months) : owned.months
  const base = () =>
    ({ test: 'owned', needed: months, to: owned.to, anchor: row.owned_to ?? 'leave' }) as const
  if (row.owned_how === 'total' && line.used) {
    const total = totalMonths(line.used)
    found(total >= months ? 'pass' : 'fail', () => ({ ...base(), because: `${total} months of use in all` }))
    return rank
  }
  const from = line.acquiredOn
  if (from === undefined) {
    found('unknown', () => ({ ...base(), because: 'no day of purchase or first use is given' }))
    return rank
  }
  const start = taxFree ? latestStart(owned.to, months) : owned.latestStart
  if (from <= start) {
    found('pass', () => ({ ...base(), from, daysShort: 0 }))
    return rank
  }
  const proRata = row.owned_how === 'pro-rata'
  found(proRata ? 'pass' : row.waivable.includes('owned') ? 'waivable' : 'fail', () => {
    const meetsOn = addMonths(from, months)
    const short = { ...base(), from, meetsOn, daysShort: daysBetween(owned.to, meetsOn) }
    return proRata ? { ...short, because: 'charged by the day' } : short
  })
  return rank
}

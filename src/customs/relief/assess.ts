import type { IsoDate } from '../../tables/fields.js'
import { addMonths, daysBetween, latestBeginning, reachedOn } from '../calendar.js'
import type { Jurisdiction } from '../columns.js'
import type { DutyLine, DutyMove, DutyPerson } from '../move.js'
import { type Kind, LEVIES, type Levy } from '../shared-columns.js'
import { type CustomsTables, holdsOn } from '../tables.js'
import type { ReliefRow } from './columns.js'
import { type OnImport, type Route, runTests } from './line-tests.js'
import { anchorDay, groundsOf, personTests, windowTests } from './person-tests.js'
import {
  type LineAssessment,
  RANK,
  type Rank,
  type RouteAssessment,
  rankOf,
  type Test,
  VERDICTS,
  type Verdict,
} from './verdict.js'

const NOT_FREED: Rank = 3

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
      if (duty === 0 && tax === 0) break
    }
    return VERDICTS[duty > tax ? duty : tax]
  })
}

/** The rules on relief that a person may call on, on a day: those of the territory, and of every one. */
export function reliefRows(
  tables: CustomsTables,
  jurisdiction: string | undefined,
  person: DutyPerson,
  on: IsoDate,
): ReliefRow[] {
  const grounds = groundsOf(person)
  return [...(tables.relief.get(jurisdiction ?? '') ?? []), ...(tables.relief.get('any') ?? [])].filter(
    (row) => grounds.some((ground) => row.statuses.includes(ground)) && holdsOn(row, on),
  )
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

function routeFor(
  row: ReliefRow,
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Route {
  const before = personTests(row, jurisdiction, move, person)
  const waived = isOwnershipWaived(row, person, move)
  const make = (on: IsoDate): OnImport => {
    const tests = row.effect === 'none' ? before : [...before, ...windowTests(row, move, person, on)]
    return { on, tests, rank: rankOf(tests), owned: waived ? undefined : ownedRule(row, move, person, on) }
  }
  const usual = make(move.importOn)
  const later = new Map<IsoDate, OnImport>()
  const about = (levy: Levy) => row.effect === 'none' || row.frees.includes(levy)
  const named = (names: ReadonlySet<string>) => {
    if (names.size === 0) return () => false
    // A thousand lines are of a few dozen classes.
    const seen = new Map<string, boolean>()
    return (goodsClass: string) => {
      const known = seen.get(goodsClass)
      if (known !== undefined) return known
      const is = names.has(goodsClass) || names.has(tables.classes.get(goodsClass)?.group ?? '')
      seen.set(goodsClass, is)
      return is
    }
  }
  const isNamed = named(new Set(row.only))
  return {
    row,
    abroadSince: person.abroad_since,
    about: { duty: about('duty'), excise: about('excise'), tax: about('tax'), fee: about('fee') },
    isExcluded: named(new Set(row.excluded)),
    isMeant: row.only.length === 0 ? () => true : isNamed,
    onImport: (importOn) => {
      if (importOn === undefined) return usual
      const made = later.get(importOn) ?? make(importOn)
      later.set(importOn, made)
      return made
    },
  }
}

/** The time of ownership of a rule, counted to its day; goods that precede the person may count to another. */
function ownedRule(row: ReliefRow, move: DutyMove, person: DutyPerson, on: IsoDate): OnImport['owned'] {
  if (typeof row.owned_months !== 'object' || row.owned_to === undefined) return undefined
  const event = row.window_from && anchorDay(row.window_from, move, person, on)
  const early = event !== undefined && on < event ? row.owned_early_to : undefined
  const anchor = early ?? row.owned_to
  const to = anchorDay(anchor, move, person, on)
  if (to === undefined) return undefined
  const { listedOn } = move
  return { to, anchor, span: row.owned_months, latestStart: latestBeginning(to, row.owned_months), listedOn }
}

function isOwnershipWaived(row: ReliefRow, person: DutyPerson, move: DutyMove): boolean {
  if (typeof row.owned_waived_abroad !== 'object') return false
  const to = anchorDay(row.abroad_to ?? 'arrive', move, person, move.importOn)
  return to !== undefined && reachedOn(person.abroad_since, row.owned_waived_abroad) <= to
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

const KINDNESS: Readonly<Record<ReliefRow['effect'], number>> = { free: 0, temporary: 1, none: 2 }

/** Of two rules that end alike the lasting one is the kinder, then the one without a ceiling. */
function isKinder(a: Tried, b: Tried): boolean {
  if (a.rank !== b.rank) return a.rank < b.rank
  // What the law rules out in so many words explains a refusal better than a test that failed; not the other way.
  if (a.row.effect !== b.row.effect && a.rank < NOT_FREED)
    return KINDNESS[a.row.effect] < KINDNESS[b.row.effect]
  return a.row.ceiling_amount === undefined && b.row.ceiling_amount !== undefined
}

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
    const of = daysBetween(addMonths(owned.to, -owned.span.months), owned.to)
    return { short: Math.min(of, of - daysBetween(from, owned.to)), of }
  }
}

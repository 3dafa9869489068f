import type { Decimal } from 'decimal.js'
import { amount, day, label, type Sentence, says } from '../paper/sentence.js'
import type { Change } from '../plan/inputs.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { Exact } from '../quantity/exact.js'
import { dayNumber, isoDay } from '../time/day-number.js'
import { chanceBy, dayWithChance } from '../time/day-odds.js'
import { type ArrivalOdds, arrivalOdds, type Declared } from './arrival.js'
import { earliestLoading, SURE } from './tasks.js'

/** One thing that would bring the arrival forward, by how many days, and what the whole move then costs more or less. */
export interface Give {
  readonly what: Sentence
  readonly changes: readonly Change[]
  readonly gains: number
  readonly costs: Decimal
}

/** A wanted date against the plan. Days are day numbers. */
export interface WantedDate {
  readonly what: 'goods' | 'home'
  readonly wanted: number
  readonly chance: number
  /** The day by which it is so in nine cases of ten. */
  readonly sureOn: number
  /** Days by which that is later than wanted; 0 where it is not. */
  readonly lateBy: number
  /** The latest day of loading that keeps the wanted date in nine cases of ten, declared as planned and as soon as the ship is in. */
  readonly loadBy: number | undefined
  readonly loadByDeclaredAshore: number
  readonly earliestLoading: number
  readonly gives: readonly Give[]
}

/** The dates a household wants, each against one plan: nothing where household.csv wants none. */
export function wantedDates(move: Move, plan: Plan): WantedDate[] {
  return (['goods', 'home'] as const).flatMap((what) => {
    const on = plan.inputs.choices.get(`${what}-wanted-on`)?.value
    return on === undefined ? [] : [wantedDate(move, plan, what, dayNumber(on))]
  })
}

const dayOf = (plan: Plan, id: string): number => plan.sheet.cells.get(id)?.value.toNumber() ?? 0

/** One wanted date against a plan: the chance, the latest loading, and what would have to give. */
export function wantedDate(move: Move, plan: Plan, what: keyof ArrivalOdds, wanted: number): WantedDate {
  const load = dayOf(plan, 'time.on.loading')
  const declared = dayOf(plan, 'import-on')
  const odds = arrivalOdds(move, plan, load, declared)[what]
  const sureOn = dayWithChance(odds, SURE)
  const first = earliestLoading(move, plan)
  const loadBy = latestLoading(move, plan, what, wanted, declared)
  const ashore = latestLoading(move, plan, what, wanted, 'when ashore')
  const late = Math.max(0, sureOn - wanted)
  return {
    what,
    wanted,
    chance: chanceBy(odds, wanted),
    sureOn,
    lateBy: late,
    loadBy,
    loadByDeclaredAshore: ashore ?? wanted,
    earliestLoading: first,
    gives: late === 0 ? [] : whatGives(move, plan, what, { sureOn, ashore, first, load, declared }),
  }
}

/** The latest day of loading with which a wanted date is kept in nine cases of ten; undefined where none does. */
export function latestLoading(
  move: Move,
  plan: Plan,
  what: keyof ArrivalOdds,
  wanted: number,
  declared: Declared,
): number | undefined {
  const sure = (load: number) => dayWithChance(arrivalOdds(move, plan, load, declared)[what], SURE)
  // Without a day of declaration the way takes the same time whenever it starts.
  const free = wanted - sureDays(move, plan, what)
  if (declared === 'when ashore' || sure(free) <= wanted) return free
  let [late, early] = [free, free - A_YEAR]
  if (sure(early) > wanted) return undefined
  while (late - early > 1) {
    const middle = Math.floor((late + early) / 2)
    if (sure(middle) <= wanted) early = middle
    else late = middle
  }
  return early
}

/** Nobody loads earlier than this before a day of declaration. */
const A_YEAR = 365

const sureDays = (move: Move, plan: Plan, what: keyof ArrivalOdds): number =>
  dayWithChance(arrivalOdds(move, plan, 0, 'when ashore')[what], SURE)

interface Situation {
  readonly sureOn: number
  readonly ashore: number | undefined
  readonly first: number
  readonly load: number
  readonly declared: number
}

/** Each thing that could be changed alone, planned anew: those that bring the day forward, the greatest gain first. */
function whatGives(move: Move, plan: Plan, what: keyof ArrivalOdds, now: Situation): Give[] {
  const candidates: { what: Sentence; changes: Change[] }[] = []
  const earlier = amount(new Exact(now.load - Math.max(now.first, now.ashore ?? now.first)), 'day')
  const loadOn = Math.max(now.first, now.ashore ?? now.first)
  if (loadOn < now.load) {
    candidates.push({
      what: says`load on ${day(isoDay(loadOn))}, ${earlier} earlier`,
      changes: [{ id: 'load-on', value: isoDay(loadOn) }],
    })
  }
  const ashore = dayOf(plan, 'time.on.discharge')
  if (ashore < now.declared) {
    candidates.push({
      what: says`declare the import on ${day(isoDay(ashore))}, when the goods are ashore`,
      changes: [{ id: 'import-on', value: isoDay(ashore) }],
    })
    if (loadOn < now.load) {
      const both = isoDay(ashore - (now.load - loadOn))
      candidates.push({
        what: says`load on ${day(isoDay(loadOn))} and declare on ${day(both)}`,
        changes: [
          { id: 'load-on', value: isoDay(loadOn) },
          { id: 'import-on', value: both },
        ],
      })
    }
  }
  if (plan.sheet.choices.get('transport')?.includes('groupage')) {
    for (const container of ['22G1', '45G1']) {
      candidates.push({
        what: says`an own container (${label(`container.${container}`, container)}), which waits for nobody’s goods`,
        changes: [{ id: 'transport', value: container }],
      })
    }
  }
  if (what === 'home') {
    candidates.push({
      what: says`unpacking by the mover`,
      changes: [{ id: 'provider.unpacking', value: 'mover' }],
    })
  }
  const changed = (changes: readonly Change[]): { sureOn: number; cost: Decimal } | undefined => {
    const then = planOf(move, plan.name, [...plan.changes, ...changes])
    if (!then.ok) return undefined
    const { value } = then
    const odds = arrivalOdds(move, value, dayOf(value, 'time.on.loading'), dayOf(value, 'import-on'))
    const cost = value.sheet.cells.get('cost.total')?.value
    return cost && { sureOn: dayWithChance(odds[what], SURE), cost }
  }
  const before = plan.sheet.cells.get('cost.total')?.value
  return candidates
    .flatMap(({ what: says, changes }): Give[] => {
      const then = changed(changes)
      if (!then || !before || then.sureOn >= now.sureOn) return []
      return [{ what: says, changes, gains: now.sureOn - then.sureOn, costs: then.cost.minus(before) }]
    })
    .sort((a, b) => b.gains - a.gains)
}

import type { IsoDate } from '../../tables/fields.js'
import { addDays, addMonths, wholeMonthsBetween } from '../calendar.js'
import type { Jurisdiction } from '../columns.js'
import type { DutyLine, DutyMove } from '../move.js'
import { type CustomsTables, holdsOn } from '../tables.js'
import type { GoodsRule } from './columns.js'
import { plainWords, wordIn } from './words.js'

/** A line that a rule on goods speaks of. */
export interface RestrictionHit {
  readonly line: string
  readonly label: string
  readonly where: 'destination' | 'origin' | 'transit'
  readonly jurisdiction: string
  readonly rule: GoodsRule
  /** What matched: the class, a material or a word. */
  readonly matched: string
  /** The first day on which the rule no longer binds this thing, where age decides: a car becomes old enough. */
  readonly freeFrom?: IsoDate
  /** Facts that would decide and are not given; empty where the rule binds for certain. */
  readonly missing: readonly string[]
}

/**
 * Prohibited, restricted, permit, quarantine, declare-first and taxed goods among the lines: at the destination, at
 * the origin, and in every country of transit. A line is matched by class or group, by material, or by a word of
 * its description; vehicles also by age on the day of import, by the day they were made, by the side of the wheel
 * and by emission class.
 *
 * @param lines by default those of the move; give the carried ones too, since most rules bind baggage as well
 * @returns hits in the order of the lines; an empty list is no clearance
 */
export function restrictions(
  tables: CustomsTables,
  move: DutyMove,
  lines: readonly DutyLine[] = move.lines,
): RestrictionHit[] {
  const sets = rulesOnTheWay(tables, move)
  return lines.flatMap((line) => {
    const seen = new Set<string>()
    const said = plainWords(line.text ?? line.label)
    return sets.flatMap(({ where, country, jurisdiction, rules }) =>
      rules.flatMap((rule): RestrictionHit[] => {
        const matched = matchOf(rule, line, said, tables)
        // A rule of all countries is told once, at the first stop it binds.
        if (matched === undefined || (rule.jurisdiction === 'any' && seen.has(rule.id))) return []
        const vehicle = vehicleMatch(rule, line, line.importOn ?? move.importOn)
        if (vehicle === undefined) return []
        seen.add(rule.id)
        return [
          {
            line: line.id,
            label: line.label,
            where,
            jurisdiction: jurisdiction?.label ?? country,
            rule,
            matched: [matched, ...vehicle.told, ...vehicle.missing].join(', '),
            missing: vehicle.missing,
            ...(vehicle.freeFrom && { freeFrom: vehicle.freeFrom }),
          },
        ]
      }),
    )
  })
}

/** A thing that may not go: what the plan must obey, and what to do. */
export interface Stop {
  readonly line: string
  readonly label: string
  readonly where: RestrictionHit['where']
  readonly jurisdiction: string
  readonly rule: string
  readonly reason: string
  readonly what_to_do: string
  /** Whom to ask before believing it, or for an exception. */
  readonly ask: string
  readonly freeFrom?: IsoDate
  /** Does it bind for certain, or only if a fact that is not given says so? */
  readonly certain: boolean
  readonly sentence: string
}

/**
 * The lines that a law on the way prohibits. A stop is no cost: the thing stays behind, or its day or its permit
 * changes first. A rule whose facts are not given (the age of a car) is a stop that is not certain.
 */
export function stops(
  tables: CustomsTables,
  move: DutyMove,
  lines: readonly DutyLine[] = move.lines,
): Stop[] {
  return restrictions(tables, move, lines)
    .filter(({ rule }) => rule.kind === 'prohibited')
    .map(({ line, label, where, jurisdiction, rule, freeFrom, missing }) => {
      const country = where === 'origin' ? move.origin : move.destination
      const ask =
        tables.jurisdictionOfCountry.get(country)?.authority ?? `the customs authority of ${country}`
      const later = freeFrom ? ` It is allowed from ${freeFrom} on.` : ''
      return {
        line,
        label,
        where,
        jurisdiction,
        rule: rule.id,
        reason: rule.reason,
        what_to_do: rule.what_to_do,
        ask,
        ...(freeFrom && { freeFrom }),
        certain: missing.length === 0,
        sentence:
          missing.length === 0
            ? `${label} (${line}) may not go: ${rule.reason}. ${rule.what_to_do}${later} Ask ${ask}.`
            : `${label} (${line}) may not go if the rule binds it (${missing.join(', ')}): ${rule.reason}. ${rule.what_to_do} Ask ${ask}.`,
      }
    })
}

/** A day on which an age rule starts or stops to bind a vehicle. */
export interface VehicleDeadline {
  readonly line: string
  readonly label: string
  readonly rule: GoodsRule
  readonly on: IsoDate
  readonly change: 'starts to bind' | 'no longer binds'
  readonly sentence: string
}

/** The days after the planned import, within two years, on which a vehicle becomes too old, or old enough. */
export function vehicleDeadlines(tables: CustomsTables, move: DutyMove): VehicleDeadline[] {
  const last = addMonths(move.importOn, 24)
  return move.lines.flatMap((line) => {
    const { madeOn } = line
    if (line.kind === 'goods' || madeOn === undefined) return []
    const said = plainWords(line.text ?? line.label)
    return rulesOnTheWay(tables, move)
      .flatMap(({ rules }) => rules)
      .filter((rule) => matchOf(rule, line, said, tables) !== undefined)
      .flatMap((rule): VehicleDeadline[] => {
        const days = [
          rule.max_age_years === undefined
            ? undefined
            : { on: tooOldFrom(rule, madeOn), change: 'starts to bind' as const },
          rule.min_age_years === undefined
            ? undefined
            : { on: oldEnoughFrom(rule, madeOn), change: 'no longer binds' as const },
        ]
        return days.flatMap((day) =>
          day === undefined || day.on === undefined || day.on <= move.importOn || day.on > last
            ? []
            : [
                {
                  line: line.id,
                  label: line.label,
                  rule,
                  on: day.on,
                  change: day.change,
                  sentence:
                    day.change === 'starts to bind'
                      ? `${line.label}: import before ${day.on}, because from then on ${rule.reason}.`
                      : `${line.label}: from ${day.on} on the rule no longer binds that ${rule.reason}.`,
                },
              ],
        )
      })
  })
}

function rulesOnTheWay(tables: CustomsTables, move: DutyMove) {
  const places = [
    { where: 'destination' as const, country: move.destination },
    { where: 'origin' as const, country: move.origin },
    ...(move.transit ?? []).map((country) => ({ where: 'transit' as const, country })),
  ]
  return places.map(({ where, country }) => {
    const jurisdiction = tables.jurisdictionOfCountry.get(country)
    return { where, country, jurisdiction, rules: rulesAt(tables, jurisdiction, where, move.importOn) }
  })
}

function rulesAt(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  where: RestrictionHit['where'],
  on: IsoDate,
) {
  return [
    ...(tables.goodsRules.get(jurisdiction?.id ?? '') ?? []),
    ...(tables.goodsRules.get('any') ?? []),
  ].filter((rule) => rule.role.includes(where) && holdsOn(rule, on))
}

function matchOf(rule: GoodsRule, line: DutyLine, said: string, tables: CustomsTables): string | undefined {
  const group = tables.classes.get(line.class)?.group
  const byClass = rule.classes.find((name) => name === line.class || name === group)
  const byMaterial = rule.materials.find((name) => line.materials?.includes(name))
  return byClass ?? byMaterial ?? rule.keywords.find((word) => wordIn(said, word))
}

interface VehicleMatch {
  readonly told: readonly string[]
  readonly missing: readonly string[]
  readonly freeFrom?: IsoDate | undefined
}

/** What of a vehicle made a rule bind; undefined where the rule does not bind it. */
function vehicleMatch(rule: GoodsRule, line: DutyLine, on: IsoDate): VehicleMatch | undefined {
  const told: string[] = []
  const missing: string[] = []
  if (rule.steering !== undefined) {
    // Only a car has a side that nobody stated.
    if (line.steering === undefined && line.kind === 'car') missing.push('side of the wheel not given')
    else if (line.steering !== rule.steering) return undefined
  }
  if (rule.min_euro !== undefined) {
    if (line.euroClass === undefined) missing.push('emission class not given')
    else if (line.euroClass >= rule.min_euro) return undefined
    else told.push(`Euro ${line.euroClass}`)
  }
  const aged = rule.max_age_years !== undefined || rule.min_age_years !== undefined
  if (!aged && rule.made_from === undefined && rule.made_before === undefined) return { told, missing }
  // The age is not given: the rule is shown, because it may bind.
  if (line.madeOn === undefined) return { told, missing: [...missing, 'age not given'] }
  const { madeOn } = line
  if (rule.made_from !== undefined && madeOn < rule.made_from) return undefined
  if (rule.made_before !== undefined && madeOn >= rule.made_before) return undefined
  const tooOld = tooOldFrom(rule, madeOn)
  const oldEnough = oldEnoughFrom(rule, madeOn)
  if (tooOld !== undefined && on < tooOld) return undefined
  if (oldEnough !== undefined && on >= oldEnough) return undefined
  if (!aged) return { told: [...told, `made ${madeOn}`], missing }
  const years = Math.floor(wholeMonthsBetween(madeOn, on) / 12)
  return { told: [...told, `${years} years old`], missing, freeFrom: oldEnough }
}

/** The first day on which a vehicle is older than the rule allows. */
function tooOldFrom(rule: GoodsRule, madeOn: IsoDate): IsoDate | undefined {
  if (rule.max_age_years === undefined) return undefined
  return rule.age_by === 'year'
    ? newYear(madeOn, rule.max_age_years + 1)
    : addDays(addMonths(madeOn, rule.max_age_years * 12), 1)
}

/** The first day on which a vehicle is as old as the rule asks. */
function oldEnoughFrom(rule: GoodsRule, madeOn: IsoDate): IsoDate | undefined {
  if (rule.min_age_years === undefined) return undefined
  return rule.age_by === 'year'
    ? newYear(madeOn, rule.min_age_years)
    : addMonths(madeOn, rule.min_age_years * 12)
}

const newYear = (madeOn: IsoDate, later: number): IsoDate => `${Number(madeOn.slice(0, 4)) + later}-01-01`

import { addMonths, wholeMonthsBetween } from '../calendar.js'
import type { DutyLine, DutyMove } from '../move.js'
import type { CustomsTables, GoodsRule, Jurisdiction } from '../tables.js'

/** A line that a rule on goods speaks of. */
export interface RestrictionHit {
  readonly line: string
  readonly label: string
  readonly where: 'destination' | 'origin' | 'transit'
  readonly jurisdiction: string
  readonly rule: GoodsRule
  /** What matched: the class, a material or a word. */
  readonly matched: string
}

/**
 * Prohibited, restricted, permit, quarantine, declare-first and taxed goods among the lines: at the destination, at
 * the origin, and in every country of transit. A line is matched by class or group, by material, or by a word of
 * its description; vehicles also by age on the day of import and by the side of the wheel.
 *
 * @param lines by default those of the move; give the carried ones too, since most rules bind baggage as well
 * @returns hits in the order of the lines; an empty list is no clearance
 */
export function restrictions(
  tables: CustomsTables,
  move: DutyMove,
  lines: readonly DutyLine[] = move.lines,
): RestrictionHit[] {
  const stops = [
    { where: 'destination' as const, country: move.destination },
    { where: 'origin' as const, country: move.origin },
    ...(move.transit ?? []).map((country) => ({ where: 'transit' as const, country })),
  ]
  const sets = stops.map(({ where, country }) => {
    const jurisdiction = tables.jurisdictionOfCountry.get(country)
    return { where, country, jurisdiction, rules: rulesAt(tables, jurisdiction, where) }
  })
  return lines.flatMap((line) => {
    const seen = new Set<string>()
    return sets.flatMap(({ where, country, jurisdiction, rules }) =>
      rules.flatMap((rule): RestrictionHit[] => {
        const matched = matchOf(rule, line, tables, move.importOn)
        // A rule of all countries is told once, at the first stop it binds.
        if (matched === undefined || (rule.jurisdiction === 'any' && seen.has(rule.id))) return []
        seen.add(rule.id)
        return [
          {
            line: line.id,
            label: line.label,
            where,
            jurisdiction: jurisdiction?.label ?? country,
            rule,
            matched,
          },
        ]
      }),
    )
  })
}

function rulesAt(
  tables: CustomsTables,
  jurisdiction: Jurisdiction | undefined,
  where: RestrictionHit['where'],
) {
  return [
    ...(tables.goodsRules.get(jurisdiction?.id ?? '') ?? []),
    ...(tables.goodsRules.get('any') ?? []),
  ].filter((rule) => rule.role.includes(where))
}

function matchOf(rule: GoodsRule, line: DutyLine, tables: CustomsTables, on: string): string | undefined {
  const group = tables.classes.get(line.class)?.group
  const byClass = rule.classes.find((name) => name === line.class || name === group)
  const byMaterial = rule.materials.find((name) => line.materials?.includes(name))
  const said = ` ${(line.text ?? line.label).toLowerCase().replace(/[^\p{L}\p{N}]+/gu, ' ')} `
  const byWord = rule.keywords.find((word) => new RegExp(` ${word.toLowerCase()}(s|es)? `).test(said))
  const matched = byClass ?? byMaterial ?? byWord
  if (matched === undefined || !hasVehicleTerms(rule)) return matched
  if (rule.steering !== undefined && line.steering !== rule.steering) return undefined
  if (rule.max_age_years === undefined && rule.min_age_years === undefined) return matched
  // The age is not given: the rule is shown, because it may bind.
  if (line.madeOn === undefined) return `${matched}, age not given`
  const birthday = (years: number) => addMonths(line.madeOn ?? on, years * 12)
  if (rule.max_age_years !== undefined && on <= birthday(rule.max_age_years)) return undefined
  if (rule.min_age_years !== undefined && on >= birthday(rule.min_age_years)) return undefined
  const years = Math.floor(wholeMonthsBetween(line.madeOn, on) / 12)
  return `${matched}, ${years} years old`
}

const hasVehicleTerms = (rule: GoodsRule) =>
  rule.steering !== undefined || rule.max_age_years !== undefined || rule.min_age_years !== undefined

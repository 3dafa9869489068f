import { CUSTOMS_CAUTION, PROOF_CAUTION, RESTRICTED_CAUTION, VEHICLE_CAUTION } from '../customs/caution.js'
import { type DocumentDue, documentsDue } from '../customs/papers/documents.js'
import { restrictions } from '../customs/papers/restrictions.js'
import { reasons } from '../customs/relief/sentences.js'
import { decidingRoute, type LineAssessment, type Verdict } from '../customs/relief/verdict.js'
import { firstOf } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import type { CustomsBrief } from './sections/customs.js'

const verdictTexts: Readonly<Record<Verdict, string>> = {
  qualifies: 'relief expected',
  discretionary: 'customs may grant it',
  unknown: 'not known: ask',
  refused: 'charged',
}
const ORDER: readonly Verdict[] = ['refused', 'discretionary', 'unknown', 'qualifies']

/** How many lines of a group are named before the rest is counted. */
const NAMED = 6

/** What a plan's customs step found, in the words of the brief. */
export function customsBrief(move: Move, plan: Plan): CustomsBrief | undefined {
  const { customs } = plan.sheet
  if (customs.assessments.length === 0) return undefined
  const tables = move.reference.customs
  const lines = customs.assessments
  const of = (verdict: Verdict) => lines.filter((a) => a.verdict === verdict).length
  const jurisdiction = tables.jurisdictionOfCountry.get(customs.move.destination)
  const hasVehicle = customs.move.lines.some((line) => line.kind !== 'goods')
  const papers = documentsDue(tables, customs.move, move.household.facts.as_of)
  return {
    summary: `${jurisdiction?.label ?? move.household.facts.destination_country}, ${declaredBy(move, customs.importer)}: of ${
      lines.length
    } lines and vehicles ${of('qualifies')} are expected to come in free, ${of('discretionary')} at the discretion of the authority, ${of(
      'refused',
    )} are charged, and for ${of('unknown')} the tables hold no answer.`,
    verdicts: grouped(lines),
    dutiable: dutiable(plan, lines),
    documents: papers.map(({ label, form, why, side, due }) => ({
      name: capital(form === undefined ? label : `${label} (${form})`),
      note: `${why}${side === 'origin' ? '; on leaving' : ''}`,
      ...(due === undefined ? {} : { by: due }),
    })),
    deadlines: daysOf(papers),
    restricted: restrictions(tables, customs.move).map(({ label, line, rule, where }) => ({
      item: `${line} ${label}`,
      why: `${rule.reason}${where === 'destination' ? '' : ` (${where})`}`,
      todo: rule.what_to_do,
    })),
    cautions: [
      ...customs.stops.map(({ sentence }) => sentence),
      ...customs.undetermined.map(({ what, why, lines: which, ask }) => {
        const whom = ask === undefined ? '' : ` Ask ${ask}.`
        return which.length > 0
          ? `Not determined, and in no total: ${what} of ${firstOf(which, NAMED)}: ${why}.${whom}`
          : `Not determined, and in no total: ${what}: ${why}.${whom}`
      }),
      CUSTOMS_CAUTION,
      PROOF_CAUTION,
      RESTRICTED_CAUTION,
      ...(hasVehicle ? [VEHICLE_CAUTION] : []),
    ],
  }
}

/** Who declares: one person for all, or each owner for their own things. */
const declaredBy = (move: Move, importer: string): string =>
  move.household.people.some(({ person }) => person === importer)
    ? `with ${importer} as the person who declares`
    : 'each owner declaring their own things'

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

/** The days on which papers are due, each once. */
function daysOf(papers: readonly DocumentDue[]): CustomsBrief['deadlines'] {
  const days = new Map<string, string[]>()
  for (const { due, label } of papers) {
    if (due !== undefined) days.set(due, [...(days.get(due) ?? []), label])
  }
  return [...days].map(([on, labels]) => ({
    on,
    what: capital(labels.join('; ')),
    note: labels.length > 1 ? 'papers, see Customs' : 'customs, see there',
  }))
}

/** Lines that fare alike for the same reason are told once. */
function grouped(lines: readonly LineAssessment[]): CustomsBrief['verdicts'] {
  const groups = new Map<string, { verdict: Verdict; reason: string; source?: string; labels: string[] }>()
  for (const assessment of lines) {
    const { line, verdict } = assessment
    const route = decidingRoute(assessment)
    const why = route ? reasons(route) : ['The tables hold no rule for this person there.']
    const reason = why.length > 0 ? why.join(' ') : 'Every test of the rule is met.'
    const key = `${verdict}|${route?.row.label ?? ''}|${verdict === 'qualifies' ? '' : reason}`
    const group = groups.get(key) ?? {
      verdict,
      reason: route
        ? `${route.row.label}. ${verdict === 'qualifies' ? 'Every test of the rule is met.' : reason}`
        : reason,
      ...(route ? { source: route.row.source } : {}),
      labels: [],
    }
    group.labels.push(`${line.id} ${line.label}`)
    groups.set(key, group)
  }
  return [...groups.values()]
    .sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict))
    .map(({ verdict, reason, source, labels }) => ({
      what:
        verdict === 'qualifies' && labels.length > NAMED
          ? `${labels.length} lines and vehicles`
          : firstOf(labels, NAMED),
      verdict: verdictTexts[verdict],
      reason,
      ...(source === undefined ? {} : { source }),
    }))
}

function dutiable(plan: Plan, lines: readonly LineAssessment[]): CustomsBrief['dutiable'] {
  return [...plan.sheet.cells.values()].flatMap(({ id, value }) => {
    const kind = /^duty\.entry\.(.+)\.dutiable$/.exec(id)?.[1]
    if (kind === undefined || value.isZero()) return []
    const mine = lines.filter(({ line, verdict }) => line.class === kind && verdict !== 'qualifies')
    return [
      {
        item: kind.replaceAll('-', ' '),
        reason: firstOf(
          mine.map(({ line }) => `${line.id} ${line.label}`),
          NAMED,
        ),
        cells: { value: id, duty: `duty.entry.${kind}.duty`, tax: `duty.entry.${kind}.tax` },
      },
    ]
  })
}

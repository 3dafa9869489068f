import { CUSTOMS_CAUTION, PROOF_CAUTION, RESTRICTED_CAUTION, VEHICLE_CAUTION } from '../customs/caution.js'
import { type DocumentDue, documentsDue } from '../customs/papers/documents.js'
import { restrictions, type Stop } from '../customs/papers/restrictions.js'
import { reasons } from '../customs/relief/sentences.js'
import { decidingRoute, type LineAssessment, type Verdict } from '../customs/relief/verdict.js'
import { day, type Sentence, says, several } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import type { CustomsBrief } from './sections/customs.js'

const VERDICTS: Readonly<Record<Verdict, Sentence>> = {
  qualifies: says`relief expected`,
  discretionary: says`customs may grant it`,
  unknown: says`not known: ask`,
  refused: says`charged`,
}
const ORDER: readonly Verdict[] = ['refused', 'discretionary', 'unknown', 'qualifies']

/** How many lines of a group are named before the rest is counted. */
const NAMED = 6

/** What a plan's customs step found, in the words of the brief. */
export function customsBrief(move: Move, plan: Plan, words: Words): CustomsBrief | undefined {
  const { line, phrase } = words
  const { customs } = plan.sheet
  if (customs.assessments.length === 0) return undefined
  const tables = move.reference.customs
  const lines = customs.assessments
  const hasVehicle = customs.move.lines.some((line) => line.kind !== 'goods')
  const papers = documentsDue(tables, customs.move, move.household.facts.as_of)
  return {
    summary: `${words.locale.country(move.household.facts.destination_country)}, ${declaredBy(words, move, customs.importer)}. ${customsSummary(words, lines)}`,
    verdicts: grouped(words, lines),
    dutiable: dutiable(words, plan, lines),
    documents: papers.map(({ label, form, why, side, due }) => ({
      name: capital(paperName(words, label, form)),
      note: `${phrase(why)}${side === 'origin' ? `; ${words.say('papers.origin')}` : ''}`,
      ...(due === undefined ? {} : { by: due }),
    })),
    deadlines: [...daysOf(words, papers), ...consignmentDays(words, plan)],
    restricted: restrictions(tables, customs.move).map(({ label, line, rule, where }) => ({
      item: `${line} ${label}`,
      why: `${phrase(rule.reason)}${where === 'destination' ? '' : ` (${phrase(where)})`}`,
      todo: phrase(rule.what_to_do),
    })),
    cautions: [
      ...customs.stops.map((stop) => stopText(words, stop)),
      ...customs.undetermined.map(({ what, why, lines: which, ask }) => {
        const open = openWords(words, what)
        const whom = ask === undefined ? '' : ` ${line`Ask ${phrase(ask)}.`}`
        return which.length > 0
          ? `${line`Not determined, and in no total: ${open} of ${several(which, NAMED)}: ${phrase(why)}.`}${whom}`
          : `${line`Not determined, and in no total: ${open}: ${phrase(why)}.`}${whom}`
      }),
      phrase(CUSTOMS_CAUTION),
      phrase(PROOF_CAUTION),
      phrase(RESTRICTED_CAUTION),
      ...(hasVehicle ? [phrase(VEHICLE_CAUTION)] : []),
    ],
  }
}

/** Who declares: one person for all, or each owner for their own things. */
const declaredBy = ({ line }: Words, move: Move, importer: string): string =>
  move.household.people.some(({ person }) => person === importer)
    ? line`with ${importer} as the person who declares`
    : line`each owner declaring their own things`

/** A paper by its name in the language, with the number of its form. */
export const paperName = (words: Words, label: string, form: string | undefined): string =>
  `${words.phrase(label)}${form === undefined ? '' : ` (${words.phrase(form)})`}`

/** What customs could not determine, which the charges name as `duty and import tax on a class`. */
export function openWords(words: Words, what: string): string {
  const [, taxes, kind] = /^(.+) on ([a-z0-9-]+)$/.exec(what) ?? []
  if (taxes === undefined || kind === undefined) return words.phrase(what)
  const named = taxes.split(/, | and /).map((tax) => words.phrase(tax))
  return words.line`${words.locale.list(named)} on ${words.phrase(kind.replaceAll('-', ' '))}`
}

/** A thing that may not go, in the language of the paper; as the customs step says it where its rule is not translated. */
export function stopText({ english, has, line, phrase }: Words, stop: Stop): string {
  if (english || !has(stop.reason) || !has(stop.what_to_do)) return stop.sentence
  const rule = says`${stop.label} (${stop.line})`
  return [
    stop.certain
      ? line`${rule} may not go: ${phrase(stop.reason)}. ${phrase(stop.what_to_do)}`
      : line`${rule} may not go if the rule binds it, which a missing fact decides: ${phrase(stop.reason)}. ${phrase(stop.what_to_do)}`,
    ...(stop.certain && stop.freeFrom ? [line`It is allowed from ${day(stop.freeFrom)} on.`] : []),
    line`Ask ${stop.ask}.`,
  ].join(' ')
}

/** How the lines fare, counted; a verdict that none has is not told. */
export function customsSummary(words: Words, lines: readonly LineAssessment[]): string {
  const { line } = words
  const told = (['qualifies', 'discretionary', 'refused', 'unknown'] as const).flatMap((verdict) => {
    const count = lines.filter((a) => a.verdict === verdict).length
    return count === 0 ? [] : [words.say(`papers.${verdict}`, { count: String(count) })]
  })
  return line`Of ${String(lines.length)} lines and vehicles, ${words.locale.list(told)}.`
}

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`

/** The days on which papers are due, each once. */
function daysOf(words: Words, papers: readonly DocumentDue[]): CustomsBrief['deadlines'] {
  const days = new Map<string, string[]>()
  for (const { due, label } of papers) {
    if (due === undefined) continue
    days.set(due, [...(days.get(due) ?? []), paperName(words, label, undefined)])
  }
  return [...days].map(([on, labels]) => ({
    on,
    what: capital(labels.join('; ')),
    note: labels.length > 1 ? words.line`papers, see Customs` : words.line`customs, see there`,
  }))
}

/** The days on which what goes apart from the container is declared. */
function consignmentDays({ line }: Words, { household, shipment }: Plan): CustomsBrief['deadlines'] {
  return household.consignments.flatMap(({ consignment, import_on: on }) => {
    const things = shipment.apart.filter((each) => each.consignment === consignment)
    if (things.length === 0) return []
    const named = several(
      things.map(({ item }) => item),
      NAMED,
    )
    return [
      {
        on,
        what: line`Consignment ${consignment} declared for import: ${named}`,
        note: line`customs, see there`,
      },
    ]
  })
}

/** Lines that fare alike for the same reason are told once. */
function grouped({ line, tell, phrase }: Words, lines: readonly LineAssessment[]): CustomsBrief['verdicts'] {
  const groups = new Map<string, { verdict: Verdict; reason: string; source?: string; labels: string[] }>()
  for (const assessment of lines) {
    const { line: thing, verdict } = assessment
    const route = decidingRoute(assessment)
    const why = route ? reasons(route) : [line`The tables hold no rule for this person there.`]
    const reason = why.length > 0 ? why.join(' ') : line`Every test of the rule is met.`
    const key = `${verdict}|${route?.row.label ?? ''}|${verdict === 'qualifies' ? '' : reason}`
    const group = groups.get(key) ?? {
      verdict,
      reason: route
        ? `${phrase(route.row.label)}. ${verdict === 'qualifies' ? line`Every test of the rule is met.` : reason}`
        : reason,
      ...(route ? { source: route.row.source } : {}),
      labels: [],
    }
    group.labels.push(`${thing.id} ${thing.label}`)
    groups.set(key, group)
  }
  return [...groups.values()]
    .sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict))
    .map(({ verdict, reason, source, labels }) => ({
      what:
        verdict === 'qualifies' && labels.length > NAMED
          ? line`${String(labels.length)} lines and vehicles`
          : tell(says`${several(labels, NAMED)}`),
      verdict: tell(VERDICTS[verdict]),
      reason,
      ...(source === undefined ? {} : { source }),
    }))
}

/** Which charges on a class of goods could not be worked out: the cells hold zero for them. */
function openOn(plan: Plan, kind: string): CustomsBrief['dutiable'][number]['open'] {
  const named = plan.sheet.customs.undetermined.flatMap(({ what }) =>
    what.endsWith(` on ${kind}`) ? [what] : [],
  )
  const has = (charge: string) => named.some((what) => what.includes(charge))
  return { duty: has('duty'), tax: has('import tax') }
}

function dutiable(words: Words, plan: Plan, lines: readonly LineAssessment[]): CustomsBrief['dutiable'] {
  return [...plan.sheet.cells.values()].flatMap(({ id, value }) => {
    const kind = /^duty\.entry\.(.+)\.dutiable$/.exec(id)?.[1]
    if (kind === undefined || value.isZero()) return []
    const mine = lines.filter(({ line, verdict }) => line.class === kind && verdict !== 'qualifies')
    return [
      {
        item: words.phrase(kind.replaceAll('-', ' ')),
        reason: words.line`${several(
          mine.map(({ line }) => `${line.id} ${line.label}`),
          NAMED,
        )}`,
        cells: { value: id, duty: `duty.entry.${kind}.duty`, tax: `duty.entry.${kind}.tax` },
        open: openOn(plan, kind),
      },
    ]
  })
}

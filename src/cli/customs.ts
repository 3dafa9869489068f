import { join } from 'node:path'
import { customsAdvice } from '../analysis/customs-advice.js'
import {
  CUSTOMS_CAUTION,
  customsListCsv,
  customsListHtml,
  decidingRoute,
  type Language,
  notDetermined,
  OWN_CUSTOMS_FILE,
  PROOF_CAUTION,
  type RouteAssessment,
  reasons,
  reliedOn,
  type Verdict,
} from '../customs/index.js'
import { LOADED_FILE, LOADING_FOLDER, numberedCartons } from '../load/index.js'
import { readStayed } from '../load/loaded-file.js'
import { ENGLISH } from '../paper/figure-text.js'
import { numberText } from '../paper/format.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/index.js'
import { UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions } from './command.js'
import { outFolder } from './notebooks.js'
import { textTable } from './text-table.js'

const LANGUAGES: readonly Language[] = ['en', 'es', 'fr', 'de']

export const customs: Command = {
  name: 'customs',
  words: '[DIR]',
  says: 'writes the inventory for customs, and prints papers, restricted goods and what would change the charges',
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where the lists go; out/ and the household’s name otherwise' },
    language: { value: 'es|fr|de', says: 'headings in this language beside the English ones' },
    stale: { says: 'list the customs rows this move relies on, the shakiest first, with whom to ask' },
    scenario: { value: 'NAME', says: 'the scenario; the first one otherwise' },
    json: { says: 'print JSON' },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const plan = namedPlan(plans, args.text('scenario'))
    if (args.flags.has('stale')) {
      io.out(staleText(move, plan, args.flags.has('json')))
      return 0
    }
    const language = languageOf(args.text('language'))
    const stayed = await readStayed(householdFolder(args), move, plan)
    const advice = customsAdvice(move, plan, cartonMarks(move, plan, stayed?.marks), stayed?.loadedShare)
    const { facts } = move.household
    const tables = move.reference.customs
    const head = {
      household: facts.name,
      from: ENGLISH.place(facts.origin_place, facts.origin_country),
      to: ENGLISH.place(facts.destination_place, facts.destination_country),
      on: facts.as_of,
      containers: facts.container_numbers,
    }
    const out = outFolder(args)
    const paths = { page: join(out, 'customs-list.html'), csv: join(out, 'customs-list.csv') }
    await replaceFile(paths.page, customsListHtml(tables, advice.list, head, language))
    await replaceFile(paths.csv, customsListCsv(tables, advice.list, language))
    if (args.flags.has('json')) {
      io.out(JSON.stringify(advice, null, 2))
      return 0
    }
    const { whatIf, documents, restrictions, shipOrLeave, values } = advice
    const { stops, undetermined } = plan.sheet.customs
    if (stops.length > 0) io.out(`Stop\n${stops.map(({ sentence }) => `  ${sentence}`).join('\n')}\n`)
    if (undetermined.length > 0) {
      const gaps = undetermined.map(({ what, lines, why, ask }) => [
        lines.length > 0 ? `${what}: ${lines.join(', ')}` : what,
        why,
        ask ?? '',
      ])
      io.out(`Not determined, and in no total\n${textTable(['', 'why', 'ask'], gaps)}\n`)
    }
    io.out(reliefText(plan))
    const apart = consignmentRows(move, plan)
    if (apart.length > 0)
      io.out(
        `Apart from the container, each declared on its own day and outside the container’s cover\n${textTable(['', 'by', 'declared', 'things', `carriage and cover, ${facts.currency}`], apart)}\n`,
      )
    const due = documents.map((d) => [d.form ? `${d.label} (${d.form})` : d.label, d.side, d.due ?? 'ask'])
    io.out(`Papers to have in hand\n${textTable(['', 'side', 'by'], due)}\n`)
    const hits = restrictions.map((hit) => [`${hit.line} ${hit.label}`, hit.rule.action, hit.rule.what_to_do])
    if (hits.length > 0) io.out(`Restricted goods\n${textTable(['', 'action', 'what to do'], hits)}\n`)
    if (whatIf === undefined)
      io.out('The charges could not be determined: ask the authority of the destination.\n')
    else {
      const changes = whatIf.changes.map((change) => [change.sentence, numberText(change.saves, 2)])
      const { currency } = plan.sheet.customs
      const known = undetermined.length > 0 ? ', as far as determined' : ''
      const barred = new Set(stops.filter(({ certain }) => certain).map(({ line }) => line))
      const none = barred.size > 0 ? `, with ${[...barred].join(', ')} that may not go` : ''
      io.out(
        `What would change the charges of ${numberText(whatIf.total, 2)} ${currency}${known}${none}\n${changes.length > 0 ? textTable(['', `saves, ${currency}`], changes) : '  nothing: neither another day nor a thing left behind'}\n`,
      )
    }
    for (const { sentence } of whatIf?.deadlines ?? []) io.out(`${sentence}\n`)
    const choices = shipOrLeave.map((s) => [
      `${s.id} ${s.label}`,
      numberText(s.shipping, 2),
      s.replacing === undefined ? 'not stated' : numberText(s.replacing, 2),
      s.advice,
    ])
    if (choices.length > 0) {
      io.out(
        `Ship it, or sell it and buy the like there (${facts.currency}): charged things, open ones and vehicles\n${textTable(['', 'tax and freight', 'replacing it', 'cheaper'], choices)}\n`,
      )
    }
    const sales = advice.earlySales
      .slice(0, 5)
      .map(({ line, label, lockedUntil, charge }) => [
        `${line} ${label}`,
        lockedUntil,
        charge === undefined ? 'not determined' : numberText(charge, 2),
      ])
    if (sales.length > 0) {
      io.out(
        `Sold, lent or hired out too early, what came in free is charged; dearest first, at the value of today (${facts.currency})\n${textTable(['', 'to be kept until', 'duty and tax'], sales)}\n`,
      )
    }
    io.out(`Declared and insured values: ${values.sentence}`)
    for (const line of values.lines.filter((l) => l.finding !== 'consistent')) {
      io.out(`  ${line.line} ${line.description}: ${line.sentence}`)
    }
    if (stayed !== undefined) {
      io.out(
        `\nThe list holds what was loaded by ${LOADING_FOLDER}/${LOADED_FILE}: ${stayed.marks.size} pieces or cartons stayed. Charges above are those of the plan.`,
      )
    }
    io.out(`\n${paths.page}\n${paths.csv}\n\n${CUSTOMS_CAUTION}\n${PROOF_CAUTION}`)
    return 0
  },
}

/** Which rule frees which things, or why it does not, and what of the rule is not in the tests. */
function reliefText(plan: Plan): string {
  const { assessments, importer } = plan.sheet.customs
  const groups = new Map<string, { readonly cells: readonly string[]; readonly lines: string[] }>()
  for (const assessment of assessments) {
    const route = decidingRoute(assessment)
    const cells = [assessment.verdict, route?.row.label ?? '', whyOf(assessment.verdict, route)]
    const group = groups.get(cells.join('|')) ?? { cells, lines: [] }
    groups.set(cells.join('|'), group)
    group.lines.push(assessment.line.id)
  }
  const rows = [...groups.values()].map(({ cells, lines }) => [
    // Nobody reads a hundred marks in a row; the list for customs has them all.
    lines.length > 6 ? `${lines.length} lines and vehicles` : lines.join(', '),
    ...cells,
  ])
  const who = importer === 'each owner' ? 'each declares their own' : `${importer} declares`
  return `Relief, where ${who}\n${textTable(['', 'verdict', 'rule', 'why, and what is not in the tests'], rows)}\n`
}

/** For a refusal what fails; else what is assumed, set aside by the authority, or left out of the tests. */
function whyOf(verdict: Verdict, route: RouteAssessment | undefined): string {
  if (route === undefined) return 'The tables hold no rule for this person there.'
  if (verdict === 'refused') return reasons(route).join(' ')
  const gaps = notDetermined(route).map((gap) => gap.replace(/^not determined: /, ''))
  return [...reasons(route), ...(gaps.length > 0 ? [`Not tested: ${gaps.join('; ')}.`] : [])].join(' ')
}

/** What goes with each consignment of its own, and what it costs. */
function consignmentRows(move: Move, plan: Plan): string[][] {
  return move.household.consignments.flatMap(({ consignment, by, import_on }) => {
    const lines = plan.shipment.apart.filter((line) => line.consignment === consignment)
    const cost = plan.sheet.cells.get(`cost.crossing.consignment.${consignment}`)?.value
    if (lines.length === 0 || !cost) return []
    const things = lines.map(({ line, item }) => `${line} ${item}`).join(', ')
    return [[consignment, by, import_on, things, numberText(cost, 2)]]
  })
}

/** The rows a move relies on, by mark and age, with the authority's name. */
function staleText(move: Move, plan: Plan, json: boolean): string {
  const { as_of: on } = move.household.facts
  const rows = reliedOn(move.reference.customs, plan.sheet.customs.move, on)
  if (json) return JSON.stringify(rows, null, 2)
  const shown = rows.map((row) => [
    `${row.table} ${row.row}`,
    row.label,
    row.confirmed,
    row.lookedOn === undefined ? 'never' : `${row.lookedOn}, ${daysAgo(row.daysOld ?? 0)}`,
    row.ask,
  ])
  const shaky = rows.filter(({ confirmed }) => confirmed !== 'looked up').length
  return [
    `${rows.length} customs rows, ${shaky} of them not looked up in the source itself, as seen on ${on}`,
    textTable(['row', '', 'confirmed', 'last look', 'ask'], shown),
    `What an authority confirms goes into ${OWN_CUSTOMS_FILE} of the household's folder: table, row, column, value, confirmed_by, confirmed_on, answer.`,
  ].join('\n')
}

const daysAgo = (days: number) => (days === 1 ? '1 day ago' : `${days} days ago`)

/** The marks of the cartons a line is in, the same as on the load plan. */
function cartonMarks(
  move: Move,
  plan: Plan,
  stayed: ReadonlySet<string> = new Set(),
): (line: { readonly line: string }) => string | undefined {
  const marks = new Map<string, string[]>()
  for (const { number, contents } of numberedCartons(move, plan)) {
    if (stayed.has(number)) continue
    for (const { line } of contents) marks.set(line, [...(marks.get(line) ?? []), number])
  }
  return ({ line }) => marks.get(line)?.join(' ')
}

function languageOf(text: string | undefined): Language {
  const language = LANGUAGES.find((known) => known === (text ?? 'en'))
  if (language) return language
  throw new UsageError(`--language ${text}: there are ${LANGUAGES.join(', ')}`)
}

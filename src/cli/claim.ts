import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { senderOf } from '../brief/index.js'
import {
  ARRIVAL_FOLDER,
  actualColumns,
  actualsOf,
  claimColumns,
  claimPaper,
  conditionList,
  conditionListBody,
  costLines,
  DOCUMENTS,
  emptyCsv,
  noticesDue,
  ownRatesCsv,
  readActuals,
  readClaims,
  settlement,
} from '../claim/index.js'
import type { Stayed } from '../load/loaded.js'
import { readStayed } from '../load/loaded-file.js'
import { numberedCartons } from '../load/pieces-of.js'
import { dayText, figureText, numberText } from '../paper/format.js'
import { paperHtml } from '../paper/html.js'
import { pageHtml } from '../paper/page.js'
import { pageCss } from '../paper/page-css.js'
import { replaceFile } from '../paper/replace-file.js'
import type { Words } from '../paper/words.js'
import { wordsIn } from '../paper/words-file.js'
import type { Move, Plan } from '../plan/index.js'
import { readFolder } from '../tables/disk.js'
import { isDay } from '../tables/fields.js'
import { dayIn } from '../time/day-number.js'
import { UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions, Refusal } from './command.js'
import { outFolder } from './notebooks.js'
import { textTable } from './text-table.js'

export const claim: Command = {
  name: 'claim',
  words: '[DIR]',
  says: `after arrival: writes the condition list and the forms; reads DIR/${ARRIVAL_FOLDER}/claims.csv and actuals.csv back`,
  options: {
    ...planOptions,
    out: { value: 'DIR', says: 'where the files go; out/ and the household’s name otherwise' },
    scenario: { value: 'NAME', says: 'the scenario that was carried out; the first one otherwise' },
    language: {
      value: 'en|fr|es|de',
      says: 'language of the condition list and the claim; English otherwise',
    },
    strings: { value: 'FILE', says: 'texts of another language: a CSV with the columns id and the language' },
    delivered: { value: 'DATE', says: 'the day of delivery, year-month-day; the plan’s own otherwise' },
  },
  async run(args, io) {
    const folder = householdFolder(args)
    const { move, plans } = await openPlans(args, folder)
    const plan = namedPlan(plans, args.text('scenario'))
    const delivered = args.text('delivered') ?? dayIn(plan.sheet.cells.get('time.on.delivered')?.value)
    if (delivered === undefined || !isDay(delivered))
      throw new UsageError(`--delivered ${delivered}: write year-month-day, as in --delivered 2027-04-23`)
    const stayed = await readStayed(folder, move, plan)
    const words = await wordsIn(args.text('language'), args.text('strings'))
    const files = await forms(move, plan, outFolder(args), words, stayed)
    const found = await arrivalFiles(folder)
    const out = [noticeText(move, plan, delivered)]
    const claims = found.find(({ file }) => file.endsWith('claims.csv'))
    if (claims) {
      const read = readClaims(
        claims,
        plan,
        move.reference.perils.map(({ id }) => id),
        numberedCartons(move, plan).map(({ number }) => number),
        stayed,
      )
      if (!read.ok) throw new Refusal(read.problems)
      const claimed = settlement(move, plan, read.value)
      out.push(claimText(move, plan, claimed))
      const sender = senderOf(folder)
      const paper = claimPaper(move, plan, words, { delivered, claimed, ...(sender ? { sender } : {}) })
      const path = join(outFolder(args), 'claim.html')
      await replaceFile(
        path,
        paperHtml(paper, { css: pageCss('brief'), words, copy: 'client', pictures: new Map() }),
      )
      files.push(path)
    }
    const actuals = found.find(({ file }) => file.endsWith('actuals.csv'))
    if (actuals) {
      const read = readActuals(actuals, plan)
      if (!read.ok) throw new Refusal(read.problems)
      const lines = actualsOf(plan, read.value)
      const path = join(outFolder(args), 'own-rates.csv')
      await replaceFile(path, ownRatesCsv(lines, plan.household.facts.as_of))
      files.push(path)
      out.push(actualText(plan, lines))
    }
    io.out(out.join('\n\n'))
    io.err(files.join('\n'))
    return 0
  },
}

async function arrivalFiles(folder: string) {
  const place = join(folder, ARRIVAL_FOLDER)
  if (!existsSync(place)) return []
  const read = await readFolder(place, ARRIVAL_FOLDER)
  if (!read.ok) throw new Refusal(read.problems)
  return read.value
}

async function forms(move: Move, plan: Plan, out: string, words: Words, stayed?: Stayed): Promise<string[]> {
  const title = words.line`Condition list: ${plan.household.facts.name}`
  const paths = {
    list: join(out, 'condition-list.html'),
    claims: join(out, 'claims.csv'),
    actuals: join(out, 'actuals.csv'),
  }
  const body = conditionListBody(conditionList(move, plan, stayed), title, words)
  await replaceFile(paths.list, pageHtml({ lang: words.locale.tag, title, css: pageCss('brief'), body }))
  await replaceFile(paths.claims, emptyCsv(Object.keys(claimColumns.shape)))
  await replaceFile(
    paths.actuals,
    emptyCsv(
      Object.keys(actualColumns.shape),
      costLines(plan).map((cell) => [
        cell,
        '',
        plan.household.facts.currency,
        `planned ${plan.sheet.cells.get(cell)?.value.toFixed(2)}`,
      ]),
    ),
  )
  return Object.values(paths)
}

function noticeText(move: Move, plan: Plan, delivered: string): string {
  const rows = noticesDue(move, plan, delivered).map((due) => [
    due.against,
    due.label,
    due.apparent,
    due.hidden,
    due.suit ?? 'by the policy',
    `${due.source} (${due.confirmed})`,
  ])
  return [
    `Delivered ${dayText(delivered)}. Tell each of them in writing; which rule holds is for the contract and the law of the place, so keep the earliest day:`,
    textTable(['against', 'rule', 'seen', 'hidden', 'action by', 'source'], rows),
  ].join('\n')
}

function claimText(move: Move, plan: Plan, claimed: ReturnType<typeof settlement>): string {
  const money = (amount: typeof claimed.loss) => figureText(amount, plan.household.facts.currency, 2)
  const cover = move.reference.covers.find(({ id }) => id === claimed.cover)?.label ?? 'no cover'
  const rows = claimed.things.map(({ row, label, loss, answered, why }) => [
    row.carton ?? '',
    row.line,
    label,
    row.what,
    row.noted === 'yes' || row.seen === 'on unpacking' ? '' : 'not on the delivery note',
    money(loss),
    answered ? 'yes' : 'no',
    why,
  ])
  return [
    `Claim under ${cover}:`,
    textTable(['carton', 'line', 'what', '', 'reservation', 'loss', 'answered', 'why'], rows),
    `Loss ${money(claimed.loss)}, of which the cover answers for ${money(claimed.answeredLoss)}. Average leaves ${numberText(claimed.average.times(100), 1)} %; deductible ${money(claimed.deductible)}, taken ${claimed.order}. Expected: ${money(claimed.expected)}.`,
    'What is due is for the insurer and the policy to say. Documents:',
    ...DOCUMENTS.map((text) => `- ${text}`),
  ].join('\n')
}

function actualText(plan: Plan, lines: ReturnType<typeof actualsOf>): string {
  const money = (amount: (typeof lines)[number]['paid']) =>
    figureText(amount, plan.household.facts.currency, 2)
  return textTable(
    ['line', 'planned', 'paid', 'difference', 'own rate'],
    lines.map(({ label, planned, paid, difference, rate }) => [
      label,
      money(planned),
      money(paid),
      money(difference),
      rate ? `${rate.id} = ${rate.likely} ${rate.unit}` : '',
    ]),
  )
}

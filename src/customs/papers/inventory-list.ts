import type { Decimal } from 'decimal.js'
import { pageHtml } from '../../paper/page.js'
import { exact } from '../../quantity/index.js'
import { csvCell, escapeHtml } from '../../tables/as-data.js'
import type { IsoDate } from '../../tables/fields.js'
import type { InventoryLine } from '../../tables/household-columns.js'
import { wholeMonthsBetween } from '../calendar.js'
import { CUSTOMS_CAUTION, PROOF_CAUTION } from '../caution.js'
import { type CustomsTables, customsFigure } from '../tables.js'
import type { Language } from './columns.js'

/** A line of the inventory given to customs. */
export interface CustomsListLine {
  readonly number: number
  readonly line: string
  /** The carton or piece it travels in, as the packing plan numbers it. */
  readonly package: string
  readonly description: string
  readonly owner: string
  readonly condition: 'new' | 'good' | 'worn' | 'damaged' | ''
  readonly quantity: Decimal
  /** All pieces, kg; undefined where not known. */
  readonly massKg: Decimal | undefined
  /** All pieces; undefined where not stated. */
  readonly value: Decimal | undefined
  readonly currency: string
  readonly acquiredOn: IsoDate | undefined
  /** Whole months of ownership on the day of the list. */
  readonly months: number | undefined
  readonly serial: string
  /** A serial number is asked for and missing. */
  readonly serialMissing: boolean
}

export interface CustomsList {
  readonly lines: readonly CustomsListLine[]
  /** Values per currency, since amounts of several do not add. */
  readonly totals: readonly { readonly currency: string; readonly value: Decimal }[]
  readonly massKg: Decimal
  readonly pieces: Decimal
  readonly withoutValue: readonly string[]
  readonly withoutMass: readonly string[]
}

/** What the list cannot read from the inventory itself. */
export interface CustomsListTerms {
  readonly currency: string
  readonly on: IsoDate
  /** Mass of one piece where inventory.csv leaves it to items.csv. */
  readonly massKgOf?: (line: InventoryLine) => Decimal | undefined
  readonly packageOf?: (line: InventoryLine) => string | undefined
}

/**
 * The inventory for customs: one numbered line for each line that is shipped, totals that are the sums of the lines.
 * A line without a value or a mass is listed as such and never counted as zero unseen.
 */
export function customsList(
  tables: CustomsTables,
  inventory: readonly InventoryLine[],
  terms: CustomsListTerms,
): CustomsList {
  const shipped = inventory.filter((line) => line.take === 'ship')
  const lines = shipped.map((line, i): CustomsListLine => {
    const each = line.mass_kg ?? terms.massKgOf?.(line)
    const serialAsked = tables.classes.get(line.class)?.serial ?? false
    return {
      number: i + 1,
      line: line.line,
      package: terms.packageOf?.(line) ?? line.packing,
      description: line.item,
      owner: line.owner ?? '',
      condition: line.condition ?? '',
      quantity: line.quantity,
      massKg: each?.times(line.quantity),
      value: line.value && exact.round(line.value.times(line.quantity), 2),
      currency: line.currency ?? terms.currency,
      acquiredOn: line.acquired_on,
      months: line.acquired_on === undefined ? undefined : wholeMonthsBetween(line.acquired_on, terms.on),
      serial: line.serial ?? '',
      serialMissing: serialAsked && !line.serial,
    }
  })
  const currencies = [...new Set(lines.map((line) => line.currency))]
  return {
    lines,
    totals: currencies.map((currency) => ({
      currency,
      value: exact.sum(lines.flatMap((line) => (line.currency === currency ? (line.value ?? []) : []))),
    })),
    massKg: exact.sum(lines.flatMap((line) => line.massKg ?? [])),
    pieces: exact.sum(lines.map((line) => line.quantity)),
    withoutValue: lines.filter((line) => line.value === undefined).map((line) => line.line),
    withoutMass: lines.filter((line) => line.massKg === undefined).map((line) => line.line),
  }
}

const COLUMNS = [
  'number',
  'package',
  'description',
  'condition',
  'quantity',
  'mass',
  'value',
  'currency',
  'acquired',
  'use',
  'serial',
] as const

type Say = (id: string) => string

/** Headings in English, with the other language after a stroke where one is wanted. */
function speaker(tables: CustomsTables, language: Language): Say {
  return (id) => {
    const row = tables.headings.get(id)
    if (row === undefined) return id
    return language === 'en' || row[language] === row.en ? row.en : `${row.en} / ${row[language]}`
  }
}

const cellsOf = (line: CustomsListLine, say: Say): string[] => [
  String(line.number),
  line.package,
  line.description,
  line.condition && say(line.condition),
  line.quantity.toString(),
  line.massKg?.toFixed(1) ?? '',
  line.value?.toFixed(2) ?? '',
  line.currency,
  line.acquiredOn ?? '',
  line.months === undefined ? '' : `${line.months} ${say('months')}`,
  line.serial,
]

/** The list as CSV, UTF-8 text. No cell can become a formula when a spreadsheet program opens it. */
export function customsListCsv(tables: CustomsTables, list: CustomsList, language: Language = 'en'): string {
  const say = speaker(tables, language)
  const rows = [
    COLUMNS.map(say),
    ...list.lines.map((line) => cellsOf(line, say)),
    ...list.totals.map(({ currency, value }, i) => [
      say('total'),
      '',
      '',
      '',
      i === 0 ? list.pieces.toString() : '',
      i === 0 ? list.massKg.toFixed(1) : '',
      value.toFixed(2),
      currency,
      '',
      '',
      '',
    ]),
  ]
  return `${rows.map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

/** Who and where, for the head of the printed list. */
export interface CustomsListHead {
  readonly household: string
  readonly from: string
  readonly to: string
  readonly on: IsoDate
  /** Numbers of the containers, where they are known. */
  readonly containers?: readonly string[]
}

const LIST_STYLE = `
@page { size: A4 landscape; margin: 12mm }
body { font: 10pt/1.35 system-ui, sans-serif; color: #111; margin: 1rem }
h1 { font-size: 14pt; margin: 0 0 .4rem }
table { border-collapse: collapse; width: 100% }
th, td { border: 1px solid #999; padding: 2px 5px; text-align: left; vertical-align: top }
thead { display: table-header-group } tr { break-inside: avoid }
.n { text-align: right; font-variant-numeric: tabular-nums }
.caution { border-left: 4px solid #9a5b00; padding: .3rem .6rem; margin: .8rem 0 }
.sign { display: flex; gap: 4rem; margin-top: 2rem } .sign span { border-top: 1px solid #111; min-width: 16rem; padding-top: 2px }
`

/** The list as a page to print: whole in itself, A4 landscape, headings in English and one more language. */
export function customsListHtml(
  tables: CustomsTables,
  list: CustomsList,
  head: CustomsListHead,
  language: Language = 'en',
): string {
  const say = speaker(tables, language)
  const numeric = new Set(['number', 'quantity', 'mass', 'value'])
  const cell = (tag: 'td' | 'th', text: string, i: number) =>
    `<${tag}${numeric.has(COLUMNS[i] ?? '') ? ' class="n"' : ''}>${escapeHtml(text)}</${tag}>`
  const body = list.lines
    .map(
      (line) =>
        `<tr>${cellsOf(line, say)
          .map((text, i) => cell('td', text, i))
          .join('')}</tr>`,
    )
    .join('\n')
  const totals = list.totals
    .map(({ currency, value }, i) => {
      const pieces = i === 0 ? list.pieces.toString() : ''
      const mass = i === 0 ? list.massKg.toFixed(1) : ''
      return `<tr><th colspan="4" scope="row">${escapeHtml(say('total'))}</th><td class="n">${pieces}</td><td class="n">${mass}</td><td class="n">${value.toFixed(2)}</td><td>${escapeHtml(currency)}</td><td colspan="3"></td></tr>`
    })
    .join('\n')
  const gaps = [
    list.withoutValue.length > 0 ? `Without a value: ${list.withoutValue.join(', ')}.` : '',
    list.withoutMass.length > 0 ? `Without a mass: ${list.withoutMass.join(', ')}.` : '',
    list.lines.some((line) => line.serialMissing)
      ? `Serial number wanted: ${list.lines
          .filter((line) => line.serialMissing)
          .map((line) => line.line)
          .join(', ')}.`
      : '',
  ].filter(Boolean)
  const numbers = head.containers ?? []
  const containers =
    numbers.length > 0 ? ` · ${escapeHtml(`${say('container')}: ${numbers.join(', ')}`)}` : ''
  const html = `<h1>${escapeHtml(say('title'))}</h1>
<p>${escapeHtml(head.household)} · ${escapeHtml(say('origin'))}: ${escapeHtml(head.from)} · ${escapeHtml(say('destination'))}: ${escapeHtml(head.to)} · ${escapeHtml(say('date'))}: ${escapeHtml(head.on)}${containers}</p>
<table>
<thead><tr>${COLUMNS.map((id, i) => cell('th', say(id), i).replace('<th', '<th scope="col"')).join('')}</tr></thead>
<tbody>
${body}
${totals}
</tbody>
</table>
${gaps.map((gap) => `<p>${escapeHtml(gap)}</p>`).join('\n')}
<p>${escapeHtml(say('declaration'))}.</p>
<div class="sign"><span>${escapeHtml(say('signature'))}</span><span>${escapeHtml(say('date'))}</span></div>
<p class="caution">${escapeHtml(CUSTOMS_CAUTION)} ${escapeHtml(PROOF_CAUTION)}</p>`
  return pageHtml({ lang: 'en', title: say('title'), css: LIST_STYLE, body: html })
}

/** The declared and the insured value of a line, side by side. */
export interface ValueCheckLine {
  readonly line: string
  readonly description: string
  readonly declared: Decimal | undefined
  readonly insured: Decimal | undefined
  readonly finding: 'consistent' | 'explain' | 'missing'
  readonly sentence: string
}

export interface ValueCheck {
  readonly lines: readonly ValueCheckLine[]
  readonly declared: Decimal
  readonly insured: Decimal
  readonly finding: 'consistent' | 'explain' | 'missing'
  readonly sentence: string
}

/**
 * The value told to customs against the value insured. The first is what a thing would sell for, the second what it
 * costs new at the destination, so the second is the greater; a declared value above it, or far below it for a thing
 * that is nearly new, is a question an officer or an insurer will ask.
 *
 * Source: rows `value.*` of customs-figures.csv, common practice.
 */
export function valueCheck(
  tables: Pick<CustomsTables, 'figures'>,
  inventory: readonly InventoryLine[],
  on: IsoDate,
): ValueCheck {
  const leastShare = customsFigure(tables, 'value.least-share')
  const leastShareNew = customsFigure(tables, 'value.least-share-new')
  const shipped = inventory.filter((line) => line.take === 'ship')
  const lines = shipped.map((line): ValueCheckLine => {
    const declared = line.value?.times(line.quantity)
    const insured = line.replacement_value?.times(line.quantity)
    const told = (finding: ValueCheckLine['finding'], sentence: string) => ({
      line: line.line,
      description: line.item,
      declared,
      insured,
      finding,
      sentence,
    })
    if (declared === undefined || insured === undefined) {
      return told('missing', `Give the ${declared === undefined ? 'value for customs' : 'value to insure'}.`)
    }
    if (declared.gt(insured)) {
      return told('explain', 'Declared above the replacement cost: correct one of the two, or explain it.')
    }
    const months = line.acquired_on === undefined ? 12 : wholeMonthsBetween(line.acquired_on, on)
    const least = months < 12 ? leastShareNew : leastShare
    if (declared.lt(insured.times(least))) {
      return told('explain', 'Declared far below the insured value: keep proof of age and condition.')
    }
    return told('consistent', 'Second-hand value declared, replacement cost insured.')
  })
  const declared = exact.sum(lines.flatMap((line) => line.declared ?? []))
  const insured = exact.sum(lines.flatMap((line) => line.insured ?? []))
  const worst = lines.some((line) => line.finding === 'missing')
    ? 'missing'
    : declared.gt(insured) || lines.some((line) => line.finding === 'explain')
      ? 'explain'
      : 'consistent'
  const open = lines.filter((line) => line.finding !== 'consistent').length
  return {
    lines,
    declared,
    insured,
    finding: worst,
    sentence:
      worst === 'consistent'
        ? 'Declared and insured values agree: both come from the same inventory, one second-hand and one new.'
        : `${open} ${open === 1 ? 'line needs' : 'lines need'} a look before both papers go out.`,
  }
}

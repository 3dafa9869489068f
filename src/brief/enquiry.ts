import type { ChartTheme } from '../charts/specs/index.js'
import { FORM_COLUMNS } from '../movers/answers.js'
import { wantedServices } from '../movers/bill.js'
import { answersOf, type Question, type Rules } from '../movers/questions.js'
import type { PaperData, Section, Sender } from '../paper/blocks.js'
import { cell, paragraph } from '../paper/blocks.js'
import { day, type Sentence, says } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { csvCell } from '../tables/as-data.js'
import type { Provider } from '../tables/household-columns.js'
import type { Read } from '../tables/problem.js'
import type { Service } from '../tables/reference.js'
import { type BriefSource, figure } from './figure.js'
import { carriageText, coverLabel } from './front/carriage.js'
import { inventorySection } from './sections/inventory.js'
import { volumeSection } from './sections/volume.js'

/** A piece from this mass on is named to the mover: it needs more hands or gear. */
const HEAVY_KG = 80

/** What an enquiry says besides the plan. */
export interface EnquiryTerms {
  readonly rules: Rules
  /** The day by which answers are wanted, ISO date. */
  readonly replyBy: string
  readonly sender?: Sender
}

/**
 * An enquiry that brings like-for-like quotes: the same volume, list, access, dates and lines for every mover, a
 * price a line, and the questions that decide such a job. It tells nothing of what the household expects to pay, what
 * its goods are worth, in what capacity anybody moves, or what an employer pays.
 */
export function enquiryData(
  move: Move,
  plan: Plan,
  theme: ChartTheme,
  terms: EnquiryTerms,
  words: Words,
): PaperData {
  const { line, locale } = words
  const { facts } = move.household
  const minorUnits =
    move.reference.currencies.find((c) => c.code === facts.currency)?.minor_units.toNumber() ?? 2
  const source: BriefSource = { move, plans: [plan], recommended: plan, minorUnits }
  return {
    kind: line`Enquiry for movers`,
    household: facts.name,
    from: locale.place(facts.origin_place, facts.origin_country),
    to: locale.place(facts.destination_place, facts.destination_country),
    stated: line`As of ${day(facts.as_of)}. Please answer by ${day(terms.replyBy)}.`,
    recommended: plan.name,
    ...(terms.sender ? { sender: terms.sender } : {}),
    sections: [
      askSection(source, words, terms),
      accessSection(move, words, plan),
      volumeSection(source, words, theme),
      specialSection(source, words),
      scopeSection(move, words, plan),
      questionsSection(terms.rules, words),
      { ...inventorySection(source, words), title: line`Goods, line by line` },
    ],
  }
}

function askSection(
  { move, recommended: plan }: BriefSource,
  words: Words,
  { replyBy, sender }: EnquiryTerms,
): Section {
  const { line } = words
  const contact = sender && [sender.name, ...sender.contact].join(', ')
  return {
    id: 'ask',
    title: line`What we ask`,
    blocks: [
      paragraph(
        line`Please quote for the goods and services below, so that quotes can be compared line by line. Fill in the form answer-form.csv and send it back as it is, with your terms beside it.`,
      ),
      {
        kind: 'list',
        items: [
          [
            contact
              ? line`Reply: by ${day(replyBy)}, to ${contact}. A visit or a video survey before that is welcome.`
              : line`Reply: by ${day(replyBy)}. A visit or a video survey before that is welcome.`,
          ],
          [
            line`Prices: one for each line. Where one price covers several lines, write “included in” and the name of the line that has the price; write “not offered” where you do not do it.`,
          ],
          [
            line`Volume: tell the cubic metres your prices are for and how you measured them: net, packed, or gross in cases.`,
          ],
          [
            line`Carriage: we expect ${carriageText(words, move, plan)}. If you would ship otherwise, say so and why.`,
          ],
          [
            line`Free time: tell what is free and what is charged after it: hours at the door, days at the port, days with the container, carrying, floors.`,
          ],
          [
            line`Terms: what your price leaves out, how long it holds, in which currency, and when it is due.`,
          ],
          [
            line`Liability: yours for loss and damage by weight or package, and the transit cover you offer, with its certificate.`,
          ],
          [line`Weights here are estimates and no verified gross mass.`],
        ],
      },
    ],
  }
}

function accessSection(move: Move, words: Words, plan: Plan): Section {
  const { line, locale } = words
  const { facts } = move.household
  const on = (id: string, otherwise: string) => day(plan.inputs.choices.get(id)?.value ?? otherwise)
  const row = (label: string, origin: string, destination: string) => ({
    cells: [cell(label), cell(origin), cell(destination)],
  })
  return {
    id: 'access',
    title: line`Both homes, and when`,
    blocks: [
      {
        kind: 'table',
        caption: line`Access and dates`,
        columns: [
          { label: '' },
          { label: locale.place(facts.origin_place, facts.origin_country) },
          { label: locale.place(facts.destination_place, facts.destination_country) },
        ],
        rows: [
          row(
            line`Floors above the street`,
            facts.origin_floor.toString(),
            facts.destination_floor.toString(),
          ),
          row(
            line`Lift that furniture fits in`,
            facts.origin_lift ? line`yes` : line`no`,
            facts.destination_lift ? line`yes` : line`no`,
          ),
          row(line`Carry from truck to door`, `${facts.origin_carry_m} m`, `${facts.destination_carry_m} m`),
          row(
            line`When`,
            line`loading about ${on('load-on', facts.load_on)}`,
            line`import about ${on('import-on', facts.import_on)}`,
          ),
        ],
      },
    ],
  }
}

/** Vehicles, crated, heavy and delicate things: what a price must have been told of. */
function specialSection(source: BriefSource, words: Words): Section {
  const { line: says, phrase } = words
  const { recommended: plan } = source
  const { lines, vehicles } = plan.shipment
  const massOf = (line: (typeof lines)[number]) =>
    plan.sheet.cells.get(`mass.line.${line.line}`)?.value.div(line.quantity)
  const special = lines.flatMap((line) => {
    const why = [
      ...(line.class === 'piano' ? ['piano'] : []),
      ...(line.packing === 'crated' ? ['crate'] : []),
      ...(massOf(line)?.gte(HEAVY_KG) ? ['heavy'] : []),
      ...line.handling.filter((word) => word !== 'first-needed'),
    ]
    return why.includes('piano') || why.includes('crate') || why.includes('heavy') ? [{ line, why }] : []
  })
  const rows = [
    ...vehicles.map((v) => ({
      cells: [
        cell(`${v.vehicle} ${v.label}`),
        cell(`${phrase(v.kind)}, ${phrase(v.powertrain)}`),
        cell(figure(source, plan, `vehicle.${v.vehicle}.mass`)),
      ],
    })),
    ...special.map(({ line, why }) => ({
      cells: [
        cell(`${line.line} ${line.item}`),
        cell(why.map(phrase).join(', ')),
        cell(figure(source, plan, `mass.line.${line.line}`)),
      ],
    })),
  ]
  if (rows.length === 0)
    return { id: 'special', title: says`Special pieces`, blocks: [paragraph(says`None.`)] }
  return {
    id: 'special',
    title: says`Special pieces`,
    blocks: [
      {
        kind: 'table',
        caption: says`Vehicles, and pieces that need a crate, gear or more hands`,
        columns: [{ label: says`Piece` }, { label: says`Why` }, { label: says`Mass`, numeric: true }],
        rows,
      },
    ],
  }
}

const BY: Readonly<Record<Provider, Sentence>> = {
  mover: says`please quote`,
  self: says`we do this ourselves`,
  friends: says`we do this ourselves`,
  hired: says`arranged elsewhere`,
  employer: says`arranged elsewhere`,
  none: says`not needed`,
}

/** Every service with who does it; those asked for have room for a price. */
function scopeSection(move: Move, words: Words, plan: Plan): Section {
  const { line, tell, phrase } = words
  const by = providers(move, plan)
  const asked = new Set(wantedServices(move, plan).map(({ id }) => id))
  const scope = (service: Service): string =>
    by.get(service.id) === 'mover' && !asked.has(service.id)
      ? line`only if it arises: state your terms`
      : tell(BY[by.get(service.id) ?? 'none'])
  return {
    id: 'scope',
    title: line`Scope and price schedule`,
    blocks: [
      paragraph(
        line`Cover we have in mind: ${words.inSentence(coverLabel(words, move, plan))}; quote it separately.`,
      ),
      {
        kind: 'table',
        caption: line`Line by line, in your own currency or ours`,
        columns: [
          { label: line`Line` },
          { label: line`What is meant` },
          { label: line`Scope` },
          { label: line`Price` },
          { label: line`Free, then charged` },
        ],
        rows: move.reference.services.map((service) => ({
          cells: [
            cell(words.label(`service.${service.id}`, service.label)),
            cell(phrase(service.meaning)),
            cell(scope(service)),
            cell(''),
            cell(''),
          ],
        })),
      },
    ],
  }
}

/** What decides such a job besides the price. */
function questionsSection({ questions }: Rules, words: Words): Section {
  const { line, phrase } = words
  const kinds = {
    number: line`a number`,
    percent: line`per cent`,
    money: line`an amount`,
    text: line`in words`,
  } as const
  return {
    id: 'questions',
    title: line`Questions that decide`,
    blocks: [
      {
        kind: 'table',
        caption: line`Please answer each; the form takes the answers shown`,
        columns: [{ label: line`Question` }, { label: line`Answers` }],
        rows: questions.map((question) => ({
          cells: [
            cell(phrase(question.asked)),
            cell(question.kind === 'choice' ? choicesOf(question, words) : kinds[question.kind]),
          ],
        })),
      },
    ],
  }
}

/** The answers a choice takes. The form is read in English, so other languages stand beside it. */
const choicesOf = (question: Question, { phrase }: Words): string =>
  answersOf(question)
    .map((answer) => (phrase(answer) === answer ? answer : `${answer} (${phrase(answer)})`))
    .join(' / ')

/** The form that comes back: a row for each price and question, the answers to be filled in. */
export function answerForm(move: Move, plan: Plan, { questions }: Rules, words: Words): string {
  const { line, phrase } = words
  const { currency } = move.household.facts
  const rows: (readonly string[])[] = [
    FORM_COLUMNS,
    ['mover', line`Your name, in short`, '', '', ''],
    ['volume_m3', line`Cubic metres your prices are for`, '', '', ''],
    ...wantedServices(move, plan).map(({ id, label, meaning }) => [
      `price.${id}`,
      `${words.label(`service.${id}`, label)}: ${phrase(meaning)}`,
      '',
      currency,
      '',
    ]),
    ...questions.map((question) => [
      `question.${question.id}`,
      question.kind === 'choice'
        ? `${phrase(question.asked)} ${choicesOf(question, words)}`
        : phrase(question.asked),
      '',
      question.kind === 'money' ? currency : '',
      '',
    ]),
  ]
  return `${rows.map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

/** The forms in which a scenario can be asked for. */
export const ENQUIRY_FORMS = ['as planned', 'full', 'part', 'own work'] as const
export type EnquiryForm = (typeof ENQUIRY_FORMS)[number]

/** The same scenario with the mover doing everything, a part, or what cannot be done by oneself. */
export function planInForm(move: Move, plan: Plan, form: EnquiryForm): Read<Plan> {
  if (form === 'as planned') return { ok: true, value: plan }
  const level = { full: 'full', part: 'part', 'own work': 'diy' }[form]
  const place = { file: '--form', line: 1 }
  return planOf(move, `${plan.name}, ${form}`, [
    ...plan.changes.filter(({ id }) => !/^provider\.|^service-level$/.test(id)),
    { id: 'service-level', value: level, place },
  ])
}

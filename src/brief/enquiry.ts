import type { ChartTheme } from '../charts/specs/index.js'
import { FORM_COLUMNS } from '../movers/answers.js'
import { wantedServices } from '../movers/bill.js'
import { answersOf, type Rules } from '../movers/questions.js'
import type { PaperData, Section, Sender } from '../paper/blocks.js'
import { cell, paragraph } from '../paper/blocks.js'
import { dayText } from '../paper/format.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { csvCell } from '../tables/as-data.js'
import type { Provider } from '../tables/household-columns.js'
import type { Read } from '../tables/problem.js'
import type { Service } from '../tables/reference.js'
import { type BriefSource, figure } from './figure.js'
import { carriageWords, planWords } from './names.js'
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
export function enquiryData(move: Move, plan: Plan, theme: ChartTheme, terms: EnquiryTerms): PaperData {
  const { facts } = move.household
  const minorUnits =
    move.reference.currencies.find((c) => c.code === facts.currency)?.minor_units.toNumber() ?? 2
  const source: BriefSource = { move, plans: [plan], recommended: plan, minorUnits }
  return {
    kind: 'Enquiry for movers',
    household: facts.name,
    from: `${facts.origin_place}, ${facts.origin_country}`,
    to: `${facts.destination_place}, ${facts.destination_country}`,
    stated: `As of ${dayText(facts.as_of)}. Please answer by ${dayText(terms.replyBy)}.`,
    recommended: plan.name,
    ...(terms.sender ? { sender: terms.sender } : {}),
    sections: [
      askSection(source, terms),
      accessSection(move, plan),
      volumeSection(source, theme),
      specialSection(source),
      scopeSection(move, plan),
      questionsSection(terms.rules),
      { ...inventorySection(source), title: 'Goods, line by line' },
    ],
  }
}

function askSection({ move, recommended: plan }: BriefSource, { replyBy, sender }: EnquiryTerms): Section {
  const contact = sender && [sender.name, ...sender.contact].join(', ')
  return {
    id: 'ask',
    title: 'What we ask',
    blocks: [
      paragraph(
        'Please quote for the goods and services below, so that quotes can be compared line by line. Fill in the form answer-form.csv and send it back as it is, with your terms beside it.',
      ),
      {
        kind: 'list',
        items: [
          [
            `Reply: by ${dayText(replyBy)}${contact ? `, to ${contact}` : ''}. A visit or a video survey before that is welcome.`,
          ],
          [
            'Prices: one for each line. Where one price covers several lines, write “included in” and the name of the line that has the price; write “not offered” where you do not do it.',
          ],
          [
            'Volume: tell the cubic metres your prices are for and how you measured them: net, packed, or gross in cases.',
          ],
          [
            'Carriage: we expect ',
            carriageWords(move, plan),
            '. If you would ship otherwise, say so and why.',
          ],
          [
            'Free time: tell what is free and what is charged after it: hours at the door, days at the port, days with the container, carrying, floors.',
          ],
          ['Terms: what your price leaves out, how long it holds, in which currency, and when it is due.'],
          [
            'Liability: yours for loss and damage by weight or package, and the transit cover you offer, with its certificate.',
          ],
          ['Weights here are estimates and no verified gross mass.'],
        ],
      },
    ],
  }
}

function accessSection(move: Move, plan: Plan): Section {
  const { facts } = move.household
  const day = (id: string, otherwise: string) => plan.inputs.choices.get(id)?.value ?? otherwise
  const row = (label: string, origin: string, destination: string) => ({
    cells: [cell(label), cell(origin), cell(destination)],
  })
  return {
    id: 'access',
    title: 'Both homes, and when',
    blocks: [
      {
        kind: 'table',
        caption: 'Access and dates',
        columns: [
          { label: '' },
          { label: `${facts.origin_place}, ${facts.origin_country}` },
          { label: `${facts.destination_place}, ${facts.destination_country}` },
        ],
        rows: [
          row('Floors above the street', facts.origin_floor.toString(), facts.destination_floor.toString()),
          row(
            'Lift that furniture fits in',
            facts.origin_lift ? 'yes' : 'no',
            facts.destination_lift ? 'yes' : 'no',
          ),
          row('Carry from truck to door', `${facts.origin_carry_m} m`, `${facts.destination_carry_m} m`),
          row(
            'When',
            `loading about ${dayText(day('load-on', facts.load_on))}`,
            `import about ${dayText(day('import-on', facts.import_on))}`,
          ),
        ],
      },
    ],
  }
}

/** Vehicles, crated, heavy and delicate things: what a price must have been told of. */
function specialSection(source: BriefSource): Section {
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
        cell(`${v.kind}, ${v.powertrain}`),
        cell(figure(source, plan, `vehicle.${v.vehicle}.mass`)),
      ],
    })),
    ...special.map(({ line, why }) => ({
      cells: [
        cell(`${line.line} ${line.item}`),
        cell(why.join(', ')),
        cell(figure(source, plan, `mass.line.${line.line}`)),
      ],
    })),
  ]
  if (rows.length === 0) return { id: 'special', title: 'Special pieces', blocks: [paragraph('None.')] }
  return {
    id: 'special',
    title: 'Special pieces',
    blocks: [
      {
        kind: 'table',
        caption: 'Vehicles, and pieces that need a crate, gear or more hands',
        columns: [{ label: 'Piece' }, { label: 'Why' }, { label: 'Mass', numeric: true }],
        rows,
      },
    ],
  }
}

const BY: Readonly<Record<Provider, string>> = {
  mover: 'please quote',
  self: 'we do this ourselves',
  friends: 'we do this ourselves',
  hired: 'arranged elsewhere',
  employer: 'arranged elsewhere',
  none: 'not needed',
}

/** Every service with who does it; those asked for have room for a price. */
function scopeSection(move: Move, plan: Plan): Section {
  const by = providers(move, plan)
  const asked = new Set(wantedServices(move, plan).map(({ id }) => id))
  const scope = (service: Service): string =>
    by.get(service.id) === 'mover' && !asked.has(service.id)
      ? 'only if it arises: state your terms'
      : BY[by.get(service.id) ?? 'none']
  return {
    id: 'scope',
    title: 'Scope and price schedule',
    blocks: [
      paragraph(
        `Cover we have in mind: ${planWords(move, plan).coverLabel.toLowerCase()}; quote it separately.`,
      ),
      {
        kind: 'table',
        caption: 'Line by line, in your own currency or ours',
        columns: [
          { label: 'Line' },
          { label: 'What is meant' },
          { label: 'Scope' },
          { label: 'Price' },
          { label: 'Free, then charged' },
        ],
        rows: move.reference.services.map((service) => ({
          cells: [cell(service.label), cell(service.meaning), cell(scope(service)), cell(''), cell('')],
        })),
      },
    ],
  }
}

/** What decides such a job besides the price. */
const questionsSection = ({ questions }: Rules): Section => ({
  id: 'questions',
  title: 'Questions that decide',
  blocks: [
    {
      kind: 'table',
      caption: 'Please answer each; the form takes the answers shown',
      columns: [{ label: 'Question' }, { label: 'Answers' }],
      rows: questions.map((question) => ({
        cells: [
          cell(question.asked),
          cell(
            question.kind === 'choice'
              ? answersOf(question).join(' / ')
              : { number: 'a number', percent: 'per cent', money: 'an amount', text: 'in words' }[
                  question.kind
                ],
          ),
        ],
      })),
    },
  ],
})

/** The form that comes back: a row for each price and question, the answers to be filled in. */
export function answerForm(move: Move, plan: Plan, { questions }: Rules): string {
  const { currency } = move.household.facts
  const rows: (readonly string[])[] = [
    FORM_COLUMNS,
    ['mover', 'Your name, in short', '', '', ''],
    ['volume_m3', 'Cubic metres your prices are for', '', '', ''],
    ...wantedServices(move, plan).map(({ id, label, meaning }) => [
      `price.${id}`,
      `${label}: ${meaning}`,
      '',
      currency,
      '',
    ]),
    ...questions.map((question) => [
      `question.${question.id}`,
      question.kind === 'choice' ? `${question.asked} (${answersOf(question).join(' / ')})` : question.asked,
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

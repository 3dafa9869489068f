import type { ChartTheme } from '../charts/specs/index.js'
import type { PaperData, Section } from '../paper/blocks.js'
import { cell, paragraph } from '../paper/blocks.js'
import { dayText } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { type BriefSource, figure } from './figure.js'
import { carriageWords, planWords } from './names.js'
import { volumeSection } from './sections/volume.js'

/** A piece from this mass on is named to the mover: it needs more hands or gear. */
const HEAVY_KG = 80

/**
 * An enquiry that brings like-for-like quotes: the same volume, list, access, dates and lines for every mover, a
 * price a line, and what each price leaves out. It tells nothing of what the household expects to pay.
 */
export function enquiryData(move: Move, plan: Plan, theme: ChartTheme): PaperData {
  const { facts } = move.household
  const minorUnits =
    move.reference.currencies.find((c) => c.code === facts.currency)?.minor_units.toNumber() ?? 2
  const source: BriefSource = { move, plans: [plan], recommended: plan, minorUnits }
  return {
    kind: 'Enquiry for movers',
    household: facts.name,
    from: `${facts.origin_place}, ${facts.origin_country}`,
    to: `${facts.destination_place}, ${facts.destination_country}`,
    stated: `As of ${dayText(facts.as_of)}.`,
    recommended: plan.name,
    sections: [
      askSection(source),
      accessSection(move),
      withoutIds(volumeSection(source, theme)),
      specialSection(source),
      priceSection(move, plan),
    ],
  }
}

/** A mover has no use for the ids of our cells. */
function withoutIds(section: Section): Section {
  return {
    ...section,
    blocks: section.blocks.map((block) =>
      block.kind === 'table'
        ? {
            ...block,
            rows: block.rows.map((row) => ({ ...row, cells: row.cells.map(({ text }) => ({ text })) })),
          }
        : block,
    ),
  }
}

function askSection({ move, recommended: plan }: BriefSource): Section {
  return {
    id: 'ask',
    title: 'What we ask',
    blocks: [
      paragraph(
        'Please quote for the goods and services below, so that quotes can be compared line by line.',
      ),
      {
        kind: 'list',
        items: [
          ['Give a price for each line of the last table. Where one price covers several lines, name them.'],
          ['Tell the volume your price is made for and how you measured it: net, packed, or gross in cases.'],
          ['We expect ', carriageWords(move, plan), '. If you would ship otherwise, say so and why.'],
          [
            'Tell what is free and what is charged after it: hours at the door, days at the port, days with the container, carrying, floors.',
          ],
          ['Tell what your price leaves out, how long it holds, in which currency, and when it is due.'],
          [
            'Tell your liability for loss and damage by weight or package, and which transit cover you offer, with its certificate.',
          ],
          ['Weights here are estimates and no verified gross mass.'],
        ],
      },
    ],
  }
}

function accessSection(move: Move): Section {
  const { facts } = move.household
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
          row('When', `loading about ${dayText(facts.load_on)}`, `import about ${dayText(facts.import_on)}`),
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

/** The services this scenario wants from a mover; those that cost nothing as planned (storage, demurrage) are asked for as terms. */
function wanted(move: Move, plan: Plan) {
  const by = providers(move, plan)
  return move.reference.services.filter(
    (service) =>
      by.get(service.id) === 'mover' &&
      !plan.sheet.cells.get(`cost.${service.phase}.${service.id}`)?.value.isZero(),
  )
}

function priceSection(move: Move, plan: Plan): Section {
  const currency = move.household.facts.currency
  return {
    id: 'prices',
    title: 'Price schedule',
    blocks: [
      paragraph(
        `What is not in this table we do ourselves or do not need. Cover we have in mind: ${planWords(move, plan).coverLabel.toLowerCase()}; quote it apart.`,
      ),
      {
        kind: 'table',
        caption: `A price a line, ${currency} or your own currency`,
        columns: [
          { label: 'Line' },
          { label: 'What is meant' },
          { label: 'Price' },
          { label: 'Free, then charged' },
        ],
        rows: wanted(move, plan).map((service) => ({
          cells: [{ text: [service.label], small: service.id }, cell(service.meaning), cell(''), cell('')],
        })),
      },
    ],
  }
}

/** The form that comes back: a quotes.csv with a row a line, prices and volume to be filled in. */
export function quoteForm(move: Move, plan: Plan): string {
  const { currency } = move.household.facts
  const rows = wanted(move, plan).map((service) => `,,${service.id},,${currency},`)
  return `${['quote,volume_m3,services,price,currency,note', ...rows].join('\n')}\n`
}

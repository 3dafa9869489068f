import type { Stayed } from '../load/loaded.js'
import { numberedCartons } from '../load/pieces-of.js'
import type { Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import { csvCell, escapeHtml } from '../tables/as-data.js'

/** One thing of the list: in a numbered carton, or by itself. */
export interface ListedThing {
  readonly carton: string
  readonly line: string
  readonly item: string
  readonly room: string
  readonly pieces: string
  readonly condition: string
}

/**
 * Everything that travels, by carton number and line, as it is ticked off at both ends.
 *
 * @param stayed what was not loaded in the end, which is left off the list
 */
export function conditionList(move: Move, plan: Plan, stayed?: Stayed): ListedThing[] {
  const cartons = numberedCartons(move, plan)
  const boxed = cartons
    .filter(({ number }) => !stayed?.marks.has(number))
    .flatMap((carton) =>
      carton.contents.map(
        ({ line, item, pieces }): ListedThing => ({
          carton: carton.number,
          line,
          item,
          room: carton.room,
          pieces: pieces === 0 ? 'part' : String(pieces),
          condition: plan.shipment.lines.find((each) => each.line === line)?.condition ?? '',
        }),
      ),
    )
  const inCartons = new Set(cartons.flatMap(({ contents }) => contents.map(({ line }) => line)))
  const loaded = (line: string): number => stayed?.loadedShare.get(line) ?? 1
  const single = plan.shipment.lines
    .filter(({ line }) => !inCartons.has(line) && loaded(line) > 0)
    .map(
      ({ line, item, room, quantity, condition }): ListedThing => ({
        carton: '',
        line,
        item,
        room,
        pieces: exact.round(quantity.times(loaded(line)), 3).toString(),
        condition: condition ?? '',
      }),
    )
  const vehicles = plan.shipment.vehicles.map(
    ({ vehicle, label }): ListedThing => ({
      carton: '',
      line: vehicle,
      item: label,
      room: '',
      pieces: '1',
      condition: '',
    }),
  )
  return [...boxed, ...single, ...vehicles]
}

/** The list as a page to print and sign at both ends. The body of a page; texts of the household are escaped. */
export function conditionListBody(list: readonly ListedThing[], title: string, words: Words): string {
  const { line, phrase } = words
  const headings = [
    line`Carton`,
    line`Line`,
    line`What`,
    line`Room`,
    line`Pieces`,
    line`Loaded: condition`,
    line`Arrived`,
    line`Damage or missing`,
  ]
  // A mark is kept in one line, so that a carton takes one.
  const mark = (text: string) => `<td><data value="${escapeHtml(text)}">${escapeHtml(text)}</data></td>`
  const rows = list.map(({ carton, line: id, item, room, pieces, condition }) =>
    [
      ...[carton, id].map(mark),
      ...[item, room, phrase(pieces), phrase(condition), '', ''].map(
        (text) => `<td>${escapeHtml(text)}</td>`,
      ),
    ].join(''),
  )
  const signed = (where: string) =>
    `<p>${escapeHtml(line`${where}: day ____________ place ____________________ household ____________________ driver or foreman ____________________`)}</p>`
  return [
    `<main><h1>${escapeHtml(title)}</h1>`,
    `<p>${escapeHtml(line`Tick each carton and piece off as it goes out and as it comes in. Write damage and missing cartons here and on the delivery note before the driver leaves; for what shows later send a notice in writing. Keep cartons, packing and the damaged thing until the insurer has seen them.`)}</p>`,
    `<table><thead><tr>${headings.map((text) => `<th scope="col">${escapeHtml(text)}</th>`).join('')}</tr></thead>`,
    `<tbody>${rows.map((row) => `<tr>${row}</tr>`).join('\n')}</tbody></table>`,
    signed(line`Loaded`),
    signed(line`Delivered`),
    '</main>',
  ].join('\n')
}

/** An empty claims.csv to fill in: the header, which `quaybook claim` reads back from the folder `arrival`. */
export const emptyCsv = (columns: readonly string[], rows: readonly (readonly string[])[] = []): string =>
  `${[columns, ...rows].map((row) => row.map(csvCell).join(',')).join('\n')}\n`

import { cell, type Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { type BriefSource, figure, hasCell } from '../figure.js'

/** Every line that travels, room by room, with its volume and mass. */
export function inventorySection(source: BriefSource, words: Words): Section {
  const { line: says } = words
  const { recommended: plan } = source
  const { lines, vehicles } = plan.shipment
  const rooms = [...new Set(lines.map(({ room }) => room))]
  const of = (id: string, decimals?: number) =>
    cell(hasCell(plan, id) ? figure(source, plan, id, decimals) : '\u2013')
  return {
    id: 'inventory',
    title: words.say('annex.inventory'),
    blocks: [
      {
        kind: 'table',
        fine: true,
        caption: says`What travels in \u201c${plan.name}\u201d`,
        columns: [
          { label: says`Line` },
          { label: says`What` },
          { label: says`How many`, numeric: true },
          { label: says`Volume, net`, numeric: true },
          { label: says`Mass`, numeric: true },
        ],
        rows: [
          ...rooms.flatMap((room) => [
            { kind: 'group' as const, cells: [cell(room)] },
            ...lines
              .filter((line) => line.room === room)
              .map((line) => ({
                cells: [
                  cell(line.line),
                  cell(line.item),
                  cell(line.quantity.toString()),
                  of(`volume.line.${line.line}.net`, 2),
                  of(`mass.line.${line.line}`),
                ],
              })),
          ]),
          ...(vehicles.length > 0 ? [{ kind: 'group' as const, cells: [cell(says`Vehicles`)] }] : []),
          ...vehicles.map((vehicle) => ({
            cells: [
              cell(vehicle.vehicle),
              cell(vehicle.label),
              cell('1'),
              cell('\u2013'),
              of(`vehicle.${vehicle.vehicle}.mass`),
            ],
          })),
        ],
      },
    ],
  }
}

import { type ChartTheme, roomsChart } from '../../charts/specs/index.js'
import type { Section, TableRow } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { inARow, says } from '../../paper/sentence.js'
import type { Words } from '../../paper/words.js'
import { type BriefSource, figure } from '../figure.js'

/** Volume and mass by room, and the cartons to buy, of the recommended scenario. */
export function volumeSection(source: BriefSource, words: Words, theme: ChartTheme): Section {
  const { line } = words
  const { recommended: plan } = source
  const cells = [...plan.sheet.cells.values()]
  const rooms = cells.flatMap(({ id, label }) => {
    const slug = /^volume\.room\.(.+)\.packed$/.exec(id)?.[1]
    return slug === undefined ? [] : [{ slug, name: label.replace(/: packed volume$/, '') }]
  })
  const cartons = cells.filter(({ id }) => /^cartons\.[^.]+$/.test(id) && id !== 'cartons.total')
  const js = (id: string) => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const roomRows: TableRow[] = [
    ...rooms.map(({ slug, name }) => ({
      cells: [
        { text: [name], trace: `volume.room.${slug}.packed` },
        cell(figure(source, plan, `volume.room.${slug}.net`)),
        cell(figure(source, plan, `volume.room.${slug}.packed`)),
        cell(figure(source, plan, `mass.room.${slug}`)),
      ],
    })),
    {
      kind: 'total',
      cells: [
        { text: [line`All rooms`], trace: 'volume.packed' },
        cell(figure(source, plan, 'volume.net')),
        cell(figure(source, plan, 'volume.packed')),
        cell(figure(source, plan, 'mass.goods')),
      ],
    },
  ]
  return {
    id: 'volume',
    title: words.say('annex.volume'),
    blocks: [
      {
        kind: 'paragraph',
        text: words.inline(
          inARow(
            says`Net volume is the goods as they stand; packed volume adds cartons, wrapping and crates. What stays empty in the container (broken stowage) is taken off the container, never added here.`,
            js('mass.vehicles') > 0
              ? says`Vehicles weigh ${figure(source, plan, 'mass.vehicles')} and stand apart.`
              : undefined,
            says`Packing and dunnage add ${figure(source, plan, 'mass.packing')}.`,
          ),
        ),
      },
      {
        kind: 'chart',
        id: 'rooms',
        caption: line`Packed volume by room`,
        chart: roomsChart(
          rooms.map(({ slug, name }) => ({
            room: name,
            netM3: js(`volume.room.${slug}.net`),
            packedM3: js(`volume.room.${slug}.packed`),
          })),
          theme,
        ),
      },
      {
        kind: 'table',
        caption: line`Volume and mass by room`,
        columns: [
          { label: line`Room` },
          { label: line`Net`, numeric: true },
          { label: line`Packed`, numeric: true },
          { label: line`Mass`, numeric: true },
        ],
        rows: roomRows,
      },
      ...(cartons.length > 0
        ? [
            {
              kind: 'table' as const,
              caption: line`Cartons to have ready`,
              columns: [{ label: line`Carton` }, { label: line`How many`, numeric: true }],
              rows: [
                ...cartons.map(({ id, label }) => ({
                  cells: [{ text: [words.phrase(label)], trace: id }, cell(figure(source, plan, id))],
                })),
                {
                  kind: 'total' as const,
                  cells: [
                    { text: [line`All cartons`], trace: 'cartons.total' },
                    cell(figure(source, plan, 'cartons.total')),
                  ],
                },
              ],
            },
          ]
        : []),
    ],
  }
}

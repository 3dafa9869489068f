import { type Chart, type ChartTheme, chart, listed, said } from './chart.js'

/** A room's goods, m³. */
export interface RoomVolume {
  readonly room: string
  readonly netM3: number
  readonly packedM3: number
}

const largestFirst = (rooms: readonly RoomVolume[]) => [...rooms].sort((a, b) => b.packedM3 - a.packedM3)

/** The rooms' volumes in words. */
export function roomsAlt(rooms: readonly RoomVolume[]): string {
  const total = rooms.reduce((sum, room) => sum + room.packedM3, 0)
  const parts = largestFirst(rooms).map((room) => `${room.room} ${said(room.packedM3)}`)
  return `Bars of the packed volume of each room, ${said(total)} m³ in all: ${listed(parts)} m³.`
}

/**
 * Rooms by packed volume, the largest first, with a mark at the net volume of each.
 * Shows which room to thin out: the gap to the mark is packing.
 */
export function roomsChart(rooms: readonly RoomVolume[], theme: ChartTheme): Chart {
  const rows = largestFirst(rooms).map((room) => ({ ...room, text: said(room.packedM3) }))
  const y = { field: 'room', type: 'nominal', sort: null, title: null }
  return chart(theme, roomsAlt(rooms), {
    height: { step: 24 },
    data: { values: rows },
    layer: [
      {
        mark: { type: 'bar', color: theme.series[0], height: 14 },
        encoding: {
          y,
          x: { field: 'packedM3', type: 'quantitative', title: 'packed volume, m³ (white mark: net volume)' },
        },
      },
      {
        mark: { type: 'tick', color: '#ffffff', thickness: 2, size: 12 },
        encoding: { y, x: { field: 'netM3', type: 'quantitative' } },
      },
      {
        mark: { type: 'text', align: 'left', dx: 4 },
        encoding: { y, x: { field: 'packedM3', type: 'quantitative' }, text: { field: 'text' } },
      },
    ],
  })
}

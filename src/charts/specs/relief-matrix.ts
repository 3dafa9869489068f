import { type Chart, type ChartTheme, chart, listed, needsLightText } from './chart.js'

/** How one person fares in one place: the share of the household's value that is free, 0 to 1. */
export interface ReliefShare {
  readonly place: string
  readonly person: string
  readonly share: number
  /** The verdict of most of the value. */
  readonly verdict: 'qualifies' | 'discretionary' | 'unknown' | 'refused'
}

const percent = (share: number) => `${Math.round(share * 100)} %`

/** The words in a cell: they tell the verdict without colour, and unknown is not zero. */
function mark({ share, verdict }: ReliefShare): string {
  if (verdict === 'unknown' && share === 0) return 'not known'
  if (verdict === 'discretionary') return `${percent(share)}, may be more`
  return `${percent(share)} free`
}

/** Where all is free, where nothing, and where it cannot be told, in words. */
export function reliefMatrixAlt(cells: readonly ReliefShare[]): string {
  const best = new Map<string, ReliefShare>()
  for (const cell of cells) {
    const known = best.get(cell.place)
    if (known === undefined || cell.share > known.share) best.set(cell.place, cell)
  }
  const places = (is: (cell: ReliefShare) => boolean) =>
    [...best.values()].filter(is).map(({ place }) => place)
  const full = places(({ share }) => share >= 0.995)
  const open = places(({ share, verdict }) => share < 0.005 && verdict === 'unknown')
  const none = places(({ share, verdict }) => share < 0.005 && verdict !== 'unknown')
  const some = best.size - full.length - none.length - open.length
  return (
    "Share of the household's value that is free of duty and import tax, by place and importer. " +
    `With the best importer everything is free in ${listed(full) || 'no place'}; ` +
    `nothing is sure to be free in ${listed(none) || 'no place'}; in ${some} of ${best.size} places a part is free.` +
    (open.length > 0 ? ` It cannot be told for ${listed(open)}.` : '')
  )
}

/**
 * Relief at a glance: a row for each customs territory, a column for each person as importer, the share of the
 * value that is free as shade and figure.
 */
export function reliefMatrixChart(cells: readonly ReliefShare[], theme: ChartTheme): Chart {
  const full = theme.series[0] ?? theme.ink
  const values = cells.map((cell) => ({ ...cell, text: mark(cell) }))
  const people = new Set(cells.map(({ person }) => person)).size
  return chart(theme, reliefMatrixAlt(cells), {
    width: Math.min(theme.width, Math.max(160, people * 130)),
    height: { step: 22 },
    data: { values },
    encoding: {
      y: { field: 'place', type: 'nominal', sort: null, title: null },
      x: {
        field: 'person',
        type: 'nominal',
        sort: null,
        title: 'importer',
        axis: { orient: 'top', labelAngle: 0 },
      },
    },
    layer: [
      {
        mark: { type: 'rect', stroke: '#ffffff' },
        encoding: {
          color: {
            field: 'share',
            type: 'quantitative',
            scale: { domain: [0, 1], range: ['#f1f3f2', full] },
            legend: { title: 'share of the value that is free', format: '.0%' },
          },
        },
      },
      {
        mark: { type: 'text', fontSize: 11 },
        encoding: {
          text: { field: 'text' },
          color: {
            condition: { test: 'datum.share > 0.55', value: needsLightText(full) ? '#ffffff' : theme.ink },
            value: theme.ink,
          },
        },
      },
    ],
  })
}

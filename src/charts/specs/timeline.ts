import { type Chart, type ChartTheme, chart, listed } from './chart.js'

/** A stretch or a day of the move, ISO dates; `until` equal to `from` is a day. */
export interface TimelineStep {
  readonly label: string
  readonly from: string
  readonly until: string
}

const days = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
})
const day = (iso: string): string => days.format(new Date(`${iso}T00:00:00Z`))

/** The steps in words. */
export function timelineAlt(steps: readonly TimelineStep[]): string {
  const parts = steps.map((s) =>
    s.from === s.until ? `${s.label} ${day(s.from)}` : `${s.label} ${day(s.from)} to ${day(s.until)}`,
  )
  return `Time line of the move: ${listed(parts)}.`
}

/** The move as bars over dates, in the order given; single days are diamonds. */
export function timelineChart(steps: readonly TimelineStep[], theme: ChartTheme): Chart {
  const rows = steps.map((s) => ({
    ...s,
    start: `${s.from}T00:00:00Z`,
    end: `${s.until}T00:00:00Z`,
  }))
  const y = {
    field: 'label',
    type: 'nominal',
    // A list to sort by would become the text of an expression; a domain stays data.
    sort: null,
    scale: { domain: steps.map((s) => s.label) },
    title: null,
    axis: { grid: true, labelLimit: 0 },
  }
  const x = {
    field: 'start',
    type: 'temporal',
    scale: { type: 'utc' },
    title: 'date',
    axis: { format: '%d %b %Y', labelAngle: 0, tickCount: 6, labelOverlap: true },
  }
  return chart(theme, timelineAlt(steps), {
    height: { step: 22 },
    // A layer without rows has no extent, so only those that have some are drawn.
    layer: [
      {
        data: { values: rows.filter((row) => row.from !== row.until) },
        mark: { type: 'bar', height: 10, color: theme.series[0] },
        encoding: { y, x, x2: { field: 'end' } },
      },
      {
        data: { values: rows.filter((row) => row.from === row.until) },
        mark: { type: 'point', shape: 'diamond', filled: true, color: theme.accent, size: 90, opacity: 1 },
        encoding: { y, x },
      },
    ].filter(({ data }) => data.values.length > 0),
  })
}

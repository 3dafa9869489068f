/** What a chart is made of: a Vega-Lite 6 specification, and a text that tells the same in words. */
export interface Chart {
  readonly spec: Readonly<Record<string, unknown>>
  /** One or two sentences with the figures; also the specification's `description`. */
  readonly alt: string
}

/** The look of every chart: shared/chart-theme.json. Series differ in lightness, dash and shape, so grey will do. */
export interface ChartTheme {
  readonly ink: string
  readonly muted: string
  readonly rule: string
  readonly accent: string
  readonly series: readonly string[]
  readonly dashes: readonly (readonly number[])[]
  readonly shapes: readonly string[]
  /** Width of the drawing area, pixels. */
  readonly width: number
  /** Vega-Lite's own `config`. */
  readonly config: Readonly<Record<string, unknown>>
}

/** A specification with what all of them share. */
export function chart(theme: ChartTheme, alt: string, rest: Readonly<Record<string, unknown>>): Chart {
  return {
    alt,
    spec: {
      $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
      description: alt,
      width: theme.width,
      config: theme.config,
      ...(plainNames(rest) as Readonly<Record<string, unknown>>),
    },
  }
}

/** Names that every object of the language has from birth; Vega keeps its groups by name in such objects. */
const BORN = new Set(Object.getOwnPropertyNames(Object.prototype))

/**
 * The same values, where a name such as `constructor` has a character in front that is not seen (U+2060): Vega takes
 * it for any other name then, and the reader sees no difference.
 */
function plainNames(value: unknown): unknown {
  if (typeof value === 'string') return BORN.has(value) ? `\u2060${value}` : value
  if (Array.isArray(value)) return value.map(plainNames)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, plainNames(inner)]))
}

const whole = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 })
const tenths = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 1 })

/** A number for an alternative text: no decimals from 100 up, one below. */
export const said = (x: number): string => (Math.abs(x) >= 100 ? whole : tenths).format(x)

/** Words in a row: `a, b and c`. */
export const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

/** Series that can still be told apart in one chart. */
const MOST_SERIES = 12

/**
 * The scenarios that a chart with a line each shows: all of them, or the twelve of the least results, and then the
 * title that says so.
 */
export function shownSeries<P extends { readonly scenario: string }>(
  points: readonly P[],
  result: (point: P) => number,
): { readonly points: readonly P[]; readonly title?: Readonly<Record<string, unknown>> } {
  const sums = new Map<string, number>()
  for (const point of points) sums.set(point.scenario, (sums.get(point.scenario) ?? 0) + result(point))
  if (sums.size <= MOST_SERIES) return { points }
  const least = [...sums].toSorted(([, a], [, b]) => a - b).slice(0, MOST_SERIES)
  const names = new Set(least.map(([name]) => name))
  return {
    points: points.filter(({ scenario }) => names.has(scenario)),
    title: {
      text: `${MOST_SERIES} of ${sums.size} scenarios: those of the least results`,
      anchor: 'start',
      fontSize: 11,
      fontWeight: 'normal',
    },
  }
}

/** Colour, dash and shape of series by name, in the theme's order. */
export const seriesScale = (theme: ChartTheme, names: readonly string[]) => ({
  colour: { domain: names, range: names.map((_, i) => theme.series[i % theme.series.length]) },
  dash: { domain: names, range: names.map((_, i) => theme.dashes[i % theme.dashes.length]) },
  shape: { domain: names, range: names.map((_, i) => theme.shapes[i % theme.shapes.length]) },
})

/** Whether text on a colour must be light: by its luminance as sRGB is perceived. */
export function needsLightText(hex: string): boolean {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)) as [
    number,
    number,
    number,
  ]
  return 0.299 * r + 0.587 * g + 0.114 * b < 140
}

/** A label broken into lines of about `width` characters at its blanks; a chart's axis shows each on its own. */
export function lines(label: string, width: number): string {
  const out: string[] = []
  for (const word of label.split(' ')) {
    const last = out.at(-1)
    if (last !== undefined && `${last} ${word}`.length <= width) out[out.length - 1] = `${last} ${word}`
    else out.push(word)
  }
  return out.join('\n')
}

/** The axis setting that shows labels made by `lines`. */
export const lineLabels = { labelExpr: "split(datum.label, '\\n')", labelLimit: 0 }

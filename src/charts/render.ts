// Vega-Lite in, SVG out. The two libraries are loaded on first use and only by a real import(): they are ES
// modules with a top-level await, which the require() of a notebook kernel cannot load.
import type { LoggerInterface } from 'vega'

/** Vega's number for the log level that tells of errors and warnings. */
const WARNINGS = 2

function refuse(what: string): never {
  throw new Error(
    `the chart asks for ${what}, but charts load nothing. Put the values into the specification.`,
  )
}

/** Vega's log, kept and thrown: a chart that silently lacks something misleads. */
class Complaints implements LoggerInterface {
  readonly heard: string[] = []

  level(level: number): this
  level(): number
  level(level?: number): this | number {
    return level === undefined ? WARNINGS : this
  }
  error(...parts: readonly unknown[]): this {
    this.heard.push(parts.map((part) => (part instanceof Error ? part.message : String(part))).join(' '))
    return this
  }
  warn(...parts: readonly unknown[]): this {
    return this.error(...parts)
  }
  info(): this {
    return this
  }
  debug(): this {
    return this
  }
}

/**
 * A Vega-Lite 6 chart as SVG text, the same bytes for the same specification.
 *
 * Text widths are estimated, not measured, so that no installed font changes the result; times follow the
 * process's time zone unless the specification asks for UTC. Nothing is loaded: values must stand in the
 * specification, images in data: addresses.
 *
 * Throws an Error with Vega's own words if it cannot draw the specification or warns about it, for instance
 * because a field has no values.
 */
export async function chartSvg(spec: object): Promise<string> {
  const [vegaLite, vega] = await Promise.all([import('vega-lite'), import('vega')])
  const logger = new Complaints()
  const { spec: parsed } = vegaLite.compile(spec as Parameters<typeof vegaLite.compile>[0], { logger })
  // Ids of clips and gradients are counted per process; from zero, a chart does not depend on those before it.
  vega.resetSVGDefIds()
  const loader = {
    load: (uri: string) => refuse(uri),
    http: (uri: string) => refuse(uri),
    file: (name: string) => refuse(name),
    sanitize: async (uri: string) => (uri.startsWith('data:image/') ? { href: uri } : refuse(uri)),
    options: {},
    fileAccess: false,
  }
  const view = new vega.View(vega.parse(parsed), { renderer: 'none', loader, logger })
  try {
    const svg = await view.toSVG()
    if (logger.heard.length > 0) throw new Error(`chart: ${logger.heard.join('; ')}`)
    return svg
  } finally {
    view.finalize()
  }
}

// Vega-Lite in, SVG out. The two libraries are loaded on first use and only by a real import(): they are ES
// modules with a top-level await, which the require() of a notebook kernel cannot load.
import type { LoggerInterface } from 'vega'

/** Vega's number for the log level that tells of errors and warnings. */
const WARNINGS = 2

/**
 * Vega's log and the addresses it asked for, kept and thrown: a chart that silently lacks something misleads.
 * Properties instead of methods, because Vega calls them with another `this`.
 */
class Complaints implements LoggerInterface {
  readonly heard: string[] = []

  readonly error = (...parts: readonly unknown[]): this => {
    this.heard.push(parts.map((part) => (part instanceof Error ? part.message : String(part))).join(' '))
    return this
  }
  readonly warn = this.error
  readonly info = (): this => this
  readonly debug = (): this => this

  level(level: number): this
  level(): number
  level(level?: number): this | number {
    return level === undefined ? WARNINGS : this
  }

  readonly refuse = async (address: string): Promise<never> => {
    const reason = `found the address "${address}", but charts load nothing; put values and images into the chart`
    this.error(reason)
    throw new Error(reason)
  }
}

/** Vega-Lite meets a mistaken specification with a bare TypeError; say at least what it was about. */
function compiled<T>(compile: () => T): T {
  try {
    return compile()
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    throw new Error(
      `chart: found a specification that Vega-Lite cannot read (${reason}); check mark and encoding`,
    )
  }
}

/** The description as the picture's name for assistive software, for pages that hold the SVG itself. */
function described(svg: string, description: unknown): string {
  if (typeof description !== 'string' || description === '') return svg
  const name = description.replace(/[&<>"]/g, (character) => `&#${character.charCodeAt(0)};`)
  return svg.replace('<svg ', () => `<svg role="img" aria-label="${name}" `)
}

async function draw(spec: object): Promise<string> {
  const [vegaLite, vega] = await Promise.all([import('vega-lite'), import('vega')])
  const logger = new Complaints()
  const parsed = compiled(
    () => vegaLite.compile(spec as Parameters<typeof vegaLite.compile>[0], { logger }).spec,
  )
  // Ids of clips and gradients are counted per process; from zero, a chart does not depend on those before it.
  vega.resetSVGDefIds()
  const loader = {
    load: logger.refuse,
    http: logger.refuse,
    file: logger.refuse,
    sanitize: async (address: string) =>
      address.startsWith('data:image/') ? { href: address } : logger.refuse(address),
    options: {},
    fileAccess: false,
  }
  const view = new vega.View(vega.parse(parsed), { renderer: 'none', loader, logger })
  try {
    const svg = await view.toSVG()
    if (logger.heard.length > 0) throw new Error(`chart: ${[...new Set(logger.heard)].join('; ')}`)
    return described(svg, 'description' in spec ? spec.description : undefined)
  } finally {
    view.finalize()
  }
}

let previous: Promise<unknown> = Promise.resolve()

/**
 * A Vega-Lite 6 chart as SVG text, the same bytes for the same specification.
 *
 * Text widths are estimated, not measured, so that no installed font changes the result; times follow the
 * process's time zone unless the specification asks for UTC. Nothing is loaded: values must stand in the
 * specification, images in data: addresses. The specification's `description` becomes the accessible name.
 * Ids inside start anew in every chart: put several charts into one page as images, not as inline SVG.
 *
 * Throws an Error with Vega's own words if it cannot draw the specification or warns about it, for instance
 * because a field has no values.
 */
export function chartSvg(spec: object): Promise<string> {
  // One after the other: two charts drawn at once would share the counter of their ids.
  const svg = previous.then(() => draw(spec))
  previous = svg.catch(() => undefined)
  return svg
}

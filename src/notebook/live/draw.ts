// Draws a chart in a browser under the pages' policies: an exported notebook's and that of the page of `quaybook open`.
import embed, { type Result } from 'vega-embed'
import { expressionInterpreter } from 'vega-interpreter'

/**
 * Puts a Vega-Lite chart into a place. The policies allow no evaluated code, so expressions are interpreted; no styles
 * of a library's own; and charts hold their values, so nothing is loaded for them.
 */
export const drawSpec = (place: HTMLElement, spec: Readonly<Record<string, unknown>>): Promise<Result> =>
  embed(place, spec as never, {
    mode: 'vega-lite',
    ast: true,
    expr: expressionInterpreter,
    renderer: 'svg',
    actions: false,
    defaultStyle: false,
    tooltip: { disableDefaultStyle: true },
    config: { mark: { tooltip: true } },
    loader: { load: refuse, http: refuse, file: refuse, sanitize: refuse } as never,
  })

const refuse = (): Promise<never> => Promise.reject(new Error('charts load nothing'))

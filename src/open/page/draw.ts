// The drawing itself; a piece of its own, because the library is larger than the rest of the page.
import embed from 'vega-embed'
import { expressionInterpreter } from 'vega-interpreter'

const drawn = new WeakMap<HTMLElement, () => void>()

/** Puts a chart into a place, for that which was there. The alternative text is the picture's name. */
export async function draw(
  place: HTMLElement,
  spec: Readonly<Record<string, unknown>>,
  alt: string,
): Promise<void> {
  drawn.get(place)?.()
  const result = await embed(place, spec as never, {
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
  drawn.set(place, () => result.finalize())
  const picture = place.querySelector('svg')
  picture?.setAttribute('role', 'img')
  picture?.setAttribute('aria-label', alt)
  // What the marks are is told by the name; hundreds of single marks would be read out otherwise.
  for (const part of picture?.querySelectorAll('[aria-label], [role]') ?? []) {
    part.removeAttribute('aria-label')
    part.removeAttribute('role')
    part.removeAttribute('aria-roledescription')
  }
}

/** Charts hold their values; nothing is loaded for them. */
const refuse = (): Promise<never> => Promise.reject(new Error('charts load nothing'))

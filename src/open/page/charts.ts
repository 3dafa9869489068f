// Charts that follow the household; the drawing library is loaded when the first one is looked at.
import { el, refill } from './dom.js'
import type { DrawnChart } from './study-worker.js'

/** Draws a Vega-Lite specification without code made from text, so that the page's policy holds. */
export async function drawChart(
  place: HTMLElement,
  spec: Readonly<Record<string, unknown>>,
  alt: string,
): Promise<void> {
  const { draw } = await import('./draw.js')
  await draw(place, spec, alt)
}

export class Charts {
  readonly root = el('section', { id: 'charts', 'aria-label': 'Charts' })
  readonly #state = el('p', { class: 'fine', role: 'status' })
  readonly #place = el('div', { class: 'figures' })
  readonly #figures = new Map<
    string,
    { root: HTMLElement; place: HTMLElement; caption: HTMLElement; spec: string }
  >()

  constructor() {
    this.root.append(el('h2', {}, 'Charts'), this.#state, this.#place)
  }

  working(): void {
    this.#state.textContent =
      this.#figures.size > 0
        ? 'The household has changed; the charts are being drawn again …'
        : 'The charts are being worked out …'
    this.root.classList.add('old')
  }

  failed(why: string): void {
    this.#state.textContent = why
  }

  async show(charts: readonly DrawnChart[], recommended: string): Promise<void> {
    for (const [id, { root }] of this.#figures) {
      if (charts.some((chart) => chart.id === id)) continue
      root.remove()
      this.#figures.delete(id)
    }
    for (const chart of charts) {
      const known = this.#figures.get(chart.id) ?? this.#made(chart)
      const spec = JSON.stringify(chart.spec)
      known.caption.textContent = `${chart.caption}. ${chart.alt}`
      if (spec === known.spec) continue
      known.spec = spec
      await drawChart(known.place, chart.spec, chart.alt)
    }
    this.#state.textContent = `Where a chart shows one scenario, it is “${recommended}”, the recommended one.`
    this.root.classList.remove('old')
  }

  #made({ id, section }: DrawnChart): {
    root: HTMLElement
    place: HTMLElement
    caption: HTMLElement
    spec: string
  } {
    const place = el('div', { class: 'drawing' })
    const caption = el('figcaption')
    const root = el('figure', {}, el('h3', {}, section), place, caption)
    const made = { root, place, caption, spec: '' }
    this.#figures.set(id, made)
    this.#place.append(root)
    return made
  }

  clear(): void {
    refill(this.#place)
    this.#figures.clear()
  }
}

// The drawing itself; a piece of its own, because the library is larger than the rest of the page.
import { drawSpec } from '../../notebook/live/draw.js'

const drawn = new WeakMap<HTMLElement, () => void>()

/** Puts a chart into a place, for that which was there. The alternative text is the picture's name. */
export async function draw(
  place: HTMLElement,
  spec: Readonly<Record<string, unknown>>,
  alt: string,
): Promise<void> {
  drawn.get(place)?.()
  const result = await drawSpec(place, spec)
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

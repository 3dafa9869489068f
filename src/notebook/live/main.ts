// Runs in the browser, at the end of an exported page: puts a live chart in the place of each picture.
// The picture stays in the page for paper, and for a reader whose browser runs no scripts.
import { drawSpec } from './draw.js'

for (const figure of document.querySelectorAll<HTMLElement>('div.chart')) {
  const data = figure.querySelector('script[type="application/json"]')
  const picture = figure.querySelector('img')
  if (!data || !picture) continue
  const place = document.createElement('div')
  place.className = 'live'
  place.setAttribute('aria-label', picture.alt)
  figure.append(place)
  drawSpec(place, JSON.parse(data.textContent ?? '')).then(
    () => figure.classList.add('shown'),
    () => place.remove(),
  )
}

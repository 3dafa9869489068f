// Runs in the browser, at the end of an exported page: puts a live chart in the place of each picture.
// The picture stays in the page for paper, and for a reader whose browser runs no scripts.
import embed from 'vega-embed'
import { expressionInterpreter } from 'vega-interpreter'

for (const figure of document.querySelectorAll<HTMLElement>('div.chart')) {
  const data = figure.querySelector('script[type="application/json"]')
  const picture = figure.querySelector('img')
  if (!data || !picture) continue
  const place = document.createElement('div')
  place.className = 'live'
  place.setAttribute('aria-label', picture.alt)
  figure.append(place)
  // The page's policy allows no evaluated code, so expressions are interpreted; nor styles of a library's own.
  embed(place, JSON.parse(data.textContent ?? ''), {
    mode: 'vega-lite',
    ast: true,
    expr: expressionInterpreter,
    renderer: 'svg',
    actions: false,
    defaultStyle: false,
    tooltip: { disableDefaultStyle: true },
    config: { mark: { tooltip: true } },
  }).then(
    () => figure.classList.add('shown'),
    () => place.remove(),
  )
}

// The card of a scenario: its total, how sure it is, what it is made of, dates and cautions.
import { capital, dayWords, ROWS, whole } from './answer-words.js'
import { button, el } from './dom.js'
import type { ScenarioAnswer } from './scenario-answers.js'

export interface Spread {
  readonly name: string
  readonly p10: number
  readonly p90: number
}

/** What the choice of containers rests on: volume alone, packing before the last change, or packing as things stand. */
export type Footing = 'volume' | 'before' | 'packed'

const FOOTING: Readonly<Record<Footing, string>> = {
  volume: 'by volume, not yet packed',
  before: 'packed as before the last change; being packed again',
  packed: 'packed piece by piece',
}

/** What a card shows besides the answers of its scenario. */
export interface CardFacts {
  readonly currency: string
  readonly footing: Footing
  readonly spread: Spread | undefined
  /** Whether the spread is that of the figures as they stand. */
  readonly fresh: boolean
  /** Scenarios whose parts are unfolded; the card keeps it. */
  readonly opened: Set<string>
  readonly explain: (scenario: string, cell: string) => void
}

/** The card of a scenario; each figure on it says where it comes from when pressed. */
export function answerCard(one: ScenarioAnswer, asked: CardFacts): HTMLElement {
  const figure = (id: string, label: string): HTMLElement | undefined => {
    const found = one.figures[id]
    if (!found) return undefined
    return button(found.text, () => asked.explain(one.name, id), {
      class: 'figure',
      'aria-label': `${label}, ${one.name}: ${found.text}. Where it comes from`,
    })
  }
  const range = !asked.spread
    ? 'how sure: still being worked out'
    : `in 8 of 10 cases ${asked.currency} ${whole(asked.spread.p10)} to ${whole(asked.spread.p90)} (P10 to P90)${asked.fresh ? '' : ', before the last change'}`
  const pairs = ROWS.flatMap(([id, label]) => {
    const shown = figure(id, label)
    return shown ? [el('dt', {}, label), el('dd', {}, shown)] : []
  })
  const hours = figure('work.own.hours', 'Hours of your own')
  const days = figure('time.door-to-door', 'Door to door')
  const today = new Date().toISOString().slice(0, 10)
  const [next, ...later] = one.deadlines.filter(({ on }) => on >= today)
  const stops = one.warnings.filter(({ severity }) => severity === 'stop')
  const cares = one.warnings.filter(({ severity }) => severity !== 'stop')
  return el(
    'section',
    { class: stops.length > 0 ? 'card stop' : 'card', 'aria-label': one.name },
    el('h3', {}, one.name),
    el('p', { class: 'total' }, figure('cost.total', 'The whole move')),
    el('p', { class: 'fine' }, range),
    ...stops.map(({ text }) => el('p', { class: 'stops' }, el('strong', {}, 'Stop: '), text)),
    el(
      'p',
      {},
      `${capital(one.carriage)}${one.container ? ` (${FOOTING[asked.footing]})` : ''}; cover: ${one.cover.toLowerCase()}.`,
    ),
    el(
      'p',
      {},
      hours && el('span', {}, hours, ' of your own'),
      hours && days && '; ',
      days && el('span', {}, days, ' door to door'),
      '.',
    ),
    next &&
      el(
        'p',
        {},
        el('strong', {}, 'Next: '),
        `${dayWords(next.on)}, ${next.what}`,
        el('small', {}, ` (${next.why})`),
      ),
    el(
      'details',
      { open: asked.opened.has(one.name), ontoggle: (event) => remember(asked.opened, one.name, event) },
      el('summary', {}, 'What it is made of'),
      el('dl', {}, ...pairs),
    ),
    later.length > 0 &&
      el(
        'details',
        {},
        el('summary', {}, `${later.length} dates after that`),
        el(
          'ul',
          {},
          ...later.map(({ on, what, why }) =>
            el('li', {}, `${dayWords(on)}: ${what} `, el('small', {}, `(${why})`)),
          ),
        ),
      ),
    cares.length > 0 &&
      el(
        'details',
        {},
        el('summary', {}, `${cares.length} ${cares.length === 1 ? 'caution' : 'cautions'}`),
        el('ul', {}, ...cares.map(({ text }) => el('li', {}, text))),
      ),
  )
}

function remember(opened: Set<string>, name: string, event: Event): void {
  if (!(event.target instanceof HTMLDetailsElement)) return
  if (event.target.open) opened.add(name)
  else opened.delete(name)
}

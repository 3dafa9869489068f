// How scenarios differ: what the others come to, more or less than one of them.
import { ROWS, signed } from './answer-words.js'
import { el, select } from './dom.js'
import type { ScenarioAnswer } from './scenario-answers.js'

/**
 * A heading and a table of differences.
 *
 * @param against the scenario that the others are compared with
 * @param choose takes the name of another one to compare with
 */
export function gapsView(
  scenarios: readonly ScenarioAnswer[],
  against: string,
  choose: (name: string) => void,
): HTMLElement[] {
  const names = scenarios.map(({ name }) => name)
  const base = scenarios.find(({ name }) => name === against)
  const pick = select(
    'Compare with',
    names.map((name) => [name, name] as const),
    against,
    choose,
  )
  const rows = [
    ['cost.total', 'The whole move'] as const,
    ...ROWS,
    ['work.own.hours', 'Hours of your own'] as const,
    ['time.door-to-door', 'Days door to door'] as const,
  ].flatMap(([id, label]) => {
    const from = base?.figures[id]
    const gaps = scenarios
      .filter(({ name }) => name !== against)
      .map((one) => {
        const to = one.figures[id]
        return el('td', {}, from && to ? signed(to.value - from.value) : '–')
      })
    return from ? [el('tr', {}, el('th', { scope: 'row' }, label), ...gaps)] : []
  })
  const others = names.filter((name) => name !== against)
  return [
    el('h3', {}, 'Compared with ', pick),
    el(
      'div',
      { class: 'wide' },
      el(
        'table',
        { class: 'gaps' },
        el('caption', { class: 'said' }, `Differences to ${against}`),
        el('thead', {}, el('tr', {}, el('td'), ...others.map((name) => el('th', { scope: 'col' }, name)))),
        el('tbody', {}, ...rows),
      ),
    ),
  ]
}

// What comes out, always in view: a card a scenario, what the last edit changed, how scenarios differ.
import { button, el, refill, say, select } from './dom.js'
import type { Answers, ScenarioAnswer, ScenarioFigures } from './model.js'

type Good = Extract<Answers, { ok: true }>

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

export interface AnswersContext {
  readonly explain: (scenario: string, cell: string) => void
}

/** Rows that a card shows, in the words of the household. */
const ROWS: readonly (readonly [id: string, words: string])[] = [
  ['volume.packed', 'Packed volume'],
  ['cost.origin.total', 'At the old home and to the port'],
  ['cost.crossing.total', 'The crossing'],
  ['cost.destination.total', 'From the port to the new home'],
  ['cost.customs.total', 'Customs'],
  ['cost.cover.premium', 'Insurance premium'],
  ['employer.total', 'Paid by an employer'],
  ['employer.gives', 'Money from an employer'],
  ['employer.left-to-pay', 'Left for you to pay'],
]

export class AnswersPane {
  readonly root = el('aside', { id: 'answers', 'aria-label': 'Answers' })
  readonly #changed = el('div', { class: 'changed', role: 'status', 'aria-live': 'polite' })
  readonly #cards = el('div', { class: 'cards' })
  readonly #differences = el('div')
  readonly #state = el('p', { class: 'fine' })
  readonly #advice = el('p', { class: 'advice', hidden: true })
  readonly #packing = el('p', { class: 'fine', role: 'status' })
  /** On a narrow screen, where the answers stand below: the totals, always in view, and the way down to the rest. */
  readonly #totals = button('', () => this.root.scrollIntoView(), { class: 'totals', hidden: true })
  #footing: Footing = 'volume'
  #good: Good | undefined
  #spreads: ReadonlyMap<string, Spread> = new Map()
  #fresh = false
  /** What stood before figures that are not sure yet, and the edit they follow from. */
  #unsure: { readonly before: Good; readonly why: string } | undefined
  #against = ''

  constructor(readonly context: AnswersContext) {
    this.root.append(
      el('h2', {}, 'Answers'),
      this.#state,
      this.#advice,
      this.#packing,
      this.#changed,
      this.#cards,
      this.#differences,
      this.#totals,
    )
  }

  /** Whether the totals shown are those with the containers packed: what `quaybook compare` prints. */
  get packed(): boolean {
    return this.calculated && this.#footing === 'packed'
  }

  /** Says which container is being packed; '' when none is. */
  packing(text: string): void {
    this.#packing.textContent = text
  }

  /** Shows what to do, in one or two sentences. */
  advise(sentence: string): void {
    this.#advice.hidden = sentence === ''
    refill(this.#advice, el('strong', {}, 'Recommended: '), sentence)
  }

  /** Whether what is shown belongs to the household as it stands. */
  calculated = false

  /** The totals last shown, by scenario: for tests and for the words about a change. */
  get totals(): Readonly<Record<string, number>> {
    return Object.fromEntries(
      (this.#good?.scenarios ?? []).map((one) => [one.name, one.figures['cost.total']?.value ?? Number.NaN]),
    )
  }

  /**
   * Shows new answers.
   *
   * @param why the edit that they follow from; '' where there was none
   * @param footing what the choice of containers rests on
   * @param trial they belong to a slider that still moves: nothing is said about them
   * @param sure whether carriage and cover have been decided for them; until then they are marked
   */
  show(answers: Answers, why: string, footing: Footing, trial = false, sure = true): void {
    this.root.classList.toggle('trial', trial)
    this.root.classList.toggle('unsure', answers.ok && !sure)
    this.root.setAttribute('aria-busy', String(answers.ok && !sure))
    if (!trial) this.calculated = answers.ok
    if (!answers.ok) {
      const count = answers.problems.length
      this.#state.textContent = `Nothing can be calculated until ${count === 1 ? 'one problem is' : `${count} problems are`} put right.${this.#good ? ' The figures below are those from before.' : ''}`
      this.root.classList.add('old')
      return
    }
    this.root.classList.remove('old')
    this.#footing = footing
    this.#advice.classList.toggle('old', footing !== 'packed')
    const before = this.#good
    const about = why === '' && footing === 'packed' && moved(before, answers) ? PACKED_NOW : why
    const same = this.#unsure?.why === about ? this.#unsure : undefined
    if (!trial && before && about !== '') this.#tell(same?.before ?? before, answers, about, sure)
    if (!trial) this.#unsure = sure || !before ? undefined : { before: same?.before ?? before, why: about }
    if (!trial) this.#good = answers
    this.#fresh &&= footing === 'packed'
    this.#state.textContent = trial ? 'While you move the slider.' : ''
    this.#draw(answers)
  }

  /**
   * Shows new figures before all that is said beside them has been worked out: dates and cautions stay those of before
   * until `show` brings the new ones.
   *
   * @returns whether they are shown; the first answers of all come as one
   */
  showFigures(
    {
      currency,
      scenarios,
      sure,
    }: {
      readonly currency: string
      readonly scenarios: readonly ScenarioFigures[]
      readonly sure: boolean
    },
    why: string,
    footing: Footing,
    trial: boolean,
  ): boolean {
    const before = this.#good
    if (!before) return false
    const merged = scenarios.map((one): ScenarioAnswer => {
      const old = before.scenarios.find(({ name }) => name === one.name)
      return { deadlines: old?.deadlines ?? [], warnings: old?.warnings ?? [], ...one }
    })
    this.show({ ...before, currency, scenarios: merged }, why, footing, trial, sure)
    return true
  }

  /** Says that nothing could be calculated, for a reason that no file holds. */
  failed(why: string): void {
    this.calculated = false
    this.root.classList.remove('trial', 'unsure')
    this.root.classList.add('old')
    this.root.setAttribute('aria-busy', 'false')
    this.#state.textContent = `This could not be calculated: ${why}. The figures below may be those from before.`
  }

  spread(spreads: readonly Spread[]): void {
    this.#spreads = new Map(spreads.map((one) => [one.name, one]))
    this.#fresh = true
    if (this.#good) this.#draw(this.#good)
  }

  #tell(before: Good, now: Good, why: string, sure: boolean): void {
    const lines = now.scenarios.flatMap((one) => {
      const old = before.scenarios.find(({ name }) => name === one.name)
      const [from, to] = [old?.figures['cost.total'], one.figures['cost.total']]
      if (!old || !from || !to) return [`${one.name}: ${to?.text ?? ''}`]
      const gap = to.value - from.value
      const moved = Math.abs(gap) < 0.005 ? [] : [`${one.name}: ${from.text} → ${to.text} (${signed(gap)})`]
      const carriage =
        old.carriage === one.carriage ? [] : [`${one.name}: now ${one.carriage}, before ${old.carriage}`]
      return [...moved, ...carriage]
    })
    const gone = before.scenarios.filter(({ name }) => !now.scenarios.some((one) => one.name === name))
    const words = lines.length > 0 || gone.length > 0 ? lines : ['No total changed.']
    refill(this.#changed, el('strong', {}, why), el('ul', {}, ...words.map((text) => el('li', {}, text))))
    if (sure) say(`${why}. ${words.join('. ')}`)
  }

  #drawn = ''
  #draw(answers: Good): void {
    // The sure figures are nearly always those that came before them.
    const key = JSON.stringify([
      answers.currency,
      answers.scenarios,
      this.#footing,
      this.#fresh,
      [...this.#spreads],
    ])
    if (key === this.#drawn) return
    this.#drawn = key
    refill(this.#cards, ...answers.scenarios.map((one) => this.#card(one, answers)))
    const totals = answers.scenarios.map(({ name, figures }) =>
      el('span', {}, `${name}: `, el('b', {}, figures['cost.total']?.text ?? '')),
    )
    refill(this.#totals, el('span', { class: 'said' }, 'To the answers. '), ...totals)
    this.#totals.hidden = false
    this.#differ(answers)
  }

  #card(one: ScenarioAnswer, answers: Good): HTMLElement {
    const figure = (id: string, label: string): HTMLElement | undefined => {
      const found = one.figures[id]
      if (!found) return undefined
      return button(found.text, () => this.context.explain(one.name, id), {
        class: 'figure',
        'aria-label': `${label}, ${one.name}: ${found.text}. Where it comes from`,
      })
    }
    const spread = this.#spreads.get(one.name)
    const range = !spread
      ? 'how sure: still being worked out'
      : `in 8 of 10 cases ${answers.currency} ${whole(spread.p10)} to ${whole(spread.p90)} (P10 to P90)${this.#fresh ? '' : ', before the last change'}`
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
        `${capital(one.carriage)}${one.container ? ` (${FOOTING[this.#footing]})` : ''}; cover: ${one.cover.toLowerCase()}.`,
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
        { open: this.#opened.has(one.name), ontoggle: (event) => this.#remember(one.name, event) },
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

  readonly #opened = new Set<string>()
  #remember(name: string, event: Event): void {
    if (!(event.target instanceof HTMLDetailsElement)) return
    if (event.target.open) this.#opened.add(name)
    else this.#opened.delete(name)
  }

  #differ({ scenarios }: Good): void {
    const names = scenarios.map(({ name }) => name)
    if (scenarios.length < 2) {
      refill(this.#differences)
      return
    }
    if (!names.includes(this.#against)) this.#against = names[0] ?? ''
    const base = scenarios.find(({ name }) => name === this.#against)
    const pick = select(
      'Compare with',
      names.map((name) => [name, name] as const),
      this.#against,
      (name) => {
        this.#against = name
        if (this.#good) this.#differ(this.#good)
      },
    )
    const rows = [
      ['cost.total', 'The whole move'] as const,
      ...ROWS,
      ['work.own.hours', 'Hours of your own'] as const,
      ['time.door-to-door', 'Days door to door'] as const,
    ].flatMap(([id, label]) => {
      const from = base?.figures[id]
      const gaps = scenarios
        .filter(({ name }) => name !== this.#against)
        .map((one) => {
          const to = one.figures[id]
          return el('td', {}, from && to ? signed(to.value - from.value) : '–')
        })
      return from ? [el('tr', {}, el('th', { scope: 'row' }, label), ...gaps)] : []
    })
    const others = names.filter((name) => name !== this.#against)
    refill(
      this.#differences,
      el('h3', {}, 'Compared with ', pick),
      el(
        'div',
        { class: 'wide' },
        el(
          'table',
          { class: 'gaps' },
          el('caption', { class: 'said' }, `Differences to ${this.#against}`),
          el('thead', {}, el('tr', {}, el('td'), ...others.map((name) => el('th', { scope: 'col' }, name)))),
          el('tbody', {}, ...rows),
        ),
      ),
    )
  }
}

const PACKED_NOW = 'The containers are packed piece by piece now'

const moved = (before: Good | undefined, now: Good): boolean =>
  now.scenarios.some(
    ({ figures }, i) => figures['cost.total']?.value !== before?.scenarios[i]?.figures['cost.total']?.value,
  )

const wholes = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 })
const cents = new Intl.NumberFormat('en-GB', { minimumFractionDigits: 2, maximumFractionDigits: 2 })
const whole = (value: number): string => wholes.format(value)

/** A difference with its sign. */
export function signed(value: number): string {
  if (Math.abs(value) < 0.005) return 'the same'
  return `${value < 0 ? '\u2212' : '+'}${(Number.isInteger(value) ? wholes : cents).format(Math.abs(value))}`
}

const days = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'long',
  year: 'numeric',
  timeZone: 'UTC',
})
const dayWords = (iso: string): string => days.format(new Date(`${iso}T00:00:00Z`))
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

// What comes out, always in view: a card a scenario, what the last edit changed, how scenarios differ.
import { answerCard, type CardFacts, type Footing, type Spread } from './answer-card.js'
import { gapsView } from './answer-gaps.js'
import { signed } from './answer-words.js'
import { button, el, refill, say } from './dom.js'
import type { Answers, ScenarioAnswer, ScenarioFigures } from './scenario-answers.js'

type Good = Extract<Answers, { ok: true }>

export interface AnswersContext {
  readonly explain: (scenario: string, cell: string) => void
}

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
    refill(this.#cards, ...answers.scenarios.map((one) => answerCard(one, this.#facts(one, answers))))
    const totals = answers.scenarios.map(({ name, figures }) =>
      el('span', {}, `${name}: `, el('b', {}, figures['cost.total']?.text ?? '')),
    )
    refill(this.#totals, el('span', { class: 'said' }, 'To the answers. '), ...totals)
    this.#totals.hidden = false
    this.#differ(answers)
  }

  readonly #opened = new Set<string>()
  #facts({ name }: ScenarioAnswer, { currency }: Good): CardFacts {
    return {
      currency,
      footing: this.#footing,
      spread: this.#spreads.get(name),
      fresh: this.#fresh,
      opened: this.#opened,
      explain: this.context.explain,
    }
  }

  #differ({ scenarios }: Good): void {
    if (scenarios.length < 2) {
      refill(this.#differences)
      return
    }
    if (!scenarios.some(({ name }) => name === this.#against)) this.#against = scenarios[0]?.name ?? ''
    const choose = (name: string): void => {
      this.#against = name
      if (this.#good) this.#differ(this.#good)
    }
    refill(this.#differences, ...gapsView(scenarios, this.#against, choose))
  }
}

const PACKED_NOW = 'The containers are packed piece by piece now'

const moved = (before: Good | undefined, now: Good): boolean =>
  now.scenarios.some(
    ({ figures }, i) => figures['cost.total']?.value !== before?.scenarios[i]?.figures['cost.total']?.value,
  )

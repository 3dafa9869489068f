// The scenarios side by side: a column each, a row for every input that differs or may be decided.
import { unitWords } from '../../explore/words.js'
import { choiceWords } from '../../paper/choice-words.js'
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import { isUnlikely, type Problem, problemText } from '../../tables/problem.js'
import type { Texts } from '../edits.js'
import type { Book } from './book.js'
import { button, el, refill, select } from './dom.js'
import { Field } from './field.js'
import {
  addScenario,
  dropScenario,
  type Intent,
  renameScenario,
  scenarioNames,
  setChoice,
} from './intents.js'
import type { ChoiceFacts, Lists, NumberFacts } from './model.js'
import { understoodDay, understoodNumber } from './understand.js'

/** What a household decides first, in the order it is asked. Everything else is found by its name. */
const FIRST = [
  'transport',
  'service-level',
  'cover',
  'crew',
  'materials-reused',
  'pallets',
  'load-on',
  'import-on',
  'importer',
]
const FIRST_NUMBERS = [
  'delay.days',
  'storage.months',
  'own.people',
  'own.hour-value',
  'insured.share',
  'loss.tolerance',
]

export interface ChoicesContext {
  readonly book: Book
  readonly problems: () => readonly Problem[]
  readonly lists: () => Lists | undefined
  /** Asks for the numeric inputs with their ranges; they come by `numbersAre`. */
  readonly wantNumbers: () => void
  /** Plans with texts that are not edited in, to show what a slider would do; undefined: as things stand. */
  readonly preview: (texts: Texts | undefined) => void
}

export class Choices {
  readonly root = el('section', { id: 'choices', 'aria-label': 'Choices' })
  readonly #word = el('p', { class: 'word', role: 'status' })
  readonly #place = el('div', { class: 'wide' })
  readonly #names = el('div', { class: 'scenarios' })
  readonly #finder = el('datalist', { id: 'inputs' })
  #choices: readonly ChoiceFacts[] = []
  #numbers: readonly NumberFacts[] = []
  /** Inputs that somebody looked up and wants to see a row of. */
  #added: string[] = []
  #cells = new Map<string, (value: string) => void>()
  #shape = ''

  constructor(readonly context: ChoicesContext) {
    const find = new Field({
      label: 'Find another input by its name',
      list: 'inputs',
      placeholder: 'Another input: wage, freight, packing …',
      take: (typed) => {
        const id = this.#idOf(typed)
        if (id === undefined)
          return { ok: false, why: 'No input of the plan has that name; choose one of the list.' }
        this.#added = [...new Set([...this.#added, id])]
        find.input.value = ''
        this.show()
        return { ok: true, value: id, note: `${typed} is a row of the table now` }
      },
    })
    find.input.addEventListener('focus', () => this.context.wantNumbers(), { once: true })
    this.root.append(
      el('h2', {}, 'Choices'),
      el(
        'p',
        { class: 'fine' },
        'Each column is one way to do the move. A blank cell leaves things as stated under Home and people.',
      ),
      this.#word,
      this.#names,
      this.#place,
      el('div', { class: 'row' }, find.root),
      this.#finder,
    )
  }

  choicesAre(choices: readonly ChoiceFacts[]): void {
    this.#choices = choices
    this.show()
  }

  numbersAre(numbers: readonly NumberFacts[]): void {
    this.#numbers = numbers
    const words = [...numbers, ...this.#choices].map(({ id, label }) =>
      el('option', { value: `${label} (${id})` }),
    )
    refill(this.#finder, ...words)
    this.show()
  }

  show(): void {
    const { texts } = this.context.book
    const facts = this.#choices.map(({ id, value }) => `${id}=${value}`)
    const shape = `${scenarioNames(texts).join('|')}#${this.#rows().join()}#${this.#numbers.length}#${facts.join()}`
    if (shape !== this.#shape) this.#build()
    this.#shape = shape
    const sheet = csvSheet(texts['scenarios.csv'] ?? '')
    for (const [key, put] of this.#cells) {
      const [name = '', id = ''] = key.split('\u0000')
      const row = sheet?.rows.find((one) => valueIn(sheet, one, 'id') === id)
      put(sheet && row ? valueIn(sheet, row, name) : '')
    }
    const problems = this.context.problems().filter((one) => one.file === 'scenarios.csv' && !isUnlikely(one))
    if (problems.length > 0) this.#word.textContent = problems.map(problemText).join(' ')
    else if (this.#word.dataset.problem === 'yes') this.#word.textContent = ''
    this.#word.dataset.problem = problems.length > 0 ? 'yes' : 'no'
  }

  #idOf(typed: string): string | undefined {
    const text = typed.trim()
    const all = [...this.#numbers, ...this.#choices]
    return (
      all.find(({ id }) => id === text || text.endsWith(`(${id})`)) ??
      all.find(({ label }) => label.toLowerCase() === text.toLowerCase())
    )?.id
  }

  /** Ids of the rows: the usual ones, those that scenarios state, those looked up. */
  #rows(): string[] {
    const sheet = csvSheet(this.context.book.texts['scenarios.csv'] ?? '')
    const stated = sheet?.rows.map((row) => valueIn(sheet, row, 'id')) ?? []
    const known = new Set(this.#choices.map(({ id }) => id))
    const vehicles = this.#choices.filter(({ id }) => /^(take|deck)\./.test(id)).map(({ id }) => id)
    const first = [...FIRST, ...vehicles].filter((id) => known.has(id))
    return [
      ...new Set([
        ...first,
        ...FIRST_NUMBERS,
        ...stated.filter((id) => !id.startsWith('provider.')),
        ...this.#added.filter((id) => !id.startsWith('provider.')),
      ]),
    ]
  }

  #build(): void {
    const names = scenarioNames(this.context.book.texts)
    this.#cells = new Map()
    this.#scenarios(names)
    const head = el(
      'tr',
      {},
      el('th', { scope: 'col' }, 'What'),
      ...names.map((name) => el('th', { scope: 'col' }, name)),
    )
    const rows = this.#rows().map((id) => this.#row(id, names))
    const providers = this.#choices.filter(({ id }) => id.startsWith('provider.'))
    const services = providers.map(({ id }) => this.#row(id, names))
    const table = (caption: string, body: readonly HTMLElement[]): HTMLElement =>
      el(
        'table',
        { class: 'grid choices' },
        el('caption', { class: 'said' }, caption),
        el('thead', {}, head.cloneNode(true)),
        el('tbody', {}, ...body),
      )
    const open = this.#place.querySelector('details')?.open ?? false
    refill(
      this.#place,
      table('Choices of each scenario', rows),
      services.length > 0 &&
        el(
          'details',
          { class: 'part', open },
          el('summary', {}, 'Who does each service'),
          table('Who does each service', services),
        ),
    )
  }

  #scenarios(names: readonly string[]): void {
    const act = (name: string, intent: Intent): void => {
      this.#word.textContent = this.context.book.edit(name, intent) ?? ''
    }
    const fresh = (start: string): string => {
      let name = start
      for (let n = 2; names.includes(name); n++) name = `${start} ${n}`
      return name
    }
    const each = names.map((name) => {
      const field = new Field({
        label: `Name of the scenario ${name}`,
        take: (typed) => {
          const why = this.context.book.edit(
            `scenario ${name} named ${typed.trim()}`,
            renameScenario(name, typed),
          )
          return why === undefined ? { ok: true, value: typed } : { ok: false, why }
        },
      })
      field.show(name)
      return el(
        'div',
        { class: 'scenario' },
        field.root,
        button('Copy', () => act(`scenario ${name} copied`, addScenario(fresh(`${name}, changed`), name)), {
          class: 'small',
          'aria-label': `Copy ${name}`,
        }),
        button('Drop', () => act(`scenario ${name} dropped`, dropScenario(name)), {
          class: 'small',
          'aria-label': `Drop ${name}`,
        }),
      )
    })
    refill(
      this.#names,
      ...each,
      button('Add a scenario', () => act('scenario added', addScenario(fresh('Another way')))),
    )
  }

  #row(id: string, names: readonly string[]): HTMLElement {
    const choice = this.#choices.find((one) => one.id === id)
    const number = this.#numbers.find((one) => one.id === id)
    const label = choice?.label ?? number?.label ?? ASKED[id] ?? id
    const base = choice ? choiceWords(choice.value) : (number?.likely ?? '')
    const head = el(
      'th',
      { scope: 'row' },
      label,
      number &&
        el(
          'small',
          {},
          `${number.low === number.high ? `stated: ${number.likely}` : `from ${number.low} to ${number.high}, likely ${number.likely}`} ${unitWords(number.unit, Number(number.likely))}; ${number.source} (${number.confirmed})`,
        ),
    )
    const cells = names.map((name) =>
      el('td', { 'data-label': name }, this.#cell(id, name, `${label}, ${name}`, base, choice, number)),
    )
    return el('tr', {}, head, ...cells)
  }

  #cell(
    id: string,
    name: string,
    label: string,
    base: string,
    choice?: ChoiceFacts,
    number?: NumberFacts,
  ): HTMLElement {
    const put = (value: string, words: string): string | undefined =>
      this.context.book.edit(`${name}: ${label.split(',')[0]} ${words}`, setChoice(name, id, value))
    const key = `${name}\u0000${id}`
    if (choice?.kind === 'option') {
      const options = [
        ['', `as stated: ${base}`] as const,
        ...choice.allowed.map((word) => [word, choiceWords(word)] as const),
      ]
      const made = select(label, options, '', (value) => {
        this.#word.textContent = put(value, value === '' ? 'as stated' : choiceWords(value)) ?? ''
      })
      this.#cells.set(key, (value) => {
        if (made.value !== value) made.value = value
      })
      return made
    }
    const isDay = choice?.kind === 'date'
    const field = new Field({
      label,
      mode: isDay ? 'text' : 'decimal',
      ...(isDay ? { type: 'date' as const } : {}),
      placeholder: base,
      take: (typed) => {
        if (typed.trim() === '') {
          const why = put('', 'as stated')
          return why === undefined ? { ok: true, value: '' } : { ok: false, why }
        }
        const read = isDay ? understoodDay(typed) : understoodNumber(typed)
        if (!read.ok) return read
        if (!isDay && Number(read.value) < 0) return { ok: false, why: 'Write 0 or more.' }
        const why = put(read.value, read.value)
        return why === undefined ? read : { ok: false, why }
      },
    })
    const slider =
      number && number.low !== number.high ? this.#slider(id, name, label, number, put) : undefined
    this.#cells.set(key, (value) => {
      field.show(value)
      if (slider && document.activeElement !== slider) slider.value = value || number?.likely || ''
    })
    return el('span', { class: 'both' }, field.root, slider)
  }

  /** From low to high: shows what it would do while it moves, and is an edit when it is let go. */
  #slider(
    id: string,
    name: string,
    label: string,
    number: NumberFacts,
    put: (value: string, words: string) => string | undefined,
  ): HTMLInputElement {
    const made = el('input', {
      type: 'range',
      min: number.low,
      max: number.high,
      step: 'any',
      'aria-label': `${label}, from ${number.low} to ${number.high}`,
    })
    const value = (): string => String(Number(Number(made.value).toPrecision(3)))
    made.addEventListener('input', () => {
      const tried = this.context.book.tried(setChoice(name, id, value()))
      if (tried) this.context.preview(tried)
    })
    made.addEventListener('change', () => {
      const { texts } = this.context.book
      this.#word.textContent = put(value(), value()) ?? ''
      // Let go where it was taken up: nothing is edited, and what it would have done must not stay in view.
      if (this.context.book.texts === texts) this.context.preview(undefined)
    })
    return made
  }
}

/** What stands beside an input while a household with problems has no plan that could tell. */
const ASKED: Readonly<Record<string, string>> = {
  transport: 'Container, or share of one',
  'service-level': 'Who does the work',
  cover: 'Transit cover',
  crew: 'Movers in a crew',
  pallets: 'Goods on pallets',
  importer: 'Who declares the goods',
  'load-on': 'Day of loading',
  'import-on': 'Day of import declaration',
  'delay.days': 'Days the container waits in the port (free days, demurrage after that)',
  'storage.months': 'Months in storage after arrival',
  'own.people': 'How many of you pack and carry',
  'own.hour-value': 'What an hour of your own work is worth to you',
  'insured.share': 'Sum insured, as a share of what the things cost new',
  'loss.tolerance': 'A loss you could bear without regret',
}

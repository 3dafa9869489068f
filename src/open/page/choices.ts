// The scenarios side by side: a column each, a row for every input that differs or may be decided.
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import { isUnlikely, type Problem, problemText } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el, refill } from './dom.js'
import { Field } from './field.js'
import { type InputCell, type InputCells, rangeWords } from './input-cells.js'
import { addScenario, dropScenario, type Intent, renameScenario } from './intents.js'
import type { NumberFacts } from './model.js'

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
  /** Asks for the numeric inputs with their ranges; they come by `numbersAre`. */
  readonly wantNumbers: () => void
  readonly cells: InputCells
}

export class Choices {
  readonly root = el('section', { id: 'choices', 'aria-label': 'Choices' })
  readonly #word = el('p', { class: 'word', role: 'status' })
  readonly #place = el('div', { class: 'wide' })
  readonly #names = el('div', { class: 'scenarios' })
  readonly #finder = el('datalist', { id: 'inputs' })
  /** Inputs that somebody looked up and wants to see a row of. */
  #added: string[] = []
  #cells: { readonly id: string; readonly name: string; readonly cell: InputCell }[] = []
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

  numbersAre(numbers: readonly NumberFacts[]): void {
    this.context.cells.numbers = numbers
    const words = [...numbers, ...this.context.cells.choices].map(({ id, label }) =>
      el('option', { value: `${label} (${id})` }),
    )
    refill(this.#finder, ...words)
    this.show()
  }

  show(): void {
    const { cells } = this.context
    const facts = cells.choices.map(({ id, value }) => `${id}=${value}`)
    const shape = `${cells.scenarios.join('|')}#${this.#rows().join()}#${cells.numbers.length}#${facts.join()}`
    if (shape !== this.#shape) this.#build()
    this.#shape = shape
    const { stated } = cells
    for (const { id, name, cell } of this.#cells) cell.show(stated(name, id))
    const problems = this.context.problems().filter((one) => one.file === 'scenarios.csv' && !isUnlikely(one))
    if (problems.length > 0) this.#word.textContent = problems.map(problemText).join(' ')
    else if (this.#word.dataset.problem === 'yes') this.#word.textContent = ''
    this.#word.dataset.problem = problems.length > 0 ? 'yes' : 'no'
  }

  #idOf(typed: string): string | undefined {
    const text = typed.trim()
    const { numbers, choices } = this.context.cells
    const all = [...numbers, ...choices]
    return (
      all.find(({ id }) => id === text || text.endsWith(`(${id})`)) ??
      all.find(({ label }) => label.toLowerCase() === text.toLowerCase())
    )?.id
  }

  /** Ids of the rows: the usual ones, those that scenarios state, those looked up. */
  #rows(): string[] {
    const sheet = csvSheet(this.context.book.texts['scenarios.csv'] ?? '')
    const stated = sheet?.rows.map((row) => valueIn(sheet, row, 'id')) ?? []
    const { choices } = this.context.cells
    const known = new Set(choices.map(({ id }) => id))
    const vehicles = choices.filter(({ id }) => /^(take|deck)\./.test(id)).map(({ id }) => id)
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
    const names = this.context.cells.scenarios
    this.#cells = []
    this.#scenarios(names)
    const head = el(
      'tr',
      {},
      el('th', { scope: 'col' }, 'What'),
      ...names.map((name) => el('th', { scope: 'col' }, name)),
    )
    const rows = this.#rows().map((id) => this.#row(id, names))
    const providers = this.context.cells.choices.filter(({ id }) => id.startsWith('provider.'))
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
    const { choice, number } = this.context.cells.facts(id)
    const label = choice?.label ?? number?.label ?? ASKED[id] ?? id
    const head = el('th', { scope: 'row' }, label, number && el('small', {}, rangeWords(number)))
    const refused = (why: string): void => {
      this.#word.textContent = why
    }
    const cells = names.map((name) => {
      const cell = this.context.cells.cell(id, name, `${label}, ${name}`, refused)
      this.#cells.push({ id, name, cell })
      return el('td', { 'data-label': name }, cell.root)
    })
    return el('tr', {}, head, ...cells)
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

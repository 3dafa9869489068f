// Who moves, from where to where and when; people, vehicles, exchange rates, prices, quotes.
import { choiceWords } from '../../paper/choice-words.js'
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import type { Problem } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el, refill, select } from './dom.js'
import { Field } from './field.js'
import { addLines, HEADERS, setFact, together } from './intents.js'
import type { ColumnFacts, Lists } from './lists.js'
import { SmallTable, understoodAs } from './small-table.js'

/** Facts in the order a household is asked for them, under headings. The words are what is asked. */
const ASKED: readonly (readonly [
  heading: string,
  facts: readonly (readonly [fact: string, words: string])[],
])[] = [
  [
    'The move',
    [
      ['name', 'What to call your household'],
      ['origin_country', 'From which country'],
      ['origin_place', 'From which town'],
      ['destination_country', 'To which country'],
      ['destination_place', 'To which town'],
      ['currency', 'Totals in which currency'],
      ['load_on', 'The day the container is loaded'],
      ['import_on', 'The day the goods are declared for import'],
      ['as_of', 'Prices and rules as on'],
    ],
  ],
  [
    'The old home',
    [
      ['origin_floor', 'Floors above the street'],
      ['origin_lift', 'A lift that furniture fits in'],
      ['origin_carry_m', 'Metres from the door to the truck'],
    ],
  ],
  [
    'The new home',
    [
      ['destination_floor', 'Floors above the street'],
      ['destination_lift', 'A lift that furniture fits in'],
      ['destination_carry_m', 'Metres from the truck to the door'],
    ],
  ],
  [
    'As you would have it',
    [
      ['transport', 'Container, or a share of one'],
      ['service_level', 'Who does the work'],
      ['cover', 'Insurance on the way (transit cover)'],
      ['own_people', 'How many of you pack and carry'],
      ['own_hour_value', 'What an hour of your own work is worth to you'],
      ['loss_tolerance', 'A loss you could bear without regret'],
      ['storage_months', 'Months in storage after arrival'],
      ['delay_days', 'Days the container waits in the port (free days, demurrage after that)'],
      ['pallets', 'On pallets'],
    ],
  ],
]

/** What a household is taken to be until it says otherwise; places, countries and the name are always asked for. */
const BEGINNING: Readonly<Record<string, string>> = {
  origin_floor: '0',
  origin_lift: 'no',
  origin_carry_m: '10',
  destination_floor: '0',
  destination_lift: 'no',
  destination_carry_m: '10',
  transport: 'cheapest',
  service_level: 'part',
  cover: 'named-wide',
  pallets: 'no',
  loss_tolerance: '2000',
  own_people: '2',
  own_hour_value: '0',
  storage_months: '0',
  delay_days: '3',
}

export class Home {
  readonly root = el('section', { id: 'home', 'aria-label': 'Home and people' })
  readonly #facts = new Map<string, Field | HTMLSelectElement>()
  readonly #place = el('div')
  readonly #begin = el('div')
  readonly #tables: readonly SmallTable[]
  #built = false

  constructor(
    readonly book: Book,
    readonly problems: () => readonly Problem[],
    readonly lists: () => Lists | undefined,
  ) {
    const table = (facts: ConstructorParameters<typeof SmallTable>[1]): SmallTable =>
      new SmallTable(book, facts, problems)
    const fact = (name: string): string => {
      const sheet = csvSheet(book.texts['household.csv'] ?? '')
      const row = sheet?.rows.find((one) => valueIn(sheet, one, 'fact') === name)
      return sheet && row ? valueIn(sheet, row, 'value') : ''
    }
    const count = (file: string): number => csvSheet(book.texts[file] ?? '')?.rows.length ?? 0
    this.#tables = [
      table({
        file: 'people.csv',
        title: 'People who move',
        says: 'Whoever moves, the first being whose things are whose unless a line says otherwise. Customs asks since when each has lived abroad and in what capacity each comes.',
        row: 'person',
        fresh: () => ({
          person: 'ABCDEFGHIJ'[count('people.csv')] ?? `P${count('people.csv')}`,
          status: 'settler',
          adult: 'yes',
          leaves_on: fact('load_on'),
          arrives_on: fact('import_on'),
        }),
      }),
      table({
        file: 'vehicles.csv',
        title: 'Car, motorcycle, trailer, boat',
        says: 'Only what may go into the container. Fuel and batteries have rules of the carrier and the port.',
        row: 'vehicle',
        fresh: () => ({
          vehicle: `V-0${count('vehicles.csv') + 1}`,
          label: 'Car',
          kind: 'car',
          class: 'compact',
          powertrain: 'petrol',
          deck: 'no',
          take: 'ship',
        }),
      }),
      table({
        file: 'exchange.csv',
        title: 'Exchange rates',
        says: 'Prices of the tables are in several currencies: a rate from each into yours, with the day it stood.',
        row: 'rate',
        fresh: () => ({ from: 'USD', to: fact('currency'), on: fact('as_of'), source: '' }),
      }),
      table({
        file: 'rates.csv',
        title: 'Prices you know better',
        says: 'Your own figures instead of those of the tables, quotes above all. The id is that of the input; Choices finds it by its name.',
        row: 'price',
        fresh: () => ({ id: 'price.freight.45G1', likely: '' }),
      }),
      table({
        file: 'quotes.csv',
        title: 'Quotes of movers',
        says: 'A row a price. Quotes that measure different volumes are brought to one footing in the brief.',
        row: 'quote',
        fresh: () => ({ quote: `Q${count('quotes.csv') + 1}` }),
      }),
    ]
    this.root.append(
      el('h2', {}, 'Home and people'),
      this.#begin,
      this.#place,
      ...this.#tables.map(({ root }) => root),
    )
  }

  show(): void {
    const lists = this.lists()
    if (!lists) return
    const fresh = this.book.texts['household.csv'] === undefined
    refill(
      this.#begin,
      fresh &&
        el(
          'div',
          { class: 'notice' },
          el('p', {}, 'This folder holds no household yet.'),
          button('Begin a household here', () => this.#start(), { class: 'main' }),
        ),
    )
    if (!this.#built) this.#build(lists.columns['household.csv'] ?? [])
    this.#place.hidden = fresh
    const sheet = csvSheet(this.book.texts['household.csv'] ?? '')
    const problems = this.problems().filter(({ file }) => file === 'household.csv')
    for (const [name, field] of this.#facts) {
      const row = sheet?.rows.find((one) => valueIn(sheet, one, 'fact') === name)
      const value = sheet && row ? valueIn(sheet, row, 'value') : ''
      if (field instanceof HTMLSelectElement) {
        if (field.value !== value) field.value = value
        continue
      }
      field.show(value)
      field.mark(
        problems
          .filter(({ column }) => column === name)
          .map(({ expected, fix }) => `Expected ${expected}. ${fix}`)
          .join(' '),
      )
    }
    for (const table of this.#tables) {
      table.root.hidden = fresh
      table.show(lists.columns[table.facts.file] ?? [])
    }
  }

  /** A household to fill in: facts with a usual answer have it, the others are asked for by the problems. */
  #start(): void {
    const today = new Date().toISOString().slice(0, 10)
    const later = (days: number): string =>
      new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10)
    const given: Record<string, string> = {
      ...BEGINNING,
      as_of: today,
      load_on: later(90),
      import_on: later(140),
    }
    const rows = ASKED.flatMap(([, facts]) => facts.map(([fact]) => ({ fact, value: given[fact] ?? '' })))
    const person = {
      person: 'A',
      status: 'settler',
      adult: 'yes',
      leaves_on: given.load_on ?? '',
      arrives_on: given.import_on ?? '',
    }
    const inventory = `${HEADERS['inventory.csv']}\n`
    this.book.edit(
      'a household begun',
      together(
        addLines('household.csv', rows),
        addLines('people.csv', [person]),
        addLines('exchange.csv', []),
        (texts) =>
          texts['inventory.csv'] === undefined
            ? [
                {
                  file: 'inventory.csv',
                  patches: [{ at: 0, removed: '', inserted: inventory }],
                  life: 'made' as const,
                },
              ]
            : [],
      ),
    )
  }

  #build(columns: readonly ColumnFacts[]): void {
    if (columns.length === 0) return
    this.#built = true
    const lists = this.lists()
    const places = el(
      'datalist',
      { id: 'countries' },
      ...(lists?.countries ?? []).map(({ id, label }) => el('option', { value: id }, label)),
    )
    const money = el(
      'datalist',
      { id: 'currencies' },
      ...(lists?.currencies ?? []).map(({ id, label }) => el('option', { value: id }, label)),
    )
    const parts = ASKED.map(([heading, facts]) =>
      el(
        'fieldset',
        {},
        el('legend', {}, heading),
        ...facts.flatMap(([name, asked]) => {
          const column = columns.find((one) => one.name === name)
          return column ? [this.#row(column, asked)] : []
        }),
      ),
    )
    refill(this.#place, places, money, el('div', { class: 'facts' }, ...parts))
  }

  #row(column: ColumnFacts, asked: string): HTMLElement {
    const put = (value: string): string | undefined =>
      this.book.edit(`${asked}: ${value}`, setFact(column.name, value))
    if (column.allowed.length > 0) {
      const choice = select(
        asked,
        column.allowed.map((word) => [word, choiceWords(word)] as const),
        '',
        put,
      )
      this.#facts.set(column.name, choice)
      return el('label', { class: 'pair' }, el('span', {}, asked), choice)
    }
    const list = column.name.endsWith('country')
      ? 'countries'
      : column.name === 'currency'
        ? 'currencies'
        : undefined
    const field = new Field({
      label: asked,
      placeholder: column.example,
      mode: column.kind === 'number' ? 'decimal' : 'text',
      ...(list === undefined ? {} : { list }),
      ...(column.kind === 'date' ? { type: 'date' as const } : {}),
      take: (typed) => {
        const read = understoodAs(column, this.#code(list, typed))
        if (!read.ok) return read
        const why = put(read.value)
        return why === undefined ? read : { ok: false, why }
      },
    })
    this.#facts.set(column.name, field)
    return el(
      'label',
      { class: 'pair' },
      el('span', {}, `${asked}${column.unit ? `, ${column.unit}` : ''}`),
      field.root,
    )
  }

  /** A country or currency by its name. */
  #code(list: string | undefined, typed: string): string {
    const words =
      list === 'countries'
        ? this.lists()?.countries
        : list === 'currencies'
          ? this.lists()?.currencies
          : undefined
    return words?.find(({ label }) => label.toLowerCase() === typed.trim().toLowerCase())?.id ?? typed
  }
}

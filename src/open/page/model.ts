// What the page's workers calculate: texts in, answers as plain data out. Nothing of Node, nothing of the page.
import type { Decimal } from 'decimal.js'
import type { z } from 'zod'
import { compare, type Explanation, explain, SUMMARY_CELLS } from '../../analysis/index.js'
import { warnings } from '../../analysis/warnings.js'
import { moveDates } from '../../brief/dates.js'
import { carriageText } from '../../brief/front/carriage.js'
import { planWords } from '../../brief/names.js'
import { figureText, usualDecimals } from '../../paper/format.js'
import { ENGLISH_WORDS } from '../../paper/words.js'
import {
  type Change,
  type Move,
  type Plan,
  planOf,
  type References,
  readMoveWith,
  readReferences,
  recordedSheet,
  scenariosOf,
} from '../../plan/index.js'
import { type FieldFacts, factsOf } from '../../tables/fields.js'
import {
  exchangeColumns,
  householdFacts,
  personColumns,
  quoteColumns,
  rateColumns,
  vehicleColumns,
} from '../../tables/household-columns.js'
import { type Problem, problemsOf, type Read } from '../../tables/problem.js'
import type { Texts } from '../edits.js'
import type { ReferenceTexts } from '../protocol.js'
import type { KnownItem } from './fill.js'

/** A figure as data and as it is read. */
export interface Figure {
  readonly label: string
  readonly unit: string
  readonly value: number
  readonly text: string
}

export interface Word {
  readonly id: string
  readonly label: string
}

/** The words that fields of the page offer. */
export interface Lists {
  readonly items: readonly KnownItem[]
  readonly classes: readonly Word[]
  readonly packings: readonly Word[]
  readonly countries: readonly Word[]
  readonly currencies: readonly Word[]
  readonly services: readonly (Word & { readonly phase: string; readonly providers: readonly string[] })[]
  readonly vehicleClasses: readonly Word[]
  /** What each column of a file holds; of household.csv, what each fact is. */
  readonly columns: Readonly<Record<string, readonly ColumnFacts[]>>
}

/** A column of a household's file, as the page asks for it. */
export interface ColumnFacts {
  readonly name: string
  readonly says: string
  readonly example: string
  readonly unit?: string
  readonly kind: NonNullable<FieldFacts['kind']>
  readonly allowed: readonly string[]
  readonly required: boolean
}

export interface ScenarioAnswer {
  readonly name: string
  readonly figures: Readonly<Record<string, Figure>>
  readonly carriage: string
  /** A container of the household's own, which can be packed. */
  readonly container: boolean
  readonly cover: string
  readonly level: string
  readonly deadlines: readonly { readonly on: string; readonly what: string; readonly why: string }[]
  readonly warnings: readonly { readonly severity: 'stop' | 'care' | 'note'; readonly text: string }[]
}

/** What packing found for each scenario, by its name, as inputs of its plan. */
export type Found = Readonly<Record<string, readonly Change[]>>

/** What leaving a line behind saves in a scenario; below 0, what it adds. */
export interface Saving {
  readonly name: string
  readonly value: number
  readonly text: string
}

/** An input that is a word or a day, with the words it may be. */
export interface ChoiceFacts {
  readonly id: string
  readonly label: string
  readonly kind: 'option' | 'date'
  readonly value: string
  readonly allowed: readonly string[]
}

/** An input that is a number, with its range and where that comes from. */
export interface NumberFacts {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly low: string
  readonly likely: string
  readonly high: string
  readonly source: string
  readonly confirmed: string
}

export type Answers =
  | { readonly ok: false; readonly problems: readonly Problem[] }
  | {
      readonly ok: true
      readonly currency: string
      readonly scenarios: readonly ScenarioAnswer[]
      readonly rows: readonly { readonly id: string; readonly label: string }[]
      readonly choices: readonly ChoiceFacts[]
      readonly asOf: string
      /** What is unlikely in the files and not confirmed yet. */
      readonly questions: readonly Problem[]
    }

export interface Explained {
  readonly id: string
  readonly label: string
  readonly text: string
  readonly formula?: string
  readonly source?: string
  readonly confirmed?: string
  readonly from: readonly Explained[]
}

const columnsOf = (columns: z.ZodObject): ColumnFacts[] =>
  Object.entries(columns.shape).map(([name, schema]) => {
    const { description, example, unit, kind, allowed, required } = factsOf(schema as z.ZodType)
    return {
      name,
      says: description,
      example,
      ...(unit === undefined || unit === '1' ? {} : { unit }),
      kind: kind ?? 'text',
      allowed: kind === 'yes-no' ? ['yes', 'no'] : (allowed ?? []),
      required: required === true,
    }
  })

const word = ({ id, label }: Word): Word => ({ id, label })

/** The model of one page: reference tables read once, the household read again at every change. */
export class Model {
  #move: Move | undefined
  #plans: readonly Plan[] = []
  #found: Found = {}

  private constructor(readonly reference: References) {}

  /** Throws one sentence where the reference tables have problems: then nothing at all can be calculated. */
  static read({ reference, customs }: ReferenceTexts): Model {
    const read = readReferences(reference, customs)
    if (!read.ok)
      throw new Error(`the reference tables have ${read.problems.length} problems; quaybook check tells them`)
    return new Model(read.value)
  }

  lists(): Lists {
    const { reference } = this
    return {
      items: reference.items.map(({ id, label, group, ft3, mass_kg }) => ({
        id,
        label,
        group,
        ft3: ft3.toNumber(),
        massKg: mass_kg.toNumber(),
      })),
      classes: [...reference.customs.classes.values()].map(word),
      packings: [
        { id: 'none', label: 'as it is' },
        { id: 'wrapped', label: 'wrapped in blankets' },
        { id: 'crated', label: 'in a wooden crate' },
        ...reference.cartons.map(word),
      ],
      countries: reference.countries.map(({ code, label }) => ({ id: code, label })),
      currencies: reference.currencies.map(({ code, label }) => ({ id: code, label })),
      services: reference.services.map(({ id, label, phase, providers }) => ({
        id,
        label,
        phase,
        providers,
      })),
      vehicleClasses: reference.vehicleClasses.map(word),
      columns: {
        'household.csv': columnsOf(householdFacts),
        'people.csv': columnsOf(personColumns),
        'vehicles.csv': columnsOf(vehicleColumns),
        'exchange.csv': columnsOf(exchangeColumns),
        'rates.csv': columnsOf(rateColumns),
        'quotes.csv': columnsOf(quoteColumns),
      },
    }
  }

  /**
   * Plans the household of these texts.
   *
   * @param found what packing found, for these texts or those before them; without it containers are chosen by volume
   */
  answers(texts: Texts, found: Found = {}): Answers {
    const files = Object.entries(texts).map(([file, text]) => ({ file, text }))
    const move = readMoveWith(this.reference, files)
    if (!move.ok) {
      this.#move = undefined
      return { ok: false, problems: move.problems }
    }
    this.#found = found
    const plans = planned(move.value, found)
    this.#move = plans.ok ? move.value : undefined
    if (!plans.ok) return { ok: false, problems: plans.problems }
    this.#plans = plans.value
    return answersOf(move.value, plans.value)
  }

  get planned(): { readonly move: Move; readonly plans: readonly Plan[] } | undefined {
    return this.#move && { move: this.#move, plans: this.#plans }
  }

  /** Every numeric input of the household, without those of single lines. */
  numbers(): NumberFacts[] {
    const rows = [...(this.#move?.inputs.numbers.values() ?? [])]
    return rows
      .filter(({ id }) => !/^(line|item|carton|container)\./.test(id))
      .map(({ id, label, unit, low, likely, high, source, confirmed }) => ({
        id,
        label,
        unit,
        low: low.toString(),
        likely: likely.toString(),
        high: high.toString(),
        source,
        confirmed,
      }))
  }

  /**
   * What each scenario's total would be less, were a line left behind; of one that stays behind, what shipping it
   * would add, below 0. The whole move is planned anew: the container may be another one then.
   */
  leaving(line: string): Saving[] {
    const move = this.#move
    const stays = move?.household.inventory.find((one) => one.line === line)?.take !== 'ship'
    const plans =
      move && planned(move, this.#found, [{ id: `take.${line}`, value: stays ? 'ship' : 'leave' }])
    if (!move || !plans?.ok) return []
    const { currency } = move.household.facts
    return plans.value.flatMap((plan) => {
      const total = (of: Plan | undefined): Decimal | undefined => of?.sheet.cells.get('cost.total')?.value
      const [now, then] = [total(this.#plans.find(({ name }) => name === plan.name)), total(plan)]
      const value = now && then && now.minus(then)
      return value
        ? [
            {
              name: plan.name,
              value: value.toNumber(),
              text: figureText(value.abs(), currency, minorUnits(move)),
            },
          ]
        : []
    })
  }

  /** Where a figure comes from. Throws one sentence where the scenario has no such cell. */
  explained(scenario: string, cell: string): Explained {
    const plan = this.#plans.find(({ name }) => name === scenario)
    if (!this.#move || !plan) throw new Error('there is no plan at the moment: put the problems right first')
    const minor = minorUnits(this.#move)
    return explanation(explain(recordedSheet(this.#move, plan), cell), minor)
  }
}

function planned(move: Move, found: Found, set: readonly Change[] = []): Read<readonly Plan[]> {
  const read = scenariosOf(move).map(({ name, changes }) =>
    planOf(move, name, [...changes, ...(found[name] ?? []), ...set]),
  )
  const problems = new Map(problemsOf(read).map((problem) => [JSON.stringify(problem), problem]))
  if (problems.size > 0) return { ok: false, problems: [...problems.values()] }
  return { ok: true, value: read.flatMap((plan) => (plan.ok ? [plan.value] : [])) }
}

function explanation(e: Explanation, minor: number): Explained {
  return {
    id: e.id,
    label: e.label,
    text: figure(e.label, e.unit, e.value, minor).text,
    ...(e.formula === undefined ? {} : { formula: e.formula }),
    ...(e.source === undefined ? {} : { source: e.source }),
    ...(e.confirmed === undefined ? {} : { confirmed: e.confirmed }),
    from: e.from.map((inner) => explanation(inner, minor)),
  }
}

const minorUnits = ({ household, reference }: Move): number =>
  reference.currencies.find(({ code }) => code === household.facts.currency)?.minor_units.toNumber() ?? 2

function figure(label: string, unit: string, value: Decimal, minor: number): Figure {
  const places = unit === '1' ? 2 : usualDecimals(unit, minor)
  const text = unit === '1' ? String(value.toDecimalPlaces(4)) : figureText(value, unit, places)
  return { label, unit, value: value.toNumber(), text }
}

function answersOf(move: Move, plans: readonly Plan[]): Answers {
  const minor = minorUnits(move)
  const rows = compare(plans).map(({ id, label }) => ({ id, label }))
  const scenarios = plans.map((plan): ScenarioAnswer => {
    const figures = [...new Set([...rows.map(({ id }) => id), ...SUMMARY_CELLS])].flatMap((id) => {
      const cell = plan.sheet.cells.get(id)
      return cell ? [[id, figure(cell.label, cell.unit, cell.value, minor)] as const] : []
    })
    const words = planWords(move, plan)
    return {
      name: plan.name,
      figures: Object.fromEntries(figures),
      carriage: carriageText(ENGLISH_WORDS, move, plan),
      container: move.reference.containers.some(
        ({ id }) => id === plan.sheet.choices.get('transport')?.split('+')[0],
      ),
      cover: words.coverLabel,
      level: ENGLISH_WORDS.say(`level.${plan.inputs.choices.get('service-level')?.value ?? 'own'}`),
      deadlines: moveDates(move, plan, ENGLISH_WORDS).deadlines,
      warnings: warnings(move, plan).map(({ severity, text }) => ({ severity, text })),
    }
  })
  const choices = [...move.inputs.choices.values()].filter(
    ({ id }) =>
      !id.startsWith('take.') || move.household.vehicles.some(({ vehicle }) => id === `take.${vehicle}`),
  )
  return {
    ok: true,
    currency: move.household.facts.currency,
    scenarios,
    rows,
    choices: choices.map(({ id, label, kind, value, allowed }) => ({ id, label, kind, value, allowed })),
    asOf: move.household.facts.as_of,
    questions: move.questions,
  }
}

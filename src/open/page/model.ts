// What the page's workers calculate: texts in, answers as plain data out. Nothing of Node, nothing of the page.
import type { Decimal } from 'decimal.js'
import { explain } from '../../analysis/index.js'
import { OWN_CUSTOMS_FILE, withOwnRows } from '../../customs/own-rows.js'
import { figureText } from '../../paper/format.js'
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
import { problemsOf, type Read } from '../../tables/problem.js'
import type { Texts } from '../edits.js'
import type { ReferenceTexts } from '../protocol.js'
import { type Explained, explanation } from './explained.js'
import { groundOf, KnownPlans } from './known-plans.js'
import { type Lists, listsOf } from './lists.js'
import {
  type Answers,
  answerOf,
  answersOf,
  type Figures,
  figuresOf,
  minorUnits,
  type ScenarioAnswer,
} from './scenario-answers.js'

/** What packing found for each scenario, by its name, as inputs of its plan. */
export type Found = Readonly<Record<string, readonly Change[]>>

const NOTHING_FOUND: Found = {}

/** The scenarios that one worker plans: every `of`-th from place `at` on. */
export interface Share {
  readonly at: number
  readonly of: number
}

const ALL: Share = { at: 0, of: 1 }

const shareOf = <T>(all: readonly T[], { at, of }: Share): T[] => all.filter((_, i) => i % of === at)

/** What leaving a line behind saves in a scenario; below 0, what it adds. */
export interface Saving {
  readonly name: string
  readonly value: number
  readonly text: string
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

/** The model of one page: reference tables read once, the household read again at every change. */
export class Model {
  #move: Move | undefined
  #plans: readonly Plan[] = []
  #found: Found = {}
  #read: { readonly texts: Texts; readonly found: Found; readonly of: Read<readonly Plan[]> } | undefined
  #moved: { readonly texts: Texts; readonly of: Read<Move> } | undefined
  #own: { readonly text: string; readonly of: Read<References> } | undefined
  readonly #known = new KnownPlans()
  readonly #answered = new WeakMap<Plan, ScenarioAnswer>()

  private constructor(
    readonly reference: References,
    private readonly tables: Omit<ReferenceTexts, 'theme'>,
    private readonly share: Share,
  ) {}

  /** Throws one sentence where the reference tables have problems: then nothing at all can be calculated. */
  static read({ reference, customs }: Omit<ReferenceTexts, 'theme'>, share: Share = ALL): Model {
    const read = readReferences(reference, customs)
    if (!read.ok)
      throw new Error(`the reference tables have ${read.problems.length} problems; quaybook check tells them`)
    return new Model(read.value, { reference, customs }, share)
  }

  lists(): Lists {
    return listsOf(this.reference)
  }

  /**
   * Plans the household of these texts: only the scenarios that changed since plans of it were made before.
   *
   * @param found what packing found, for these texts or those before them; without it containers are chosen by volume
   */
  figures(texts: Texts, found: Found = NOTHING_FOUND): Figures | Extract<Answers, { ok: false }> {
    const plans = this.#plan(texts, found)
    if (!plans.ok || !this.#move) return { ok: false, problems: problemsOf([plans]) }
    const move = this.#move
    return {
      ok: true,
      sure: true,
      currency: move.household.facts.currency,
      scenarios: plans.value.map((plan) => figuresOf(move, plan)),
    }
  }

  /**
   * The figures that come first: with the carriage and the cover of before the edit. Nothing where there was no plan
   * before, or where the texts have problems.
   */
  quickFigures(texts: Texts, found: Found = NOTHING_FOUND): Figures | undefined {
    const read = this.#moveOf(texts)
    if (!read.ok) return undefined
    const move = read.value
    const ground = groundOf(texts)
    const stated = shareOf(scenariosOf(move), this.share)
    const quick = stated.flatMap(
      ({ name, changes }) =>
        this.#known.quick(move, ground, name, [...changes, ...(found[name] ?? [])]) ?? [],
    )
    if (quick.length < stated.length) return undefined
    return {
      ok: true,
      sure: quick.every(({ sure }) => sure),
      currency: move.household.facts.currency,
      scenarios: quick.map(({ plan }) => figuresOf(move, plan)),
    }
  }

  /** The same with all that is said beside the figures, which takes longer than they do. */
  answers(texts: Texts, found: Found = NOTHING_FOUND): Answers {
    const plans = this.#plan(texts, found)
    if (!plans.ok || !this.#move) return { ok: false, problems: problemsOf([plans]) }
    const move = this.#move
    return answersOf(
      move,
      plans.value.map((plan) => {
        const answer = this.#answered.get(plan) ?? answerOf(move, plan)
        this.#answered.set(plan, answer)
        return answer
      }),
    )
  }

  /** How many plans have been worked out so far. */
  get plansMade(): number {
    return this.#known.made
  }

  #plan(texts: Texts, found: Found): Read<readonly Plan[]> {
    if (this.#read?.texts === texts && this.#read.found === found) return this.#read.of
    const move = this.#moveOf(texts)
    const ground = groundOf(texts)
    const of: Read<readonly Plan[]> = move.ok
      ? together(
          shareOf(scenariosOf(move.value), this.share).map(({ name, changes }) =>
            this.#known.of(move.value, ground, name, [...changes, ...(found[name] ?? [])]),
          ),
        )
      : { ok: false, problems: move.problems }
    this.#move = move.ok && of.ok ? move.value : undefined
    if (of.ok) this.#plans = of.value
    this.#found = found
    this.#read = { texts, found, of }
    return of
  }

  #moveOf(texts: Texts): Read<Move> {
    if (this.#moved?.texts !== texts) this.#moved = { texts, of: this.#readMove(texts) }
    return this.#moved.of
  }

  #readMove(texts: Texts): Read<Move> {
    const reference = this.#referenceFor(texts[OWN_CUSTOMS_FILE])
    if (!reference.ok) return reference
    return readMoveWith(
      reference.value,
      Object.entries(texts).map(([file, text]) => ({ file, text })),
    )
  }

  /** The tables with what an authority told this household over them. */
  #referenceFor(text: string | undefined): Read<References> {
    if (text === undefined) return { ok: true, value: this.reference }
    if (this.#own?.text !== text) {
      const rules = withOwnRows(this.tables.customs, { file: OWN_CUSTOMS_FILE, text })
      this.#own = { text, of: rules.ok ? readReferences(this.tables.reference, rules.value) : rules }
    }
    return this.#own.of
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
      move &&
      planned(move, this.#found, this.share, [{ id: `take.${line}`, value: stays ? 'ship' : 'leave' }])
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

const planned = (move: Move, found: Found, share: Share, set: readonly Change[]): Read<readonly Plan[]> =>
  together(
    shareOf(scenariosOf(move), share).map(({ name, changes }) =>
      planOf(move, name, [...changes, ...(found[name] ?? []), ...set]),
    ),
  )

/** All plans, or every problem once. */
function together(read: readonly Read<Plan>[]): Read<readonly Plan[]> {
  const problems = new Map(problemsOf(read).map((problem) => [JSON.stringify(problem), problem]))
  if (problems.size > 0) return { ok: false, problems: [...problems.values()] }
  return { ok: true, value: read.flatMap((plan) => (plan.ok ? [plan.value] : [])) }
}

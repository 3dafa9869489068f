// The household planned again on the page itself, with other choices: runs in a worker of the browser, and in tests.
import { OWN_CUSTOMS_FILE, withOwnRows } from '../customs/own-rows.js'
import {
  type Change,
  type Move,
  type Plan,
  planOf,
  readMoveWith,
  readReferences,
  withChanges,
} from '../plan/index.js'
import type { CsvFile } from '../tables/csv.js'
import { type Problem, problemsOf, type Read } from '../tables/problem.js'
import { type Chosen, statedBy } from './choices.js'
import { exploreDataAgain } from './data.js'
import type { PageChoices, PageData } from './page-data.js'

/** Everything a household is planned from, as texts. */
export interface Sources {
  readonly household: readonly CsvFile[]
  readonly reference: readonly CsvFile[]
  readonly customs: readonly CsvFile[]
}

/** What is wanted instead of what the files state. */
export interface Wishes {
  /** For each scenario of the household in turn, by id. */
  readonly chosen: Chosen
  /** Numbers, the same in every scenario. */
  readonly moved: ReadonlyMap<string, string>
}

/** Wishes that come to nothing: no figure of the scenario's plan reads them. */
export interface Idle {
  readonly scenario: number
  readonly id: string
  readonly why: string
}

export interface Planned {
  readonly data: PageData
  readonly idle: readonly Idle[]
}

export class Chooser {
  private constructor(
    private readonly move: Move,
    private readonly page: PageData,
    private readonly choices: PageChoices,
  ) {}

  /**
   * @param page the page as it was made, whose inputs stay those that can be moved
   * @returns what plans again, or every problem of the texts
   */
  static read(sources: Sources, page: PageData): Read<Chooser> {
    const own = sources.household.find(({ file }) => file === OWN_CUSTOMS_FILE)
    const rules = own ? withOwnRows(sources.customs, own) : ({ ok: true, value: sources.customs } as const)
    if (!rules.ok) return rules
    const reference = readReferences(sources.reference, rules.value)
    if (!reference.ok) return reference
    const move = readMoveWith(reference.value, sources.household)
    if (!move.ok) return { ok: false, problems: move.problems }
    if (!page.choices) throw new Error('this page was made without the choices of its household')
    return { ok: true, value: new Chooser(move.value, page, page.choices) }
  }

  /**
   * The page's figures with all wishes planned in: what `compare` prints of each scenario with the same changes by
   * `--set`, cover decided and carriage chosen anew, the containers packed as the files have them.
   */
  planned({ chosen, moved }: Wishes): Read<Planned> {
    const numbers = changesOf(moved)
    const read = this.choices.scenarios.map(({ name, changes }, s) =>
      planOf(this.move, name, [...changes, ...changesOf(chosen[s] ?? new Map()), ...numbers]),
    )
    const plans = read.flatMap((plan) => (plan.ok ? [plan.value] : []))
    if (plans.length < read.length) return { ok: false, problems: onlyOnce(problemsOf(read)) }
    const data = exploreDataAgain(this.move, plans, this.page)
    return {
      ok: true,
      value: {
        data: { ...data, inputs: this.#inputsOf(data), choices: this.choices },
        idle: plans.flatMap((plan, s) => idleOf(plan, s, chosen[s] ?? new Map())),
      },
    }
  }

  /** The inputs with what each scenario states of them, which is where a number goes that is moved no more. */
  #inputsOf({ scenarios }: PageData): PageData['inputs'] {
    const stated = scenarios.map(({ name }) => {
      const changes = this.choices.scenarios[statedBy(this.choices, name)]?.changes ?? []
      const read = withChanges(this.move.inputs, changes)
      return read.ok ? read.value.numbers : this.move.inputs.numbers
    })
    return this.page.inputs.map((input) => ({
      ...input,
      planned: stated.map((numbers) => numbers.get(input.id)?.likely.toFixed() ?? input.likely),
    }))
  }
}

const changesOf = (wishes: ReadonlyMap<string, string>): Change[] =>
  [...wishes].map(([id, value]) => ({ id, value }))

const idleOf = (plan: Plan, scenario: number, chosen: ReadonlyMap<string, string>): Idle[] =>
  plan.unused.flatMap(({ change: { id }, why }) => (chosen.has(id) ? [{ scenario, id, why }] : []))

const onlyOnce = (problems: readonly Problem[]): Problem[] => [
  ...new Map(problems.map((problem) => [JSON.stringify(problem), problem])).values(),
]

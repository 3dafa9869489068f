// The workers that plan, seen as one: each plans its share of the scenarios, so that nobody waits for all in a row.
import type { Saving } from './model.js'
import type { FromPlan, ToPlan } from './plan-worker.js'
import type { Answers, ScenarioFigures } from './scenario-answers.js'

/** A worker, or what stands for one in a test. */
export interface Planner {
  postMessage(message: ToPlan): void
  addEventListener(type: 'message', listener: (event: { readonly data: FromPlan }) => void): void
}

/** More workers than this would hold memory and save little: few households compare more scenarios. */
const MOST_PLANNERS = 3

/** How many workers plan on a machine of so many cores. */
export const plannersFor = (cores: number): number => Math.max(1, Math.min(MOST_PLANNERS, cores))

type Told<T extends FromPlan['tell']> = Extract<FromPlan, { tell: T }>

export class Planners {
  /** What workers have told of one question, by the question; it is answered when all have. */
  readonly #parts = new Map<string, (FromPlan | undefined)[]>()
  #names: readonly string[] = []
  #leavings = 0

  /**
   * @param workers one or more
   * @param hear hears what one worker with all scenarios would tell
   */
  constructor(
    private readonly workers: readonly Planner[],
    private readonly hear: (message: FromPlan) => void,
  ) {
    workers.forEach((worker, at) => {
      worker.addEventListener('message', ({ data }) => this.#heard(at, data))
    })
  }

  ask(message: ToPlan): void {
    const of = this.workers.length
    switch (message.ask) {
      case 'read':
        this.workers.forEach((worker, at) => {
          worker.postMessage({ ...message, share: { at, of } })
        })
        return
      case 'numbers':
        this.workers[0]?.postMessage(message)
        return
      case 'explain':
        this.workers[Math.max(0, this.#names.indexOf(message.scenario)) % of]?.postMessage(message)
        return
      case 'leaving':
        this.#leavings += 1
        for (const worker of this.workers) worker.postMessage({ ...message, id: this.#leavings })
        return
      case 'plan':
        for (const worker of this.workers) worker.postMessage(message)
    }
  }

  #heard(at: number, data: FromPlan): void {
    switch (data.tell) {
      case 'lists':
        if (at === 0) this.hear(data)
        return
      case 'figures': {
        const parts = this.#all(at, `figures ${data.turn} ${data.quick}`, data)
        if (!parts) return
        const ms = Math.max(...parts.map((part) => part.ms))
        const scenarios = inTurn(parts.map((part): readonly ScenarioFigures[] => part.scenarios))
        this.#names = scenarios.map(({ name }) => name)
        this.hear({ ...data, sure: parts.every(({ sure }) => sure), scenarios, ms })
        return
      }
      case 'answers': {
        const parts = this.#all(at, `answers ${data.turn} ${data.packed}`, data)
        if (!parts) return
        const answers = joined(parts.map((part) => part.answers))
        if (answers.ok) this.#names = answers.scenarios.map(({ name }) => name)
        this.hear({ ...data, answers, ms: Math.max(...parts.map(({ ms }) => ms)) })
        // A worker leaves out what an edit after it has made idle: such questions are never answered by all.
        for (const key of this.#parts.keys()) if (turnOf(key) < data.turn) this.#parts.delete(key)
        return
      }
      case 'leaving': {
        const parts = this.#all(at, `leaving ${data.id}`, data)
        if (parts)
          this.hear({ ...data, savings: inTurn(parts.map((part): readonly Saving[] => part.savings)) })
        return
      }
      default:
        this.hear(data)
    }
  }

  /** What all workers told of a question, in their order, once the last has. */
  #all<T extends FromPlan['tell']>(at: number, key: string, told: Told<T>): Told<T>[] | undefined {
    const parts = this.#parts.get(key) ?? this.workers.map(() => undefined)
    parts[at] = told
    this.#parts.set(key, parts)
    if (parts.includes(undefined)) return undefined
    this.#parts.delete(key)
    return parts as Told<T>[]
  }
}

const turnOf = (key: string): number => Number(/^(?:figures|answers) (\d+)/.exec(key)?.[1] ?? Infinity)

/** Shares put together again: the first of each, then the second of each. */
export const inTurn = <T>(shares: readonly (readonly T[])[]): T[] =>
  Array.from({ length: Math.max(...shares.map(({ length }) => length)) }, (_, i) =>
    shares.flatMap((share) => share.slice(i, i + 1)),
  ).flat()

/** The answers of all shares as one, or every problem once. */
function joined(parts: readonly Answers[]): Answers {
  const problems = new Map(
    parts.flatMap((part) =>
      part.ok ? [] : part.problems.map((problem) => [JSON.stringify(problem), problem] as const),
    ),
  )
  const good = parts.flatMap((part) => (part.ok ? [part] : []))
  const [first] = good
  if (problems.size > 0 || !first) return { ok: false, problems: [...problems.values()] }
  return { ...first, scenarios: inTurn(good.map(({ scenarios }) => scenarios)) }
}

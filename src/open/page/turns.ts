// What each edit leads to. A plan asked for is a turn; what comes of an older turn never takes the place of a newer one.
import type { Texts } from '../edits.js'
import type { AnswersPane } from './answers.js'
import type { Found } from './model.js'
import type { FromPlan, ToPlan } from './plan-worker.js'
import type { Answers } from './scenario-answers.js'

type Told<T extends FromPlan['tell']> = Extract<FromPlan, { tell: T }>

/** Figures for whoever measures the page, ms: until it could first be used; then from each edit on. */
export interface Measured {
  usable: number
  /** Until totals are shown. */
  readonly delays: number[]
  /** Until they are sure. */
  readonly sure: number[]
  /** Of the delay, planning. */
  readonly plans: number[]
  /** Until all that is said beside them is shown. */
  readonly whole: number[]
}

export interface TurnsContext {
  readonly ask: (message: ToPlan) => void
  readonly pane: Pick<AnswersPane, 'show' | 'showFigures' | 'failed'>
  /** Told of the answers of each turn that is not only tried. */
  readonly answered: (answers: Answers) => void
  /** Calls back when what was changed is on the screen. */
  readonly shown: (then: () => void) => void
}

/** A plan on its way: the edit it follows from, when that was made, whether it is only tried. */
interface Asked {
  readonly why: string
  readonly at: number
  readonly trial: boolean
  readonly shown?: boolean
}

export class Turns {
  readonly measured: Measured = { usable: 0, delays: [], sure: [], plans: [], whole: [] }
  readonly #asked = new Map<number, Asked>()
  #newest = 0
  #planned = 0
  /** What packing found last: a change of the household keeps it until the containers are packed again. */
  #found: Found | undefined

  constructor(private readonly context: TurnsContext) {}

  /** How many plans are on their way. */
  get waiting(): number {
    return this.#asked.size
  }

  /** The last turn whose answers are shown. */
  get planned(): number {
    return this.#planned
  }

  /**
   * Asks for the plans of a household.
   *
   * @param why the edit they follow from; '' where there was none
   * @param trial the household is that of a slider which still moves
   */
  plan(texts: Texts, why: string, trial = false): void {
    this.#newest += 1
    this.#asked.set(this.#newest, { why, at: performance.now(), trial })
    this.context.ask({ ask: 'plan', turn: this.#newest, texts, found: this.#found ?? {}, packed: false })
  }

  /**
   * Asks for the plans of a turn again, with its containers packed. Not once another edit is on its way, whose plans
   * this would displace: the containers are packed again after it.
   */
  packed(turn: number, texts: Texts, found: Found): void {
    if (turn !== this.#newest) return
    this.#found = found
    this.context.ask({ ask: 'plan', turn, texts, found, packed: true })
  }

  figures(data: Told<'figures'>): void {
    const about = this.#asked.get(data.turn)
    if (!about || data.turn < this.#planned) return
    if (!this.context.pane.showFigures(data, about.why, this.#footing, about.trial)) return
    if (!about.shown) this.measured.plans.push(data.ms)
    const { delays, sure } = this.measured
    if (about.why !== '')
      this.#measure(about, [...(about.shown ? [] : [delays]), ...(data.sure ? [sure] : [])])
    // Said once: what follows sure figures brings no other figure.
    this.#asked.set(data.turn, { ...about, shown: true, why: data.sure ? '' : about.why })
  }

  answers(data: Told<'answers'>): void {
    if (data.packed) {
      if (data.turn === this.#newest) this.context.pane.show(data.answers, '', 'packed')
      return
    }
    const about = this.#ended(data.turn)
    if (!about || data.turn < this.#planned) return
    this.#planned = data.turn
    this.context.pane.show(data.answers, about.why, this.#footing, about.trial)
    const { delays, sure, whole } = this.measured
    this.#measure(about, [...(about.why === '' ? [] : [...(about.shown ? [] : [delays]), sure]), whole])
    if (!about.trial) this.context.answered(data.answers)
  }

  /** A turn whose plans could not be made. */
  failed({ turn, why }: Told<'trouble'>): void {
    if (turn !== undefined && this.#ended(turn) && turn === this.#newest) this.context.pane.failed(why)
  }

  get #footing(): 'before' | 'volume' {
    return this.#found ? 'before' : 'volume'
  }

  /** Takes a turn off what is on its way, and those before it, which nobody answers any more. */
  #ended(turn: number): Asked | undefined {
    const about = this.#asked.get(turn)
    for (const old of this.#asked.keys()) if (old <= turn) this.#asked.delete(old)
    return about
  }

  #measure({ at }: Asked, into: readonly number[][]): void {
    this.context.shown(() => {
      for (const times of into) times.push(performance.now() - at)
      this.measured.usable ||= performance.now()
    })
  }
}

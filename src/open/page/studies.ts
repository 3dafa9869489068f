// The slow figures: begun when the household has been left alone for a moment, ended when it changes before they come.
import type { Texts } from '../edits.js'
import type { ReferenceTexts, Rooms } from '../protocol.js'
import type { AnswersPane } from './answers.js'
import type { Charts } from './charts.js'
import type { Found } from './model.js'
import type { FromStudy, ToStudy } from './study-worker.js'

/** How long the household must stay as it is before the slow figures are worked out anew, ms. */
const STUDY_AFTER_MS = 700

/** The worker, or what stands for it in a test. */
export interface Student {
  postMessage(message: ToStudy): void
  terminate(): void
  onmessage: ((event: MessageEvent<FromStudy>) => void) | null
}

export interface StudiesContext {
  readonly book: { readonly texts: Texts; readonly rooms: Rooms; packed(rooms: Rooms): void }
  readonly reference: () => ReferenceTexts | undefined
  readonly worker: () => Student
  readonly pane: Pick<AnswersPane, 'packing' | 'advise' | 'spread' | 'calculated'>
  readonly charts: Pick<Charts, 'working' | 'show' | 'failed'>
  /** Whether charts are in view, and so worth drawing. */
  readonly wantsCharts: () => boolean
  /** The last turn whose answers are shown. */
  readonly planned: () => number
  /** Told what packing found for the household of a turn. */
  readonly packed: (turn: number, found: Found) => void
}

export class Studies {
  #running: { readonly worker: Student; readonly turn: number; readonly charts: boolean } | undefined
  #done = { turn: -1, charts: -1 }
  #timer: ReturnType<typeof setTimeout> | undefined
  /** A worker that has done its work and waits for the next. */
  #idle: Student | undefined

  constructor(private readonly context: StudiesContext) {}

  /** Once the household has been left alone. */
  later(): void {
    clearTimeout(this.#timer)
    if (this.context.wantsCharts()) this.context.charts.working()
    this.#timer = setTimeout(() => this.now(), STUDY_AFTER_MS)
  }

  /** Works out what is wanted and not there yet. */
  now(): void {
    const { book, pane, charts, reference, wantsCharts, planned } = this.context
    const [tables, wanted, turn] = [reference(), wantsCharts(), planned()]
    if (!tables || !pane.calculated) return
    if (this.#done.turn === turn && (!wanted || this.#done.charts === turn)) return
    if (this.#running?.turn === turn && (this.#running.charts || !wanted)) return
    if (this.#running) {
      this.#running.worker.terminate()
      pane.packing('')
      this.#running = undefined
    }
    if (wanted) charts.working()
    const worker = this.#idle ?? this.context.worker()
    this.#idle = undefined
    this.#running = { worker, turn, charts: wanted }
    worker.onmessage = ({ data }) => this.#heard(worker, data)
    worker.postMessage({
      reference: tables,
      texts: book.texts,
      rooms: book.rooms,
      turn,
      charts: wanted,
      theme: tables.theme,
    })
  }

  #heard(worker: Student, data: FromStudy): void {
    const { book, pane, charts, planned, packed } = this.context
    // Kept also of a household that has changed since: the same question may come again.
    if (data.tell === 'packing' || data.tell === 'packed') book.packed(data.rooms)
    if (data.turn !== planned() || this.#running?.worker !== worker) return
    switch (data.tell) {
      case 'packing':
        pane.packing(data.text)
        return
      case 'packed':
        pane.packing('')
        pane.advise(data.advice)
        packed(data.turn, data.found)
        return
      case 'spread':
        pane.spread(data.spreads)
        this.#done = { ...this.#done, turn: data.turn }
        if (!this.#running.charts) this.#end(worker)
        return
      case 'charts':
        this.#done = { ...this.#done, charts: data.turn }
        void charts
          .show(data.charts, data.recommended)
          .catch((error: unknown) => charts.failed(String(error)))
        this.#end(worker)
        return
      case 'trouble':
        pane.packing(`The containers could not be packed, or the rest not be worked out: ${data.why}`)
        if (this.#running.charts) charts.failed(data.why)
        this.#end(worker)
        return
    }
  }

  #end(worker: Student): void {
    this.#idle = worker
    this.#running = undefined
  }
}

// The page's side of planning again: starts the worker when something is wanted, and shows the choices as they stand.
import { type Chosen, takenWord } from '../choices.js'
import { optionWords } from '../choices-html.js'
import type { Idle, Planned, Wishes } from '../chooser.js'
import type { PageChoice, PageChoices, PageData } from '../page-data.js'
import type { FromPlanner, ToPlanner } from './planner.js'
import { unpacked } from './unpack.js'

/** Milliseconds that the hand rests before what it did is planned. */
const REST = 250

interface Listener {
  /** Plans with all that is wanted. */
  readonly planned: (planned: Planned) => void
  /** Nothing is wanted but what is stated. */
  readonly stated: () => void
  readonly chosen: (choice: PageChoice, scenario: number, word: string) => void
}

const byId = (id: string): HTMLElement | null => document.getElementById(id)
const controlsOf = (from: ParentNode): (HTMLSelectElement | HTMLInputElement)[] => [
  ...from.querySelectorAll<HTMLSelectElement | HTMLInputElement>('[data-choice]'),
]
const packOf = (name: string): string =>
  document.querySelector<HTMLTemplateElement>(`#pack-${name}`)?.content.textContent?.trim() ?? ''

export class Planning {
  #worker: Promise<Worker> | undefined
  #turn = 0
  #rest: number | undefined

  constructor(
    private readonly page: PageData,
    private readonly choices: PageChoices,
    private readonly hear: Listener,
  ) {}

  /** Follows the controls of the choices. */
  listen(place: HTMLElement | null): void {
    place?.addEventListener('change', ({ target }) => {
      if (!(target instanceof HTMLSelectElement || target instanceof HTMLInputElement)) return
      const choice = this.choices.list.find(({ id }) => id === target.dataset.choice)
      const scenario = Number(target.dataset.of)
      if (!choice) return
      // A day that is wiped out, or half typed, is the one stated.
      const word = takenWord(choice, target.value) ?? choice.planned[scenario] ?? ''
      target.value = word
      this.hear.chosen(choice, scenario, word)
    })
  }

  /** Plans these wishes once the hand rests; what was asked before and not answered yet is dropped. */
  wish(wishes: Wishes, any: boolean): void {
    clearTimeout(this.#rest)
    this.#turn += 1
    const turn = this.#turn
    if (!any) {
      this.#say('', false)
      this.hear.stated()
      return
    }
    this.#say('Planning again \u2026', true)
    this.#rest = window.setTimeout(() => {
      this.#worker ??= this.#start()
      this.#worker.then(
        (worker) => worker.postMessage({ ask: 'plan', turn, wishes } satisfies ToPlanner),
        (error: unknown) => this.#failed(error),
      )
    }, REST)
  }

  async #start(): Promise<Worker> {
    const script = await unpacked(packOf('script'))
    const address = URL.createObjectURL(new Blob([script], { type: 'text/javascript' }))
    const worker = new Worker(address)
    return new Promise((resolve, reject) => {
      worker.onerror = ({ message }) => reject(new Error(message || 'its worker could not be started'))
      worker.onmessage = ({ data }: MessageEvent<FromPlanner>) => {
        if (data.tell === 'ready') resolve(worker)
        else if (data.tell === 'trouble') reject(new Error(data.why))
        else this.#heard(data)
      }
      const message: ToPlanner = {
        ask: 'read',
        page: this.page,
        tables: packOf('tables'),
        lists: packOf('lists'),
      }
      worker.postMessage(message)
    })
  }

  #heard(data: Extract<FromPlanner, { turn: number }>): void {
    if (data.turn !== this.#turn) return
    if (data.tell === 'refused') {
      this.#say(`That cannot be planned: ${data.why.join(' ')} The figures are those of before.`, false)
      return
    }
    this.#say('Planned again with all that is chosen and moved.', false)
    this.hear.planned(data.planned)
  }

  #failed(error: unknown): void {
    const why = error instanceof Error ? error.message : String(error)
    this.#say(`This browser cannot plan again (${why}): only numbers move.`, false)
    for (const control of controlsOf(document)) control.disabled = true
  }

  #say(text: string, busy: boolean): void {
    const place = byId('planning')
    if (place && place.textContent !== text) place.textContent = text
    document.querySelector('.totals')?.setAttribute('aria-busy', String(busy))
  }
}

/** Every control of the choices at what stands now. */
export function showChosen(choices: PageChoices, chosen: Chosen): void {
  for (const control of controlsOf(document)) {
    const scenario = Number(control.dataset.of)
    const choice = choices.list.find(({ id }) => id === control.dataset.choice)
    const word = choice && (chosen[scenario]?.get(choice.id) ?? choice.planned[scenario])
    if (word !== undefined && control.value !== word) control.value = word
  }
}

/** Marks what is chosen other than stated, with what that is, and says of what comes to nothing why. */
export function markChosen({ choices, options }: PageData, chosen: Chosen, idle: readonly Idle[]): void {
  for (const control of controlsOf(document)) {
    const [id, scenario] = [control.dataset.choice ?? '', Number(control.dataset.of)]
    const choice = choices?.list.find((one) => one.id === id)
    const planned = choice?.planned[scenario]
    const other = chosen[scenario]?.has(id) ?? false
    control.closest('label')?.classList.toggle('moved', other)
    const why = idle.find((one) => one.id === id && one.scenario === scenario)?.why
    const note = byId(`i-${scenario}-${id}`)
    if (!note) continue
    note.classList.toggle('idle', why !== undefined)
    note.textContent =
      !other || !choice || planned === undefined
        ? ''
        : why === undefined
          ? `as planned: ${choice.kind === 'date' ? planned : optionWords(choice, options, planned)}`
          : `Changes nothing: ${why}.`
  }
}

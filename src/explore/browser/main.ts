// The page of trade-offs at work: runs in the browser, bundled when the package is built.
import { barPieces, barRoom, barWords, labelFits } from '../bars.js'
import type { PageData, PageInput } from '../page-data.js'
import { Calculator, type Figures, hashOf, isPlanned, movedFrom, setText, takenValue } from '../state.js'
import { turningPoints } from '../turning-points.js'
import {
  besideWords,
  carriageOf,
  changeWords,
  cheapest,
  containerNotes,
  fieldUnit,
  gapWords,
  headline,
  inputWords,
  NO_TURNING,
  type PageNote,
  plainNumber,
  rowText,
  turningWords,
} from '../words.js'

/** Milliseconds of rest after which what takes longer, or would talk over itself, is brought up to date. */
const REST = 350

const byId = (id: string): HTMLElement | null => document.getElementById(id)
const all = <T extends Element>(selector: string, from: ParentNode = document): T[] => [
  ...from.querySelectorAll<T>(selector),
]

function say(element: Element | null | undefined, text: string): void {
  if (element && element.textContent !== text) element.textContent = text
}

/** The elements of one input. */
interface Control {
  readonly input: PageInput
  readonly box: HTMLElement
  readonly number: HTMLInputElement
  readonly range: HTMLInputElement
  readonly unit: HTMLElement
  readonly wrong: HTMLElement
  readonly reset: HTMLButtonElement
}

function controls(data: PageData): Control[] {
  const boxes = new Map(all<HTMLElement>('[data-input]').map((box) => [box.dataset.input, box]))
  return data.inputs.flatMap((input) => {
    const box = boxes.get(input.id)
    const number = box?.querySelector<HTMLInputElement>('input[type=number]')
    const range = box?.querySelector<HTMLInputElement>('input[type=range]')
    const unit = box?.querySelector<HTMLElement>('.unit')
    const wrong = box?.querySelector<HTMLElement>('.wrong')
    const reset = box?.querySelector<HTMLButtonElement>('.reset')
    return box && number && range && unit && wrong && reset
      ? [{ input, box, number, range, unit, wrong, reset }]
      : []
  })
}

function start(data: PageData): void {
  const calculator = new Calculator(data)
  const planned = calculator.figures(new Map())
  const found = controls(data)
  const cells = all<HTMLElement>('[data-cell]').map((element) => {
    const [scenario = '', id = ''] = (element.dataset.cell ?? '').split(' ')
    const row = [...data.phases, ...data.rows].find((one) => one.id === id)
    return { element, scenario: Number(scenario), row }
  })
  const bars = all<SVGSVGElement>('[data-bar]').map((svg) => ({
    svg,
    scenario: Number(svg.dataset.bar),
    rects: all<SVGRectElement>('rect', svg),
    texts: all<SVGTextElement>('text', svg),
  }))
  const items = all<HTMLElement>('[data-scenario]')
  const numbered = (name: string): (readonly [HTMLElement, number])[] =>
    all<HTMLElement>(`[data-${name}]`).map((element) => [element, Number(element.dataset[name])] as const)
  const [sums, strips, gaps, changes, besides, fills] = [
    numbered('sum'),
    numbered('strip'),
    numbered('gap'),
    numbered('change'),
    numbered('beside'),
    numbered('fill'),
  ]
  let moved = new Map(movedFrom(data.inputs, location.hash))
  let frame = 0
  let rest = 0

  const standing = (input: PageInput): string =>
    moved.get(input.id) ?? input.planned[data.recommended] ?? input.likely

  function showControl({ input, box, number, range, unit, wrong, reset }: Control, except?: Element): void {
    const value = standing(input)
    const words = inputWords(input, Number(value))
    if (number !== except) {
      number.value = value
      number.removeAttribute('aria-invalid')
      wrong.hidden = true
    }
    if (range !== except) range.value = value
    range.setAttribute('aria-valuetext', words)
    say(unit, fieldUnit(input.unit, Number(value)))
    const changed = moved.has(input.id)
    box.classList.toggle('moved', changed)
    reset.disabled = !changed
  }

  function showBars(figures: readonly Figures[]): void {
    const room = barRoom(figures, planned)
    const pixels = bars[0]?.svg.clientWidth ?? 0
    for (const { svg, scenario, rects, texts } of bars) {
      const of = figures[scenario]
      if (!of) continue
      barPieces(data, of, room).forEach((piece, k) => {
        rects[k]?.setAttribute('x', `${piece.start}%`)
        rects[k]?.setAttribute('width', `${piece.width}%`)
        texts[k]?.setAttribute('x', `${piece.start + piece.width / 2}%`)
        texts[k]?.setAttribute('visibility', labelFits(piece, pixels) ? 'visible' : 'hidden')
      })
      const name = data.scenarios[scenario]?.name ?? ''
      svg.setAttribute('aria-label', `${name} by phase: ${barWords(data, of)}`)
    }
  }

  /** Everything that follows a slider while it moves. */
  function show(): void {
    frame = 0
    const figures = calculator.figures(moved)
    const total = (s: number): string =>
      `${data.currency}\u00a0${plainNumber(figures[s]?.get('cost.total') ?? Number.NaN, 0)}`
    for (const [element, s] of [...sums, ...strips]) say(element, total(s))
    for (const [element, s] of gaps) say(element, gapWords(data, figures, s))
    for (const [element, s] of changes)
      say(element, moved.size === 0 ? '' : changeWords(figures[s], planned[s]))
    for (const [element, s] of besides) say(element, besideWords(data, figures[s] ?? new Map()))
    for (const { element, scenario, row } of cells)
      if (row) say(element, rowText(row, figures[scenario]?.get(row.id)))
    for (const [element, s] of fills) {
      const [scenario, of] = [data.scenarios[s], figures[s]]
      const fill = scenario && of?.get(`options.${carriageOf(scenario, of)}.fill`)
      say(element, fill === undefined ? '\u2013' : `${plainNumber(fill * 100, 0)}\u00a0%`)
    }
    const least = cheapest(figures)
    if (data.scenarios.length > 1) {
      items.forEach((item, s) => {
        item.classList.toggle('least', s === least)
        const mark = item.querySelector<HTMLElement>('.cheap')
        if (mark) mark.hidden = s !== least
      })
    }
    say(byId('headline'), headline(data, figures, moved))
    showBars(figures)
    showNotes(containerNotes(data, figures, planned))
    const command = `${data.command} ${setText(data.inputs, moved)}`.trim()
    const text = byId('set-text')
    if (text instanceof HTMLTextAreaElement && text.value !== command) text.value = command
    const resetAll = byId('reset-all')
    if (resetAll instanceof HTMLButtonElement) resetAll.disabled = moved.size === 0
    say(byId('moved-count'), moved.size === 0 ? 'Nothing moved yet' : `${moved.size} moved`)
  }

  let shownNotes = ''
  function showNotes(notes: readonly PageNote[]): void {
    const key = JSON.stringify(notes)
    if (key === shownNotes) return
    shownNotes = key
    byId('notes')?.replaceChildren(
      ...notes.map(({ grave, text }) => {
        const item = document.createElement('li')
        if (grave) item.className = 'grave'
        item.append(text)
        return item
      }),
    )
  }

  /** What waits until the hand rests: the address, what is spoken, and what would change the order. */
  function settle(): void {
    rest = 0
    const hash = hashOf(data.inputs, moved)
    const address = hash === '' ? location.href.replace(/#.*$/, '') : `#${hash}`
    if (location.hash.replace(/^#/, '') !== hash) {
      try {
        history.replaceState(null, '', address)
      } catch {
        location.hash = hash
      }
    }
    const figures = calculator.figures(moved)
    say(
      byId('spoken'),
      `${headline(data, figures, moved)} ${containerNotes(data, figures, planned)
        .map((note) => note.text)
        .join(' ')}`,
    )
    const list = byId('turning')
    if (list) {
      const texts = turningPoints(calculator, moved)
        .slice(0, 5)
        .map((point) => turningWords(data, point))
      list.replaceChildren(
        ...(texts.length > 0 ? texts : [NO_TURNING]).map((text) => {
          const item = document.createElement('li')
          item.append(text)
          return item
        }),
      )
    }
  }

  function changed(): void {
    if (frame === 0) frame = requestAnimationFrame(show)
    clearTimeout(rest)
    rest = window.setTimeout(settle, REST)
  }

  function set(control: Control, value: string | undefined, except?: Element): void {
    if (value === undefined || isPlanned(control.input, value)) moved.delete(control.input.id)
    else moved.set(control.input.id, value)
    showControl(control, except)
    changed()
  }

  for (const control of found) {
    const { input, number, range, wrong, reset, box } = control
    range.addEventListener('input', () => set(control, takenValue(input, range.value), range))
    number.addEventListener('input', () => {
      const value = takenValue(input, number.value)
      wrong.hidden = value !== undefined
      if (value === undefined) {
        number.setAttribute('aria-invalid', 'true')
        number.setAttribute('aria-errormessage', wrong.id)
        return
      }
      number.removeAttribute('aria-invalid')
      set(control, value, number)
    })
    // A number that was not taken goes back to the one that counts.
    number.addEventListener('change', () => showControl(control))
    reset.addEventListener('click', () => {
      set(control, undefined)
      range.focus()
    })
    for (const button of all<HTMLButtonElement>('button[data-value]', box))
      button.addEventListener('click', () => set(control, takenValue(input, button.dataset.value ?? '')))
  }
  byId('reset-all')?.addEventListener('click', () => {
    moved = new Map()
    for (const control of found) showControl(control)
    changed()
  })
  window.addEventListener('hashchange', () => {
    moved = new Map(movedFrom(data.inputs, location.hash))
    for (const control of found) showControl(control)
    changed()
  })
  window.addEventListener('resize', changed)
  const copier = (id: string, words: string, text: () => string): void => {
    const button = byId(id)
    if (button instanceof HTMLButtonElement) button.disabled = false
    button?.addEventListener('click', () => {
      settle()
      copy(text()).then(
        () => say(byId('copied'), words),
        () => say(byId('copied'), 'Not allowed here: select the text and copy it.'),
      )
    })
  }
  copier('copy', 'Copied.', () => setText(data.inputs, moved) || data.command)
  copier('copy-link', 'Address copied.', () => location.href)
  for (const fieldset of all<HTMLFieldSetElement>('fieldset')) fieldset.disabled = false
  for (const control of found) showControl(control)
  show()
  if (moved.size > 0) settle()
}

/** Puts text on the clipboard; without leave to, by way of a selection, as a file opened from disk may need. */
async function copy(text: string): Promise<void> {
  if (navigator.clipboard) {
    try {
      await navigator.clipboard.writeText(text)
      return
    } catch {
      // The older way below is still open.
    }
  }
  const area = document.createElement('textarea')
  area.value = text
  area.className = 'said'
  document.body.append(area)
  area.select()
  const done = document.execCommand('copy')
  area.remove()
  if (!done) throw new Error('copying is not allowed here')
}

const text = byId('page-data')?.textContent
if (text) start(JSON.parse(text) as PageData)

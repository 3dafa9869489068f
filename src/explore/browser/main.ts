// The page of trade-offs at work: runs in the browser, bundled when the package is built.
import { barPieces, barRoom, barWords, labelFits } from '../bars.js'
import {
  type Chosen,
  choose,
  chosenCount,
  chosenFrom,
  chosenRows,
  chosenSetText,
  hashOfChosen,
  statedBy,
} from '../choices.js'
import { choicesHtml } from '../choices-html.js'
import { figureRowsHtml, scenariosHtml, stripHtml } from '../figures-html.js'
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
import { markChosen, Planning, showChosen } from './planning.js'

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

/** What shows figures, found again when the scenarios on the page are others. */
function shownFigures(data: PageData) {
  const numbered = (name: string): (readonly [HTMLElement, number])[] =>
    all<HTMLElement>(`[data-${name}]`).map((element) => [element, Number(element.dataset[name])] as const)
  return {
    cells: all<HTMLElement>('[data-cell]').map((element) => {
      const [scenario = '', id = ''] = (element.dataset.cell ?? '').split(' ')
      const row = [...data.phases, ...data.rows].find((one) => one.id === id)
      return { element, scenario: Number(scenario), row }
    }),
    bars: all<SVGSVGElement>('[data-bar]').map((svg) => ({
      svg,
      scenario: Number(svg.dataset.bar),
      rects: all<SVGRectElement>('rect', svg),
      texts: all<SVGTextElement>('text', svg),
    })),
    items: all<HTMLElement>('[data-scenario]'),
    sums: numbered('sum'),
    strips: numbered('strip'),
    gaps: numbered('gap'),
    changes: numbered('change'),
    besides: numbered('beside'),
    fills: numbered('fill'),
  }
}

function start(base: PageData): void {
  const basePlanned = new Calculator(base).figures(new Map())
  const found = controls(base)
  // What is shown: the page as it was made, or what the planner made of it last.
  let data = base
  let calculator = new Calculator(base)
  let planned = basePlanned
  let shown = shownFigures(base)
  let moved = new Map(movedFrom(base.inputs, location.hash))
  let chosen: Chosen = base.choices ? chosenFrom(base.choices, location.hash) : []
  let frame = 0
  let rest = 0
  /** Whether the figures are those of plans made anew with all that is moved and chosen. */
  let again = false

  const changes = (): number => moved.size + chosenCount(chosen)
  const hashNow = (): string =>
    [hashOf(base.inputs, moved), base.choices ? hashOfChosen(base.choices, chosen) : '']
      .filter((part) => part !== '')
      .join('&')
  const setNow = (): string =>
    [setText(base.inputs, moved), base.choices ? chosenSetText(base.choices, chosen) : '']
      .filter((part) => part !== '')
      .join(' ')

  const standing = (input: PageInput): string =>
    moved.get(input.id) ?? input.planned[base.recommended] ?? input.likely

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
    const pixels = shown.bars[0]?.svg.clientWidth ?? 0
    for (const { svg, scenario, rects, texts } of shown.bars) {
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
    for (const [element, s] of [...shown.sums, ...shown.strips]) say(element, total(s))
    for (const [element, s] of shown.gaps) say(element, gapWords(data, figures, s))
    for (const [element, s] of shown.changes)
      say(element, changes() === 0 ? '' : changeWords(figures[s], planned[s]))
    for (const [element, s] of shown.besides) say(element, besideWords(data, figures[s] ?? new Map()))
    for (const { element, scenario, row } of shown.cells)
      if (row) say(element, rowText(row, figures[scenario]?.get(row.id)))
    for (const [element, s] of shown.fills) {
      const [scenario, of] = [data.scenarios[s], figures[s]]
      const fill = scenario && of?.get(`options.${carriageOf(scenario, of)}.fill`)
      say(element, fill === undefined ? '\u2013' : `${plainNumber(fill * 100, 0)}\u00a0%`)
    }
    const least = cheapest(figures)
    if (data.scenarios.length > 1) {
      shown.items.forEach((item, s) => {
        item.classList.toggle('least', s === least)
        const mark = item.querySelector<HTMLElement>('.cheap')
        if (mark) mark.hidden = s !== least
      })
    }
    say(byId('headline'), headline(data, figures, { size: changes() }, again))
    showBars(figures)
    showNotes(containerNotes(data, figures, planned))
    const command = `${base.command} ${setNow()}`.trim()
    const text = byId('set-text')
    if (text instanceof HTMLTextAreaElement && text.value !== command) text.value = command
    const resetAll = byId('reset-all')
    if (resetAll instanceof HTMLButtonElement) resetAll.disabled = changes() === 0
    say(byId('moved-count'), changes() === 0 ? 'Nothing moved yet' : `${changes()} moved`)
    showRows()
  }

  /** What a command cannot set, because scenarios differ in it. */
  function showRows(): void {
    const [box, text] = [byId('rows'), byId('rows-text')]
    if (!base.choices || !box || !(text instanceof HTMLTextAreaElement)) return
    const rows = chosenRows(base.choices, chosen)
    box.hidden = rows === ''
    if (text.value !== rows) text.value = rows
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
    const hash = hashNow()
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
      `${headline(data, figures, { size: changes() }, again)} ${containerNotes(data, figures, planned)
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
    again = false
    if (frame === 0) frame = requestAnimationFrame(show)
    clearTimeout(rest)
    rest = window.setTimeout(settle, REST)
    markChosen(base, chosen, [])
    planner?.wish({ chosen, moved: new Map(moved) }, changes() > 0)
  }

  /** Puts other plans on the page: the same controls, figures of scenarios that may be others. */
  function put(now: PageData, isAgain: boolean): void {
    data = now
    calculator = new Calculator(now)
    planned = now.scenarios.map(({ name }, s) => {
      const stated = base.choices ? statedBy(base.choices, name) : s
      const own = base.scenarios.findIndex((one) => one.name === name)
      const of =
        own >= 0 ? own : base.scenarios.findIndex((one) => one.name === base.choices?.scenarios[stated]?.name)
      return basePlanned[of] ?? new Map()
    })
    again = isAgain
    const figures = calculator.figures(moved)
    const put = (selector: string, html: string): void => {
      const place = document.querySelector(selector)
      if (place) place.innerHTML = html
    }
    put('.strip', stripHtml(now, figures))
    put('ol.scenarios', scenariosHtml(now, figures, now === base))
    put('.table table', figureRowsHtml(now, figures))
    shown = shownFigures(now)
    show()
    settle()
  }

  const planner =
    base.choices &&
    new Planning(base, base.choices, {
      planned: ({ data: now, idle }) => {
        put(now, true)
        markChosen(base, chosen, idle)
      },
      stated: () => {
        if (data !== base) put(base, false)
      },
      chosen: (choice, scenario, word) => {
        chosen = choose(chosen, choice, scenario, word)
        changed()
      },
    })

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
  function standAt(hash: string): void {
    moved = new Map(movedFrom(base.inputs, hash))
    if (base.choices) {
      chosen = chosenFrom(base.choices, hash)
      showChosen(base.choices, chosen)
    }
    for (const control of found) showControl(control)
    changed()
  }
  byId('reset-all')?.addEventListener('click', () => standAt(''))
  window.addEventListener('hashchange', () => {
    if (location.hash.replace(/^#/, '') !== hashNow()) standAt(location.hash)
  })
  window.addEventListener('resize', () => {
    if (frame === 0) frame = requestAnimationFrame(show)
  })
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
  copier('copy', 'Copied.', () => setNow() || base.command)
  copier('copy-link', 'Address copied.', () => location.href)
  for (const fieldset of all<HTMLFieldSetElement>('fieldset')) fieldset.disabled = false
  for (const control of found) showControl(control)
  if (base.choices && planner) {
    const place = byId('choices')
    if (place) place.innerHTML = choicesHtml(base.choices, base.options, chosen)
    planner.listen(place)
    markChosen(base, chosen, [])
  }
  show()
  if (changes() > 0) {
    settle()
    planner?.wish({ chosen, moved: new Map(moved) }, true)
  }
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

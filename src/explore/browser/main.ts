// The page of trade-offs at work: runs in the browser, bundled when the package is built.
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
import { Calculator, hashOf, isPlanned, movedFrom, setText, takenValue } from '../state.js'
import { turningPoints } from '../turning-points.js'
import { containerNotes, headline, NO_TURNING, type PageNote, turningWords } from '../words.js'
import { copy } from './clipboard.js'
import { type Control, controls, showControl } from './controls.js'
import { all, byId, say } from './elements.js'
import { showFigures, shownFigures } from './figures.js'
import { markChosen, Planning, showChosen } from './planning.js'

/** Milliseconds of rest after which what takes longer, or would talk over itself, is brought up to date. */
const REST = 350

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

  const standControl = (control: Control, except?: Element): void =>
    showControl(control, standing(control.input), moved.has(control.input.id), except)

  /** Everything that follows a slider while it moves. */
  function show(): void {
    frame = 0
    const figures = calculator.figures(moved)
    showFigures(shown, data, figures, planned, changes() > 0)
    say(byId('headline'), headline(data, figures, { size: changes() }, again))
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
    standControl(control, except)
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
    number.addEventListener('change', () => standControl(control))
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
    for (const control of found) standControl(control)
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
  for (const control of found) standControl(control)
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

const text = byId('page-data')?.textContent
if (text) start(JSON.parse(text) as PageData)

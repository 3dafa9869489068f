// The page of an open household: puts the parts together and carries what happens in one to the others.
import { csvSheet } from '../../tables/csv-edit.js'
import { isUnlikely, type Problem, problemText } from '../../tables/problem.js'
import type { Texts } from '../edits.js'
import type { ReferenceTexts } from '../protocol.js'
import { AnswersPane } from './answers.js'
import { Book } from './book.js'
import { Charts } from './charts.js'
import { Choices } from './choices.js'
import { button, el, refill, say, setText } from './dom.js'
import { ExplainBox } from './explain-box.js'
import { Home } from './home.js'
import { setText as textIntent } from './intents.js'
import type { Answers, Found, Lists } from './model.js'
import { PapersPane } from './papers-pane.js'
import type { FromPlan, ToPlan } from './plan-worker.js'
import { type Planner, Planners, plannersFor } from './planners.js'
import type { FromStudy, ToStudy } from './study-worker.js'
import { Things } from './things.js'

/** How long the household must stay as it is before the slow figures are worked out anew, ms. */
const STUDY_AFTER_MS = 700

const book = new Book()
let lists: Lists | undefined
let problems: readonly Problem[] = []
let reference: ReferenceTexts | undefined
let answers: Extract<Answers, { ok: true }> | undefined

// Figures for whoever measures the page: when it could first be used, how long each change took to reach the totals,
// until they were sure, and then all that is said beside them, and how much is still on its way.
const measured = {
  usable: 0,
  delays: [] as number[],
  sure: [] as number[],
  plans: [] as number[],
  whole: [] as number[],
}
Object.assign(window, {
  quaybook: {
    measured,
    totals: () => pane.totals,
    waiting: () => book.waiting + asked.size,
    packed: () => pane.packed,
  },
})

const planner = new Planners(
  Array.from(
    { length: plannersFor(navigator.hardwareConcurrency) },
    (): Planner => new Worker(new URL('/page/plan.js', location.origin), { type: 'module' }),
  ),
  hearPlan,
)
const ask = (message: ToPlan): void => planner.ask(message)
let turn = 0
/** What packing found last: a change of the household keeps it until the containers are packed again. */
let found: Found | undefined
let planned = 0
/** Of each plan on its way: the edit it follows from, when that was made, and whether it is only tried. */
const asked = new Map<number, { why: string; at: number; trial: boolean; shown?: boolean }>()

function plan(texts: Texts, why: string, trial = false): void {
  turn += 1
  asked.set(turn, { why, at: performance.now(), trial })
  ask({ ask: 'plan', turn, texts, found: found ?? {}, packed: false })
}

const box = new ExplainBox()
const explaining = new Map<number, string>()
let explainCount = 0
const pane = new AnswersPane({
  explain: (scenario, cell) => {
    explainCount += 1
    explaining.set(explainCount, scenario)
    box.open()
    ask({ ask: 'explain', id: explainCount, scenario, cell })
  },
})

const context = { book, lists: () => lists, problems: () => problems }
const home = new Home(
  book,
  () => problems,
  () => lists,
)
const things = new Things({
  ...context,
  currency: () => factOf('currency'),
  wantLeaving: (line) => ask({ ask: 'leaving', line }),
})
const choices = new Choices({
  ...context,
  wantNumbers: () => ask({ ask: 'numbers' }),
  preview: (texts) => texts && plan(texts, '', true),
})
const charts = new Charts()
const papers = new PapersPane(book)
const notebookPlace = el('section', { id: 'notebooks', 'aria-label': 'Notebooks' }, el('h2', {}, 'Notebooks'))

function factOf(name: string): string {
  const sheet = csvSheet(book.texts['household.csv'] ?? '')
  const row = sheet?.rows.find(({ cells }) => cells[0]?.value === name)
  return row?.cells[1]?.value ?? ''
}

// Parts of the page, one at a time in view.
const PARTS = [
  ['home', 'Home and people', home.root],
  ['things', 'Things', things.root],
  ['choices', 'Choices', choices.root],
  ['charts', 'Charts', charts.root],
  ['notebooks', 'Notebooks', notebookPlace],
  ['papers', 'Papers', papers.root],
] as const
type Part = (typeof PARTS)[number][0]
let inView: Part = 'things'
const links = new Map<Part, HTMLButtonElement>()

function view(part: Part): void {
  inView = part
  for (const [id, , root] of PARTS) {
    root.hidden = id !== part
    links.get(id)?.setAttribute('aria-current', String(id === part))
  }
  if (part === 'charts') study()
  if (part === 'choices') ask({ ask: 'numbers' })
  if (part === 'notebooks') void openNotebooks()
  history.replaceState(null, '', `#${part}`)
}

let notebooks: { hear(message: unknown): void; changed(): void } | undefined
async function openNotebooks(): Promise<void> {
  if (notebooks) return
  const { Notebooks } = await import('./notebooks.js')
  notebooks ??= new Notebooks(book, notebookPlace)
}

const title = el('h1', {}, 'Quaybook')
const route = el('p', { class: 'route' })
const standing = el('p', { class: 'standing', role: 'status' })
const word = el('p', { class: 'word', role: 'alert', hidden: true })
const undo = button('Undo', () => book.undo())
const redo = button('Redo', () => book.redo())
const save = button('Save', () => book.save(), { class: 'main' })
const past = el('ol', { reversed: true })
const conflictPlace = el('div')
const problemPlace = el('div')

function tell(text: string): void {
  word.textContent = text
  word.hidden = text === ''
}

const nav = el('nav', { 'aria-label': 'Parts of the page' })
for (const [id, label] of PARTS) {
  const link = button(label, () => view(id))
  links.set(id, link)
  nav.append(link)
}

document.body.prepend(
  el(
    'header',
    {},
    el('div', { class: 'name' }, title, route),
    el(
      'div',
      { class: 'row keep' },
      undo,
      redo,
      save,
      el('details', { class: 'past' }, el('summary', {}, 'History'), past),
    ),
    standing,
    word,
    nav,
  ),
  el('main', {}, conflictPlace, problemPlace, ...PARTS.map(([, , root]) => root)),
  pane.root,
  box.root,
)

document.addEventListener('keydown', (event) => {
  if (!(event.ctrlKey || event.metaKey)) return
  const key = event.key.toLowerCase()
  const inEditor = event.target instanceof Element && event.target.closest('.cm-editor, textarea') !== null
  if (key === 's') {
    event.preventDefault()
    if (document.activeElement instanceof HTMLElement && !inEditor) document.activeElement.blur()
    book.save()
  } else if (key === 'z' && !inEditor && !isTyping(event.target)) {
    event.preventDefault()
    if (event.shiftKey) book.redo()
    else book.undo()
  } else if (key === 'y' && !inEditor && !isTyping(event.target)) {
    event.preventDefault()
    book.redo()
  }
})

/** Whether a field holds typing that is not taken yet: there the browser's own undo is meant. */
const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement &&
  target.type === 'text' &&
  target.value !== (target.dataset.filed ?? '')

book.listen((news) => {
  switch (news.kind) {
    case 'texts':
      plan(book.texts, news.why)
      show()
      notebooks?.changed()
      return
    case 'standing':
      return showStanding()
    case 'word':
      say(news.text)
      return tell(/^Saved|^Nothing/.test(news.text) ? '' : news.text)
    case 'paper':
      return papers.show(news.paper, news.state)
    case 'notebook':
      return notebooks?.hear(news.message)
  }
})

function show(): void {
  const name = factOf('name')
  setText(title, name || book.folder || 'Quaybook')
  document.title = `${name || book.folder} · Quaybook`
  const [from, to] = [factOf('origin_place'), factOf('destination_place')]
  setText(route, from && to ? `${from} to ${to}` : '')
  if (!lists) return
  home.show()
  things.show()
  choices.show()
}

function showStanding(): void {
  const { unsaved, online, waiting, names, done } = book
  const parts = [
    online
      ? ''
      : 'The program behind this page has ended or cannot be reached. What was confirmed is kept; start it again and reload.',
    unsaved.length > 0
      ? `Not saved into the files yet: ${unsaved.join(', ')}. It is kept all the same.`
      : online
        ? 'Everything is saved.'
        : '',
    waiting > 0 ? `${waiting} ${waiting === 1 ? 'change is' : 'changes are'} on the way.` : '',
  ]
  setText(standing, parts.filter(Boolean).join(' '))
  undo.disabled = done === 0
  redo.disabled = done === names.length
  save.disabled = unsaved.length === 0
  undo.title = names[done - 1] ?? ''
  redo.title = names[done] ?? ''
  const from = Math.max(0, names.length - 200)
  refill(
    past,
    ...names
      .slice(from)
      .map((name, i) => el('li', { class: from + i < done ? '' : 'undone' }, name))
      .reverse(),
  )
  refill(conflictPlace, ...book.conflicts.map(conflictNotice))
}

function conflictNotice({ file, mine, disk }: (typeof book.conflicts)[number]): HTMLElement {
  const settle = (keep: 'mine' | 'disk') => () => book.send({ kind: 'settle', file, keep })
  const side = (heading: string, text: string | null, other: string | null): HTMLElement => {
    const others = new Set((other ?? '').split(/\r\n|\n/))
    const lines =
      text === null ? ['(the file is not there)'] : text.split(/\r\n|\n/).filter((line) => !others.has(line))
    return el(
      'div',
      {},
      el('h4', {}, heading),
      el('pre', {}, lines.slice(0, 40).join('\n') || '(nothing that the other lacks)'),
    )
  }
  return el(
    'section',
    { class: 'notice', 'aria-label': `${file} changed on the disk` },
    el('h3', {}, `${file} was changed on the disk by something else`),
    el('p', {}, 'Both are kept until you say which one counts. Lines that only one of them has:'),
    el('div', { class: 'sides' }, side('Here', mine, disk), side('On the disk', disk, mine)),
    el(
      'div',
      { class: 'row' },
      button('Keep what is here', settle('mine')),
      button('Take what is on the disk', settle('disk')),
    ),
  )
}

function showProblems(): void {
  const all = [...book.unreadable, ...problems.filter((problem) => !isUnlikely(problem))]
  const questions = problems.filter(isUnlikely)
  const broken = [
    ...new Set(all.filter(({ column }) => column === 'line' || column === 'header').map(({ file }) => file)),
  ].filter((file) => book.texts[file] !== undefined)
  refill(
    problemPlace,
    all.length > 0 &&
      el(
        'details',
        { class: 'notice', open: all.length <= 12 },
        el('summary', {}, `${all.length} ${all.length === 1 ? 'problem' : 'problems'} to put right`),
        el('ul', {}, ...all.slice(0, 100).map((problem) => el('li', {}, problemText(problem)))),
        ...broken.map(asText),
      ),
    questions.length > 0 &&
      el(
        'details',
        { class: 'notice asked' },
        el(
          'summary',
          {},
          `${questions.length} unlikely ${questions.length === 1 ? 'figure' : 'figures'}: right, or a slip?`,
        ),
        el(
          'ul',
          {},
          ...questions.slice(0, 100).map((problem) =>
            el(
              'li',
              {},
              problemText(problem),
              ' ',
              button('It is right', () => things.confirm(problem), { class: 'small' }),
            ),
          ),
        ),
      ),
  )
}

/** A file that is no table at the moment, to be put right as text. */
function asText(file: string): HTMLElement {
  const area = el('textarea', { rows: 10, 'aria-label': `${file} as text`, spellcheck: 'false' })
  area.value = book.texts[file] ?? ''
  return el(
    'div',
    {},
    el('h4', {}, `${file} as text`),
    area,
    button('Take this text', () =>
      tell(book.edit(`${file} changed as text`, textIntent(file, area.value)) ?? ''),
    ),
  )
}

function hearPlan(data: FromPlan): void {
  switch (data.tell) {
    case 'lists':
      lists = data.lists
      show()
      if (book.online) plan(book.texts, '')
      return
    case 'figures': {
      const about = asked.get(data.turn)
      if (!about || data.turn < planned) return
      if (!pane.showFigures(data, about.why, found ? 'before' : 'volume', about.trial)) return
      if (!about.shown) measured.plans.push(data.ms)
      if (about.why !== '') {
        const into = [...(about.shown ? [] : [measured.delays]), ...(data.sure ? [measured.sure] : [])]
        requestAnimationFrame(() => {
          for (const times of into) times.push(performance.now() - about.at)
        })
      }
      // Said once: what follows sure figures brings no other figure.
      asked.set(data.turn, { ...about, shown: true, why: data.sure ? '' : about.why })
      return
    }
    case 'answers': {
      if (data.packed) {
        if (data.turn !== turn) return
        pane.show(data.answers, '', 'packed')
        return
      }
      const about = asked.get(data.turn)
      for (const old of asked.keys()) if (old <= data.turn) asked.delete(old)
      if (!about || data.turn < planned) return
      planned = data.turn
      if (!about.trial) {
        problems = data.answers.ok ? data.answers.questions : data.answers.problems
        showProblems()
      }
      pane.show(data.answers, about.why, found ? 'before' : 'volume', about.trial)
      requestAnimationFrame(() => {
        if (about.why !== '') {
          measured.delays.push(performance.now() - about.at)
          measured.sure.push(performance.now() - about.at)
        }
        measured.whole.push(performance.now() - about.at)
        if (measured.usable === 0) measured.usable = performance.now()
      })
      if (about.trial) return
      if (data.answers.ok) {
        answers = data.answers
        choices.choicesAre(answers.choices)
        papers.scenariosAre(answers.scenarios.map(({ name }) => name))
        later()
      }
      if (book.texts['inventory.csv'] !== undefined) things.show()
      home.show()
      choices.show()
      return
    }
    case 'explained': {
      const scenario = explaining.get(data.id) ?? ''
      explaining.delete(data.id)
      if (data.explained) box.show(scenario, data.explained)
      else box.refuse(data.why ?? '')
      return
    }
    case 'numbers':
      choices.numbersAre(data.numbers)
      return
    case 'leaving':
      things.leavingIs(data.line, data.savings)
      return
    case 'trouble':
      tell(`Something in the calculation failed: ${data.why}`)
      return
  }
}

// The slow figures: begun when the household has been left alone for a moment, ended when it changes before they come.
let studying: { worker: Worker; turn: number; charts: boolean } | undefined
let studied = { turn: -1, charts: -1 }
let timer: number | undefined

function later(): void {
  clearTimeout(timer)
  if (inView === 'charts') charts.working()
  timer = window.setTimeout(study, STUDY_AFTER_MS)
}

function study(): void {
  const wantsCharts = inView === 'charts'
  if (!reference || !answers || !pane.calculated) return
  const at = planned
  if (studied.turn === at && (!wantsCharts || studied.charts === at)) return
  if (studying && studying.turn === at && (studying.charts || !wantsCharts)) return
  if (studying) {
    studying.worker.terminate()
    pane.packing('')
    studying = undefined
  }
  if (wantsCharts) charts.working()
  const worker = idle ?? new Worker(new URL('/page/study.js', location.origin), { type: 'module' })
  idle = undefined
  studying = { worker, turn: at, charts: wantsCharts }
  worker.onmessage = ({ data }: MessageEvent<FromStudy>) => heardStudy(worker, data)
  const message: ToStudy = {
    reference,
    texts: book.texts,
    rooms: book.rooms,
    turn: at,
    charts: wantsCharts,
    theme: reference.theme,
  }
  worker.postMessage(message)
}

/** A worker that has done its work and waits for the next. */
let idle: Worker | undefined

function heardStudy(worker: Worker, data: FromStudy): void {
  // Kept also of a household that has changed since: the same question may come again.
  if (data.tell === 'packing' || data.tell === 'packed') book.packed(data.rooms)
  if (data.turn !== planned || studying?.worker !== worker) return
  if (data.tell === 'packing') {
    pane.packing(data.text)
    return
  }
  if (data.tell === 'packed') {
    found = data.found
    pane.packing('')
    pane.advise(data.advice)
    ask({ ask: 'plan', turn: data.turn, texts: book.texts, found, packed: true })
    return
  }
  if (data.tell === 'spread') {
    pane.spread(data.spreads)
    studied = { ...studied, turn: data.turn }
  } else if (data.tell === 'charts') {
    studied = { ...studied, charts: data.turn }
    void charts.show(data.charts, data.recommended).catch((error: unknown) => charts.failed(String(error)))
  } else {
    pane.packing(`The containers could not be packed, or the rest not be worked out: ${data.why}`)
    if (studying.charts) charts.failed(data.why)
  }
  const done = data.tell === 'trouble' || data.tell === 'charts' || !studying.charts
  if (!done) return
  idle = worker
  studying = undefined
}

async function begin(): Promise<void> {
  view(PARTS.find(([id]) => `#${id}` === location.hash)?.[0] ?? 'things')
  book.connect()
  const answer = await fetch('/reference.json')
  reference = (await answer.json()) as ReferenceTexts
  ask({ ask: 'read', reference })
}

void begin().catch((error: unknown) => tell(`The page could not be set up: ${String(error)}. Load it again.`))

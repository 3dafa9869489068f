// The page of an open household: puts the parts together and carries what happens in one to the others.
import { csvSheet } from '../../tables/csv-edit.js'
import type { Problem } from '../../tables/problem.js'
import type { ReferenceTexts } from '../protocol.js'
import { AnswersPane } from './answers.js'
import { Book } from './book.js'
import { Charts } from './charts.js'
import { Choices } from './choices.js'
import { button, el, refill, say, setText } from './dom.js'
import { ExplainBox } from './explain-box.js'
import { Home } from './home.js'
import { InputCells } from './input-cells.js'
import type { Lists } from './lists.js'
import { conflictNotice, problemNotices } from './notices.js'
import { PapersPane } from './papers-pane.js'
import type { FromPlan, ToPlan } from './plan-worker.js'
import { type Planner, Planners, plannersFor } from './planners.js'
import type { Answers } from './scenario-answers.js'
import { Studies } from './studies.js'
import { Things } from './things.js'
import { Turns } from './turns.js'

const book = new Book()
let lists: Lists | undefined
let problems: readonly Problem[] = []
let reference: ReferenceTexts | undefined

const planner = new Planners(
  Array.from(
    { length: plannersFor(navigator.hardwareConcurrency) },
    (): Planner => new Worker(new URL('/page/plan.js', location.origin), { type: 'module' }),
  ),
  hearPlan,
)
const ask = (message: ToPlan): void => planner.ask(message)

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

const turns = new Turns({ ask, pane, answered, shown: (then) => requestAnimationFrame(then) })

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
const cells = new InputCells({
  book,
  preview: (texts) => turns.plan(texts ?? book.texts, '', texts !== undefined),
})
const choices = new Choices({ ...context, cells, wantNumbers: () => ask({ ask: 'numbers' }) })
const charts = new Charts()
const papers = new PapersPane(book)
const studies = new Studies({
  book,
  reference: () => reference,
  worker: () => new Worker(new URL('/page/study.js', location.origin), { type: 'module' }),
  pane,
  charts,
  wantsCharts: () => inView === 'charts',
  planned: () => turns.planned,
  packed: (turn, found) => turns.packed(turn, book.texts, found),
})

// For whoever measures the page.
Object.assign(window, {
  quaybook: {
    measured: turns.measured,
    totals: () => pane.totals,
    waiting: () => book.waiting + turns.waiting,
    packed: () => pane.packed,
  },
})

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
  showPart()
  if (part === 'charts') studies.now()
  if (part === 'choices' || part === 'notebooks') ask({ ask: 'numbers' })
  if (part === 'notebooks') void openNotebooks()
  history.replaceState(null, '', `#${part}`)
}

let notebooks: { hear(message: unknown): void; changed(): void } | undefined
async function openNotebooks(): Promise<void> {
  if (notebooks) return
  const { Notebooks } = await import('./notebooks.js')
  notebooks ??= new Notebooks(book, notebookPlace, cells)
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
      turns.plan(book.texts, news.why)
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
  // Where nothing has been entered yet, this is what comes first.
  if (!greeted && lists && book.online && book.texts['household.csv'] === undefined) view('home')
  greeted ||= lists !== undefined && book.online
  showPart()
}

let greeted = false

/** Brings the part in view up to the household; the others are when they come into view. */
function showPart(): void {
  if (!lists) return
  if (inView === 'home') home.show()
  if (inView === 'things') things.show()
  if (inView === 'choices') choices.show()
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
  refill(conflictPlace, ...book.conflicts.map((conflict) => conflictNotice(book, conflict)))
}

function showProblems(): void {
  refill(
    problemPlace,
    ...problemNotices(book, problems, { confirm: (problem) => things.confirm(problem), tell }),
  )
}

function hearPlan(data: FromPlan): void {
  switch (data.tell) {
    case 'lists':
      lists = data.lists
      show()
      if (book.online) turns.plan(book.texts, '')
      return
    case 'figures':
      turns.figures(data)
      return
    case 'answers':
      turns.answers(data)
      return
    case 'explained': {
      const scenario = explaining.get(data.id) ?? ''
      explaining.delete(data.id)
      if (data.explained) box.show(scenario, data.explained)
      else box.refuse(data.why ?? '')
      return
    }
    case 'numbers':
      choices.numbersAre(data.numbers)
      notebooks?.changed()
      return
    case 'leaving':
      things.leavingIs(data.line, data.savings)
      return
    case 'trouble':
      turns.failed(data)
      tell(`Something in the calculation failed: ${data.why}`)
      return
  }
}

function answered(answers: Answers): void {
  problems = answers.ok ? answers.questions : answers.problems
  showProblems()
  if (answers.ok) {
    cells.choices = answers.choices
    papers.scenariosAre(answers.scenarios.map(({ name }) => name))
    studies.later()
  }
  showPart()
}

async function begin(): Promise<void> {
  view(PARTS.find(([id]) => `#${id}` === location.hash)?.[0] ?? 'things')
  book.connect()
  const answer = await fetch('/reference.json')
  reference = (await answer.json()) as ReferenceTexts
  ask({ ask: 'read', reference })
}

void begin().catch((error: unknown) => tell(`The page could not be set up: ${String(error)}. Load it again.`))

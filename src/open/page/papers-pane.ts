// Papers to give away, made from the household as edited: the brief, a page for the phone, the workbook, the load plan.
import type { Paper, PaperState } from '../protocol.js'
import type { Book } from './book.js'
import { button, el, refill, select, setText } from './dom.js'

const PAPERS: readonly (readonly [paper: Paper, title: string, says: string])[] = [
  [
    'brief',
    'The brief',
    'Everything on paper: what it costs, which container, dates, customs, cautions. To read, print and send.',
  ],
  [
    'explore',
    'A page for the phone',
    'One file that opens without this program: move inputs and see the totals follow; nothing can be changed in your files.',
  ],
  ['workbook', 'The workbook', 'A spreadsheet whose cells are live formulas.'],
  ['customs', 'Papers for customs', 'The list of things as customs asks for it.'],
  [
    'load',
    'The load plan',
    'The container packed piece by piece, with a picture of each stage and a view to turn. It searches in the background; stop takes the best found so far.',
  ],
]

interface Row {
  readonly state: HTMLElement
  readonly make: HTMLButtonElement
  readonly stop: HTMLButtonElement
  readonly files: HTMLElement
}

export class PapersPane {
  readonly root = el('section', { id: 'papers', 'aria-label': 'Papers' })
  readonly #rows = new Map<Paper, Row>()
  readonly #scenario = el('div')
  readonly #view = el('div')
  #chosen = ''

  constructor(readonly book: Book) {
    const parts = PAPERS.map(([paper, title, says]) => {
      const row: Row = {
        state: el('p', { class: 'fine', role: 'status' }),
        make: button('Make it', () => this.#make(paper), { 'aria-label': `Make it: ${title}` }),
        stop: button('Stop', () => book.send({ kind: 'stop-paper', paper }), {
          hidden: true,
          'aria-label': `Stop: ${title}`,
        }),
        files: el('ul'),
      }
      this.#rows.set(paper, row)
      return el(
        'section',
        { class: 'paper' },
        el('h3', {}, title),
        el('p', {}, says),
        el('div', { class: 'row' }, row.make, row.stop),
        row.state,
        row.files,
      )
    })
    this.root.append(
      el('h2', {}, 'Papers'),
      el(
        'p',
        { class: 'fine' },
        'They are made from what stands on this page, saved or not, and lie in the folder “papers” beside your files.',
      ),
      this.#scenario,
      ...parts,
      this.#view,
    )
  }

  scenariosAre(names: readonly string[]): void {
    if (!names.includes(this.#chosen)) this.#chosen = names[0] ?? ''
    const pick = select(
      'Scenario of the load plan and the customs papers',
      names.map((name) => [name, name] as const),
      this.#chosen,
      (name) => {
        this.#chosen = name
      },
    )
    refill(
      this.#scenario,
      el(
        'label',
        { class: 'pair' },
        el('span', {}, 'Scenario of the load plan and the customs papers'),
        pick,
      ),
    )
  }

  show(paper: Paper, state: PaperState): void {
    const row = this.#rows.get(paper)
    if (!row) return
    const working = state.state === 'working'
    row.make.disabled = working
    row.stop.hidden = !working
    setText(
      row.state,
      `${working ? 'At work: ' : state.state === 'failed' ? 'It did not work: ' : 'Done. '}${state.text}`,
    )
    if (state.state !== 'made') return
    refill(
      row.files,
      ...state.files.map((file) =>
        el(
          'li',
          {},
          el(
            'a',
            {
              href: `/papers/${file}`,
              target: '_blank',
              rel: 'noopener',
              download: file.endsWith('.html') ? undefined : file,
            },
            file,
          ),
        ),
      ),
    )
    if (paper === 'load' && state.files.includes('load.html'))
      refill(
        this.#view,
        el('h3', {}, 'The load'),
        el('iframe', {
          src: '/papers/load.html',
          title: 'The load plan, to be turned',
          sandbox: 'allow-scripts',
        }),
      )
  }

  #make(paper: Paper): void {
    const scenario = this.#chosen === '' ? {} : { scenario: this.#chosen }
    this.book.send({
      kind: 'paper',
      paper,
      ...(paper === 'load' || paper === 'customs' ? scenario : {}),
      ...(paper === 'load' ? { seconds: 20 } : {}),
    })
  }
}

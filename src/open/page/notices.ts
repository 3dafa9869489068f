// What stands above the parts of the page: problems to put right, figures asked about, files changed on the disk.
import { isUnlikely, type Problem, problemText } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el } from './dom.js'
import { setText } from './intents.js'

/** Most problems that are listed: nobody puts more right before looking again. */
const MOST_LISTED = 100

/** A file that something else wrote while it was being edited: both sides, and which one counts. */
export function conflictNotice(book: Book, { file, mine, disk }: Book['conflicts'][number]): HTMLElement {
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

export interface NoticeActs {
  /** Says that an unlikely figure is meant. */
  readonly confirm: (problem: Problem) => void
  /** Says why something could not be done; '' where it could. */
  readonly tell: (text: string) => void
}

/** What is wrong with the files, and what is unlikely in them. */
export function problemNotices(
  book: Book,
  problems: readonly Problem[],
  { confirm, tell }: NoticeActs,
): (HTMLElement | false)[] {
  const all = [...book.unreadable, ...problems.filter((problem) => !isUnlikely(problem))]
  const questions = problems.filter(isUnlikely)
  const broken = [
    ...new Set(all.filter(({ column }) => column === 'line' || column === 'header').map(({ file }) => file)),
  ].filter((file) => book.texts[file] !== undefined)
  return [
    all.length > 0 &&
      el(
        'details',
        { class: 'notice', open: all.length <= 12 },
        el('summary', {}, `${all.length} ${all.length === 1 ? 'problem' : 'problems'} to put right`),
        el('ul', {}, ...all.slice(0, MOST_LISTED).map((problem) => el('li', {}, problemText(problem)))),
        ...broken.map((file) => asText(book, file, tell)),
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
          ...questions.slice(0, MOST_LISTED).map((problem) =>
            el(
              'li',
              {},
              problemText(problem),
              ' ',
              button('It is right', () => confirm(problem), { class: 'small' }),
            ),
          ),
        ),
      ),
  ]
}

/** A file that is no table at the moment, to be put right as text. */
function asText(book: Book, file: string, tell: (text: string) => void): HTMLElement {
  const area = el('textarea', { rows: 10, 'aria-label': `${file} as text`, spellcheck: 'false' })
  area.value = book.texts[file] ?? ''
  return el(
    'div',
    {},
    el('h4', {}, `${file} as text`),
    area,
    button('Take this text', () =>
      tell(book.edit(`${file} changed as text`, setText(file, area.value)) ?? ''),
    ),
  )
}

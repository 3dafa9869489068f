// The notebooks there are, and the field in which a new one is begun.
import type { Book } from './book.js'
import { button, el } from './dom.js'

/** A button for each notebook, the open one marked. */
export const notebookButtons = (
  book: Book,
  openName: string,
  open: (name: string) => void,
): HTMLButtonElement[] =>
  book.notebooks.map(({ name, title, own }) =>
    button(own ? `${title} (yours)` : title, () => open(name), { 'aria-current': String(name === openName) }),
  )

/** The title of a new notebook and the button that begins it. */
export function beginRow(begin: (title: string) => void): HTMLElement {
  const title = el('input', {
    type: 'text',
    'aria-label': 'Title of a new notebook',
    placeholder: 'A new notebook',
  })
  const take = (): void => {
    const words = title.value.trim()
    if (words === '') {
      title.focus()
      return
    }
    begin(words)
    title.value = ''
  }
  return el('div', { class: 'row' }, title, button('Begin', take))
}

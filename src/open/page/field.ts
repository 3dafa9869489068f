// A cell that is typed into: what it says is understood, refused beside it, or asked about.
import { el, freshId, setText } from './dom.js'
import { type Understood, understoodDay } from './understand.js'

export interface FieldFacts {
  readonly label: string
  /** Id of the datalist that offers words. */
  readonly list?: string
  readonly mode?: 'decimal' | 'text'
  readonly placeholder?: string
  readonly type?: 'text' | 'date'
  /** Takes what was typed; a refusal is shown and nothing changes. */
  readonly take: (typed: string) => Understood<unknown>
}

/** An input with its word of warning under it. */
export class Field {
  readonly root: HTMLElement
  readonly input: HTMLInputElement
  readonly #word: HTMLElement
  #value = ''
  #refused = false
  #note = ''
  #problem = ''
  #question = ''
  #confirm: (() => void) | undefined

  constructor(readonly facts: FieldFacts) {
    const id = freshId('word')
    this.#word = el('span', { class: 'word', id, hidden: true })
    this.input = el('input', {
      type: facts.type ?? 'text',
      'aria-label': facts.label,
      autocomplete: 'off',
      spellcheck: 'false',
      list: facts.list,
      inputmode: facts.mode,
      placeholder: facts.placeholder,
    })
    this.root = el('span', { class: 'field' }, this.input, this.#word)
    this.input.addEventListener('change', () => this.#taken())
    this.input.addEventListener('keydown', (event) => {
      if (event.key !== 'Escape') return
      this.#refused = false
      this.#note = ''
      this.input.value = this.#value
      this.#show()
    })
    this.input.setAttribute('aria-describedby', id)
  }

  /** Shows what the file says, unless somebody is typing here or what was typed was refused. */
  show(filed: string): void {
    // A field for dates holds nothing but year-month-day, and files have days as people write them.
    const day = this.facts.type === 'date' ? understoodDay(filed) : undefined
    const value = day?.ok ? day.value : filed
    const before = this.#value
    this.#value = value
    this.input.dataset.filed = filed
    if (before !== value) this.#refused = false
    if (this.#refused || (document.activeElement === this.input && this.input.value !== before)) return
    if (this.input.value !== value) this.input.value = value
    if (before !== value && document.activeElement !== this.input) this.#note = ''
    this.#show()
  }

  /** What holds where nothing is written. */
  hint(text: string): void {
    const words = text || (this.facts.placeholder ?? '')
    if (this.input.placeholder !== words) this.input.placeholder = words
  }

  /** What is wrong with the value, or asked about it; `confirm` makes the question go. */
  mark(problem: string, question = '', confirm?: (() => void) | undefined): void {
    this.#confirm = confirm
    if (problem === this.#problem && question === this.#question) return
    this.#problem = problem
    this.#question = question
    this.#show()
  }

  #taken(): void {
    const typed = this.input.value
    if (typed.trim() === this.#value.trim()) {
      this.#refused = false
      this.#note = ''
      this.#show()
      return
    }
    const read = this.facts.take(typed)
    this.#refused = !read.ok
    this.#note = read.ok ? (read.note ?? '') : read.why
    if (read.ok && this.input.value === typed) this.input.value = this.#value
    this.#show()
  }

  #show(): void {
    const wrong = this.#refused ? this.#note : this.#problem
    const text = wrong || this.#note || this.#question
    setText(this.#word, text)
    this.#word.hidden = text === ''
    this.#word.className = wrong ? 'word wrong' : this.#note ? 'word' : 'word asked'
    if (wrong) this.input.setAttribute('aria-invalid', 'true')
    else this.input.removeAttribute('aria-invalid')
    if (!wrong && !this.#note && this.#question && this.#confirm) {
      this.#word.append(
        ' ',
        el('button', { type: 'button', class: 'small', onclick: () => this.#confirm?.() }, 'It is right'),
      )
    }
  }
}

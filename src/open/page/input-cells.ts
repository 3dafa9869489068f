// One input of one scenario, typed, chosen or slid: the same cell wherever the sheet shows it, and one in a notebook.
import { unitWords } from '../../explore/words.js'
import { choiceWords } from '../../paper/choice-words.js'
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import type { Texts } from '../edits.js'
import type { Book } from './book.js'
import { el, select } from './dom.js'
import { Field } from './field.js'
import { scenarioNames, setChoice } from './intents.js'
import type { NumberFacts } from './model.js'
import type { ChoiceFacts } from './scenario-answers.js'
import { understoodDay, understoodNumber } from './understand.js'

/** What is known of an input: a choice among words or days, or a number with its range; neither without a plan. */
export interface InputFacts {
  readonly choice?: ChoiceFacts | undefined
  readonly number?: NumberFacts | undefined
}

/** A cell in its place; `show` brings it up to the household as it stands. */
export interface InputCell {
  readonly root: HTMLElement
  show(value: string): void
}

export interface InputCellsContext {
  readonly book: Book
  /** Plans with texts that are not edited in, to show what a slider would do; undefined: as things stand. */
  readonly preview: (texts: Texts | undefined) => void
}

export class InputCells {
  choices: readonly ChoiceFacts[] = []
  numbers: readonly NumberFacts[] = []

  constructor(private readonly context: InputCellsContext) {}

  facts(id: string): InputFacts {
    return {
      choice: this.choices.find((one) => one.id === id),
      number: this.numbers.find((one) => one.id === id),
    }
  }

  get scenarios(): readonly string[] {
    return scenarioNames(this.context.book.texts)
  }

  /** What scenarios.csv states for an input of a scenario; '' where it leaves it as stated. */
  get stated(): (scenario: string, id: string) => string {
    const sheet = csvSheet(this.context.book.texts['scenarios.csv'] ?? '')
    return (scenario, id) => {
      const row = sheet?.rows.find((one) => valueIn(sheet, one, 'id') === id)
      return sheet && row ? valueIn(sheet, row, scenario) : ''
    }
  }

  /**
   * A cell for an input of a scenario.
   *
   * @param label names the cell to those who listen
   * @param refused is told why a choice or a slider could not be taken; '' where it was. A field says so itself
   */
  cell(id: string, scenario: string, label: string, refused: (why: string) => void): InputCell {
    const { choice, number } = this.facts(id)
    const { book } = this.context
    const put = (value: string, words = value): string | undefined =>
      book.edit(
        `${scenario}: ${label.split(',')[0]} ${value === '' ? 'as stated' : words}`,
        setChoice(scenario, id, value),
      )
    if (choice?.kind === 'option')
      return optionCell(choice, label, (value) => refused(put(value, choiceWords(value)) ?? ''))
    const day = choice?.kind === 'date'
    const field = new Field({
      label,
      mode: day ? 'text' : 'decimal',
      ...(day ? { type: 'date' as const } : {}),
      placeholder: choice ? choiceWords(choice.value) : (number?.likely ?? ''),
      take: (typed) => {
        const read = typed.trim() === '' ? BLANK : day ? understoodDay(typed) : understoodNumber(typed)
        if (!read.ok) return read
        if (!day && Number(read.value) < 0) return { ok: false, why: 'Write 0 or more.' }
        const why = put(read.value)
        return why === undefined ? read : { ok: false, why }
      },
    })
    const slides = number && number.low !== number.high
    const slider = slides
      ? this.#slider(id, scenario, label, number, (value) => refused(put(value) ?? ''))
      : undefined
    return {
      root: el('span', { class: 'both' }, field.root, slider),
      show: (value) => {
        field.show(value)
        if (slider && document.activeElement !== slider) slider.value = value || number?.likely || ''
      },
    }
  }

  /** From low to high: shows what it would do while it moves, and is an edit when it is let go. */
  #slider(
    id: string,
    scenario: string,
    label: string,
    { low, high }: NumberFacts,
    put: (value: string) => void,
  ): HTMLInputElement {
    const { book, preview } = this.context
    const made = el('input', {
      type: 'range',
      min: low,
      max: high,
      step: 'any',
      'aria-label': `${label}, from ${low} to ${high}`,
    })
    const value = (): string => String(Number(Number(made.value).toPrecision(3)))
    made.addEventListener('input', () => {
      const tried = book.tried(setChoice(scenario, id, value()))
      if (tried) preview(tried)
    })
    made.addEventListener('change', () => {
      const { texts } = book
      put(value())
      // Let go where it was taken up: nothing is edited, and what it would have done must not stay in view.
      if (book.texts === texts) preview(undefined)
    })
    return made
  }
}

const BLANK = { ok: true, value: '' } as const

function optionCell(
  { value: base, allowed }: ChoiceFacts,
  label: string,
  put: (value: string) => void,
): InputCell {
  const options = [
    ['', `as stated: ${choiceWords(base)}`] as const,
    ...allowed.map((word) => [word, choiceWords(word)] as const),
  ]
  const root = select(label, options, '', put)
  return {
    root,
    show: (value) => {
      if (root.value !== value) root.value = value
    },
  }
}

/** The range of a number, what is likely, and where both come from. */
export const rangeWords = ({ low, likely, high, unit, source, confirmed }: NumberFacts): string =>
  `${low === high ? `stated: ${likely}` : `from ${low} to ${high}, likely ${likely}`} ${unitWords(unit, Number(likely))}; ${source} (${confirmed})`

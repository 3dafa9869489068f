// The sliders and fields of the inputs.
import type { PageData, PageInput } from '../page-data.js'
import { fieldUnit, inputWords } from '../words.js'
import { all, say } from './elements.js'

/** The elements of one input. */
export interface Control {
  readonly input: PageInput
  readonly box: HTMLElement
  readonly number: HTMLInputElement
  readonly range: HTMLInputElement
  readonly unit: HTMLElement
  readonly wrong: HTMLElement
  readonly reset: HTMLButtonElement
}

/** The controls on the page, in the order of the inputs. */
export function controls(data: PageData): Control[] {
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

/**
 * Puts a value into a control.
 *
 * @param moved whether it is another one than planned
 * @param except the element that is being typed into or dragged, which stays as it is
 */
export function showControl(
  { input, box, number, range, unit, wrong, reset }: Control,
  value: string,
  moved: boolean,
  except?: Element,
): void {
  const words = inputWords(input, Number(value))
  if (number !== except) {
    number.value = value
    number.removeAttribute('aria-invalid')
    wrong.hidden = true
  }
  if (range !== except) range.value = value
  range.setAttribute('aria-valuetext', words)
  say(unit, fieldUnit(input.unit, Number(value)))
  box.classList.toggle('moved', moved)
  reset.disabled = !moved
}

import { unitWords } from '../explore/words.js'
import { choiceWords } from '../paper/choice-words.js'
import type { Move, Plan } from '../plan/index.js'
import { UnusableInput } from '../plan/refusal.js'
import { nearest } from '../tables/nearest.js'
import type { MimeBundle } from './format.js'
import { INPUTS_MIME, MOST_INPUTS, type ShownInput, type ShownInputs } from './inputs.js'
import { show, type Table, tableHtml, tableText } from './show.js'

/**
 * Inputs of a household with the value that each scenario gives them, their range and where both come from.
 *
 * @param ids inputs as `compare --inputs` lists them, at most 60
 *
 * Throws one sentence for an id that the household has not; it names the nearest ones.
 */
export function inputsTable(
  { inputs: { numbers, choices } }: Pick<Move, 'inputs'>,
  plans: readonly Pick<Plan, 'name' | 'inputs'>[],
  ids: readonly string[],
): ShownInputs {
  if (ids.length > MOST_INPUTS)
    throw new UnusableInput(`found ${ids.length} inputs for one table, expected ${MOST_INPUTS} at most`)
  const shown = (id: string): ShownInput => {
    const number = numbers.get(id)
    if (number) {
      const { label, unit, low, high, source, confirmed } = number
      return {
        id,
        label,
        unit: unitWords(unit),
        values: plans.map(({ inputs }) => String(inputs.numbers.get(id)?.likely ?? '')),
        range: low.eq(high) ? '' : `${low} to ${high}`,
        source: `${source} (${confirmed})`,
      }
    }
    const choice = choices.get(id)
    if (choice)
      return {
        id,
        label: choice.label,
        unit: '',
        values: plans.map(({ inputs }) => choiceWords(inputs.choices.get(id)?.value ?? '')),
        range: '',
        source: 'chosen',
      }
    const names = nearest(id, [...numbers.keys(), ...choices.keys()])
    throw new UnusableInput(`unknown input "${id}"; nearest: ${names.join(', ')}`)
  }
  return {
    caption: 'Inputs, as each scenario has them',
    scenarios: plans.map(({ name }) => name),
    inputs: ids.map(shown),
  }
}

const tableOf = ({ caption, scenarios, inputs }: ShownInputs): Table => ({
  caption,
  columns: [
    { label: 'Input' },
    ...scenarios.map((label) => ({ label, align: 'right' as const })),
    { label: 'Unit' },
    { label: 'From low to high' },
    { label: 'Source' },
  ],
  rows: inputs.map(({ label, values, unit, range, source }) => [label, ...values, unit, range, source]),
  note: 'On the page of “quaybook open” the values can be typed over where they stand.',
})

/**
 * Shows inputs with the value that each scenario gives them, unit, range and source. On the page of `quaybook open` the
 * values are fields of the sheet: what is typed there changes that scenario (not so the figures of single lines of the
 * inventory, which are typed under Things). Everywhere else it is a table to read.
 *
 * @param ids inputs as `compare --inputs` lists them, at most 60
 *
 * Throws one sentence for an id that the household has not; it names the nearest ones.
 */
export function showInputs(move: Move, plans: readonly Plan[], ids: readonly string[]): void {
  show(inputsBundle(move, plans, ids))
}

/** What showInputs shows. */
export function inputsBundle(...[move, plans, ids]: Parameters<typeof inputsTable>): MimeBundle {
  const inputs = inputsTable(move, plans, ids)
  const table = tableOf(inputs)
  return {
    'text/html': tableHtml(table),
    'text/plain': tableText(table),
    [INPUTS_MIME]: JSON.parse(JSON.stringify(inputs)),
  }
}

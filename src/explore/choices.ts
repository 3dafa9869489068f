// The words and days that each scenario chooses: which of them the page offers, and how they stand in the address.
import type { Move, Plan } from '../plan/index.js'
import { csvCell } from '../tables/as-data.js'
import type { ChoiceGroup, PageChoice, PageChoices, StatedChange } from './page-data.js'
import { shellWord } from './state.js'

/** What was chosen instead of what is stated, for each scenario of the household in turn, by id. */
export type Chosen = readonly ReadonlyMap<string, string>[]

/** What a household decides first, in the order it is asked. */
const FIRST = ['transport', 'service-level', 'cover', 'crew', 'materials-reused', 'pallets', 'importer']
const AT_THE_DOORS = /^(origin|destination)\.(street|permit|lift)$/

/** Changes that a plan decides for itself: made again with every plan, so no part of what is stated. */
const DECIDED = 'cover decision'

/**
 * The choices that a page can offer: all words and days of the plan but those of single lines, which are as many as
 * the household has things, and who does a service that no scenario has.
 *
 * @param stated the plans of the household's scenarios, as packed
 */
export function pageChoices(move: Move, stated: readonly Plan[]): PageChoices {
  const scenarios = stated.map(({ name, changes }) => ({
    name,
    changes: changes
      .filter(({ place }) => place?.file !== DECIDED)
      .map(({ id, value }): StatedChange => ({ id, value })),
  }))
  const vehicles = new Set(move.household.vehicles.map(({ vehicle }) => vehicle))
  const offered = [...move.inputs.choices.values()].filter(({ id }) => {
    const [kind = '', ...name] = id.split('.')
    if (kind === 'take' || kind === 'deck') return vehicles.has(name.join('.'))
    if (kind === 'provider') return stated.some(({ sheet }) => sheet.choices.has(id))
    return kind !== 'packed'
  })
  const list = offered.map(
    ({ id, label, kind, value, allowed }): PageChoice => ({
      id,
      label,
      kind,
      group: groupOf(id, kind),
      allowed,
      planned: scenarios.map(({ changes }) => changes.findLast((change) => change.id === id)?.value ?? value),
    }),
  )
  const place = ({ id }: PageChoice): number => (FIRST.indexOf(id) + FIRST.length + 1) % (FIRST.length + 1)
  return { scenarios, list: list.toSorted((a, b) => place(a) - place(b)) }
}

function groupOf(id: string, kind: PageChoice['kind']): ChoiceGroup {
  if (kind === 'date') return 'days'
  if (FIRST.includes(id) || /^(take|deck)\./.test(id)) return 'first'
  if (AT_THE_DOORS.test(id)) return 'doors'
  return id.startsWith('provider.') ? 'services' : 'rest'
}

export const nothingChosen = ({ scenarios }: PageChoices): Chosen => scenarios.map(() => new Map())

/** How many choices are other than stated. */
export const chosenCount = (chosen: Chosen): number => chosen.reduce((sum, one) => sum + one.size, 0)

/** A word that the page takes for a choice, or nothing. */
export function takenWord(choice: PageChoice, text: string): string | undefined {
  if (choice.kind === 'option') return choice.allowed.includes(text) ? text : undefined
  return /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(Date.parse(text)) ? text : undefined
}

/** The same choices with one more made, or taken back where it is what the scenario states. */
export const choose = (chosen: Chosen, choice: PageChoice, scenario: number, word: string): Chosen =>
  chosen.map((one, s) => {
    if (s !== scenario) return one
    const now = new Map(one)
    if (choice.planned[s] === word) now.delete(choice.id)
    else now.set(choice.id, word)
    return now
  })

/** The choices in an address: `0:cover=advised`, the scenario counted from 0; what the page does not know is left out. */
export function chosenFrom(choices: PageChoices, hash: string): Chosen {
  let chosen = nothingChosen(choices)
  for (const [key, text] of new URLSearchParams(hash.replace(/^#/, ''))) {
    const [, at, id] = /^(\d{1,2}):(.+)$/.exec(key) ?? []
    const choice = choices.list.find((one) => one.id === id)
    const word = choice && takenWord(choice, text)
    if (choice && word !== undefined) chosen = choose(chosen, choice, Number(at), word)
  }
  return chosen
}

export const hashOfChosen = (choices: PageChoices, chosen: Chosen): string =>
  chosen
    .flatMap((one, s) =>
      choices.list.flatMap(({ id }) => {
        const word = one.get(id)
        return word === undefined ? [] : [`${s}:${encodeURIComponent(id)}=${encodeURIComponent(word)}`]
      }),
    )
    .join('&')

/** What each scenario has for a choice now. */
const wordsOf = (choice: PageChoice, chosen: Chosen): string[] =>
  chosen.map((one, s) => one.get(choice.id) ?? choice.planned[s] ?? '')

const changedIn = ({ list }: PageChoices, chosen: Chosen): PageChoice[] =>
  list.filter(({ id }) => chosen.some((one) => one.has(id)))

/** Choices that are the same in every scenario now, as the command line takes them: `--set cover=all-risks`. */
export const chosenSetText = (choices: PageChoices, chosen: Chosen): string =>
  changedIn(choices, chosen)
    .flatMap((choice) => {
      const [word = '', ...others] = wordsOf(choice, chosen)
      return others.every((other) => other === word) ? [`--set ${shellWord(`${choice.id}=${word}`)}`] : []
    })
    .join(' ')

/** Choices in which scenarios differ, as rows of scenarios.csv; blank where there are none. */
export function chosenRows(choices: PageChoices, chosen: Chosen): string {
  const rows = changedIn(choices, chosen).flatMap((choice) => {
    const words = wordsOf(choice, chosen)
    return new Set(words).size > 1 ? [[choice.id, ...words]] : []
  })
  if (rows.length === 0) return ''
  const head = ['id', ...choices.scenarios.map(({ name }) => name)]
  return [head, ...rows].map((cells) => cells.map(csvCell).join(',')).join('\n')
}

/** Position of the stated scenario that a plan belongs to: its own, or the one of which it has another cover. */
export function statedBy({ scenarios }: PageChoices, name: string): number {
  const same = scenarios.findIndex((one) => one.name === name)
  if (same >= 0) return same
  const began = scenarios
    .map((one, s) => [one.name, s] as const)
    .filter(([one]) => name.startsWith(`${one}, `))
    .toSorted(([a], [b]) => b.length - a.length)
  return began[0]?.[1] ?? 0
}

// The choices of the scenarios as controls: made on the page itself, because without its script they would do nothing.
import { choiceWords } from '../paper/choice-words.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import type { Chosen } from './choices.js'
import type { ChoiceGroup, PageChoice, PageChoices, PageOption } from './page-data.js'

const GROUPS: readonly (readonly [group: ChoiceGroup, title: string, folded: boolean])[] = [
  ['first', 'How each scenario does it', false],
  ['days', 'When', false],
  ['doors', 'At the two doors', true],
  ['services', 'Who does each service', true],
  ['rest', 'Terms and rules of counting', true],
]

/** All choices under their headings, as they stand. */
export function choicesHtml(choices: PageChoices, options: readonly PageOption[], chosen: Chosen): string {
  return GROUPS.flatMap(([group, title, folded]) => {
    const rows = choices.list.filter((choice) => choice.group === group)
    if (rows.length === 0) return []
    const inside = rows.map((choice) => choiceHtml(choices, options, choice, chosen)).join('\n')
    return folded
      ? `<details class="choose"><summary>${title}</summary>${inside}</details>`
      : `<div class="choose" role="group" aria-label="${title}"><p class="legend">${title}</p>${inside}</div>`
  }).join('\n')
}

function choiceHtml(
  { scenarios }: PageChoices,
  options: readonly PageOption[],
  choice: PageChoice,
  chosen: Chosen,
): string {
  const at = escaped(choice.id)
  const controls = scenarios.map(({ name }, s) => {
    const planned = choice.planned[s] ?? ''
    const now = chosen[s]?.get(choice.id) ?? planned
    const of = `data-choice="${at}" data-of="${s}" aria-describedby="i-${s}-${at}"`
    const control =
      choice.kind === 'date'
        ? `<input type="date" ${of} value="${escaped(now)}">`
        : `<select ${of}>${choice.allowed
            .map(
              (word) =>
                `<option value="${escaped(word)}"${word === now ? ' selected' : ''}>${escaped(optionWords(choice, options, word))}</option>`,
            )
            .join('')}</select>`
    return `<label><span>${scenarios.length > 1 ? escaped(name) : 'Chosen'}</span>${control}<small id="i-${s}-${at}"></small></label>`
  })
  return `<div class="choice" data-row="${at}" role="group" aria-label="${escaped(choice.label)}"><p>${escaped(choice.label)}</p><div class="each">${controls.join('')}</div></div>`
}

/** A word as people say it; containers by their names in the reference tables. */
export function optionWords({ id }: PageChoice, options: readonly PageOption[], word: string): string {
  if (id.startsWith('provider.') && word === 'none') return 'nobody: left out'
  if (id === 'crew' && /^\d+$/.test(word)) return `${word} ${word === '1' ? 'mover' : 'movers'}`
  const label = id === 'transport' ? options.find((option) => option.id === word)?.label : undefined
  return label ?? choiceWords(word)
}

// What plans say of scenarios, as plain data: figures at once, then days and cautions.
import type { Decimal } from 'decimal.js'
import { summaryCells } from '../../analysis/index.js'
import { warnings } from '../../analysis/warnings.js'
import { moveDates } from '../../brief/dates.js'
import { carriageText } from '../../brief/front/carriage.js'
import { planWords } from '../../brief/names.js'
import { figureText, usualDecimals } from '../../paper/format.js'
import { ENGLISH_WORDS } from '../../paper/words.js'
import type { Move, Plan } from '../../plan/index.js'
import type { Problem } from '../../tables/problem.js'

/** A figure as data and as it is read. */
export interface Figure {
  readonly label: string
  readonly unit: string
  readonly value: number
  readonly text: string
}

/** What a plan says of a scenario as soon as it is made. */
export interface ScenarioFigures {
  readonly name: string
  readonly figures: Readonly<Record<string, Figure>>
  readonly carriage: string
  /** A container of the household's own, which can be packed. */
  readonly container: boolean
  readonly cover: string
  readonly level: string
}

/** And what takes a second plan, of the ranges: days with their spans, cautions. */
export interface ScenarioAnswer extends ScenarioFigures {
  readonly deadlines: readonly { readonly on: string; readonly what: string; readonly why: string }[]
  readonly warnings: readonly { readonly severity: 'stop' | 'care' | 'note'; readonly text: string }[]
}

/** An input that is a word or a day, with the words it may be. */
export interface ChoiceFacts {
  readonly id: string
  readonly label: string
  readonly kind: 'option' | 'date'
  readonly value: string
  readonly allowed: readonly string[]
}

/** The figures of all scenarios; where they are sure, amounts are those of `Answers` to the last digit. */
export interface Figures {
  readonly ok: true
  /** Whether carriage and cover have been decided anew; else they are those of before the edit. */
  readonly sure: boolean
  readonly currency: string
  readonly scenarios: readonly ScenarioFigures[]
}

export type Answers =
  | { readonly ok: false; readonly problems: readonly Problem[] }
  | {
      readonly ok: true
      readonly currency: string
      readonly scenarios: readonly ScenarioAnswer[]
      readonly choices: readonly ChoiceFacts[]
      readonly asOf: string
      /** What is unlikely in the files and not confirmed yet. */
      readonly questions: readonly Problem[]
    }

export const minorUnits = ({ household, reference }: Move): number =>
  reference.currencies.find(({ code }) => code === household.facts.currency)?.minor_units.toNumber() ?? 2

export function figure(label: string, unit: string, value: Decimal, minor: number): Figure {
  const places = unit === '1' ? 2 : usualDecimals(unit, minor)
  const text = unit === '1' ? String(value.toDecimalPlaces(4)) : figureText(value, unit, places)
  return { label, unit, value: value.toNumber(), text }
}

export function figuresOf(move: Move, plan: Plan): ScenarioFigures {
  const minor = minorUnits(move)
  const figures = summaryCells([plan]).flatMap((id) => {
    const cell = plan.sheet.cells.get(id)
    return cell ? [[id, figure(cell.label, cell.unit, cell.value, minor)] as const] : []
  })
  return {
    name: plan.name,
    figures: Object.fromEntries(figures),
    carriage: carriageText(ENGLISH_WORDS, move, plan),
    container: move.reference.containers.some(
      ({ id }) => id === plan.sheet.choices.get('transport')?.split('+')[0],
    ),
    cover: planWords(move, plan).coverLabel,
    level: ENGLISH_WORDS.say(`level.${plan.inputs.choices.get('service-level')?.value ?? 'own'}`),
  }
}

export const answerOf = (move: Move, plan: Plan): ScenarioAnswer => ({
  ...figuresOf(move, plan),
  deadlines: moveDates(move, plan, ENGLISH_WORDS).deadlines,
  warnings: warnings(move, plan).map(({ severity, text }) => ({ severity, text })),
})

export function answersOf(move: Move, scenarios: readonly ScenarioAnswer[]): Answers {
  const choices = [...move.inputs.choices.values()].filter(
    ({ id }) =>
      !id.startsWith('take.') || move.household.vehicles.some(({ vehicle }) => id === `take.${vehicle}`),
  )
  return {
    ok: true,
    currency: move.household.facts.currency,
    scenarios,
    choices: choices.map(({ id, label, kind, value, allowed }) => ({ id, label, kind, value, allowed })),
    asOf: move.household.facts.as_of,
    questions: move.questions,
  }
}

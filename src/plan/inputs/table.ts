import type { Decimal } from 'decimal.js'
import type { Confirmed, NumberInput } from '../../quantity/arithmetic.js'
import type { Problem } from '../../tables/problem.js'

/** The word for the least-cost cover that the household can bear; it is replaced before a plan is written. */
export const ADVISED_COVER = 'advised'

/** An input that is not a number: a container, a provider, a cover, a date. */
export interface ChoiceInput {
  readonly id: string
  readonly label: string
  readonly kind: 'option' | 'date'
  readonly value: string
  readonly allowed: readonly string[]
}

/** Words of the choices `packed.*`: whether everything goes in, as far as anybody has tried. */
export const PACKED = ['by volume', 'everything', 'not everything'] as const

/** Every input of a plan by its id: the one place where a scenario may change something. */
export interface InputTable {
  readonly numbers: ReadonlyMap<string, NumberInput>
  readonly choices: ReadonlyMap<string, ChoiceInput>
}

/** One change to one input, as a scenario column, `--set` or a notebook states it. */
export interface Change {
  readonly id: string
  readonly value: string
  readonly place?: { readonly file: string; readonly line: number }
}

/** Where goods wait once the free days at the port are over; `cheaper` takes what costs less at each point. */
export const PORT_WAITS = ['port', 'warehouse', 'cheaper'] as const

export interface Given {
  readonly low?: Decimal | undefined
  readonly likely: Decimal
  readonly high?: Decimal | undefined
}

/** Where a figure is from, how sure it is, and until when it may be relied on. */
export interface Provenance {
  readonly source: string
  readonly confirmed: Confirmed
  readonly still_true_on?: string | undefined
  readonly good_for_days?: number | undefined
}

/** Services done by hand, that friends or hired hands may do as well. */
export const HAND_WORK = ['packing', 'dismantling', 'loading', 'unloading', 'unpacking', 'assembly'] as const

/** Sizes of crew that figures.csv has a loading speed for. */
export const CREWS = [1, 2, 3, 4, 5, 6, 7, 8] as const

/** Friends or hired hands of a job where services.csv does not say. */
export const USUAL_HANDS = 3

export const stated = (source: string) => ({ source, confirmed: 'stated' as Confirmed })

/** The inputs of a plan while they are gathered, and what is wrong with them. */
export interface InputGathering {
  readonly numbers: Map<string, NumberInput>
  readonly choices: Map<string, ChoiceInput>
  readonly problems: Problem[]
  readonly put: (id: string, label: string, unit: string, given: Given, from: Provenance) => void
  readonly option: (id: string, label: string, value: string, allowed: readonly string[]) => void
  readonly day: (id: string, label: string, value: string) => void
}

export function inputGathering(): InputGathering {
  const numbers = new Map<string, NumberInput>()
  const choices = new Map<string, ChoiceInput>()
  return {
    numbers,
    choices,
    problems: [],
    put: (id, label, unit, given, from) => {
      numbers.set(id, {
        id,
        label,
        unit,
        low: given.low ?? given.likely,
        likely: given.likely,
        high: given.high ?? given.likely,
        source: from.source,
        confirmed: from.confirmed,
        lookedOn: from.still_true_on,
        goodForDays: from.good_for_days,
      })
    },
    option: (id, label, value, allowed) => {
      choices.set(id, { id, label, kind: 'option', value, allowed })
    },
    day: (id, label, value) => {
      choices.set(id, { id, label, kind: 'date', value, allowed: [] })
    },
  }
}

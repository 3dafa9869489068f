import { isHandWork } from '../plan/cells/hand-task.js'
import type { Move } from '../plan/index.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { type Correlation, together } from './draws.js'

/** Figures that move together because something is common to them, and the figure that says how closely. */
interface Group {
  readonly coefficient: string
  readonly has: (id: string) => boolean
}

/**
 * Which figures move together, by what they have in common: the labour market of one country, the freight market,
 * the surveyor who went through the rooms, the household's own currency. Being in one phase of the move is not enough:
 * a terminal's tariff does not follow wages.
 *
 * @param drawn ids of the figures that are drawn
 */
export function commonCorrelations(move: Move, drawn: ReadonlySet<string>): Correlation[] {
  const figure = (id: string): number => move.inputs.numbers.get(id)?.likely.toNumber() ?? 0
  return groupsOf(move).flatMap(({ coefficient, has }) =>
    together([...drawn].filter(has), figure(coefficient)),
  )
}

function groupsOf({ reference }: Move): Group[] {
  /** Work that is priced by the hour or by the piece: mostly wages. */
  const hands = (phase: string): ReadonlySet<string> =>
    new Set(
      reference.services
        .filter((s) => s.phase === phase && (isHandWork(s.id) || s.driver === 'each' || s.driver === 'hour'))
        .map((s) => `price.${s.id}`),
    )
  const surcharges = new Set(
    reference.services.filter((s) => s.phase === 'crossing' && s.carriage).map((s) => `price.${s.id}`),
  )
  const labour = (['origin', 'destination'] as const).map((side): Group => {
    const prices = hands(side)
    return {
      coefficient: 'risk.labour-correlation',
      has: (id) => id === `cost.${side}.wage` || prices.has(id),
    }
  })
  return [
    ...labour,
    {
      coefficient: 'risk.freight-correlation',
      has: (id) => id.startsWith('price.freight.') || surcharges.has(id),
    },
    { coefficient: 'risk.survey-correlation', has: (id) => id.startsWith('survey.room.') },
    { coefficient: 'risk.exchange-correlation', has: (id) => id.startsWith('exchange.') },
  ]
}

/** The input that says how likely an examination by customs is: drawn as an event, it happens or it does not. */
export const EXAMINATION = 'inspection.probability'

/** Inputs without a range of their own that are uncertain all the same: exchange rates until the bills are paid. */
export const isExchange = ({ id }: Pick<NumberInput, 'id'>): boolean => id.startsWith('exchange.')

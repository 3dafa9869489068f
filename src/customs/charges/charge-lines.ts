import type { Arithmetic, Num } from '../../quantity/index.js'
import type { LineAssessment } from '../relief/verdict.js'
import type { Levy } from '../shared-columns.js'
import type { Undetermined } from './undetermined.js'

/**
 * Value above which relief stops. `per-item` and `total` charge the excess, of one piece or of all lines of a pool
 * together; `per-item-limit` charges a dearer piece as a whole.
 */
export interface Ceiling<N> {
  readonly kind: 'per-item' | 'per-item-limit' | 'total'
  /** Lines of one pool share one ceiling. */
  readonly pool: string
  /** In the currency of the charges; per piece but for `total`. */
  readonly amount: N
}

/** A line as it is charged: its value is a number of the model, everything else is settled beforehand. */
export interface ChargeLine<N> {
  readonly id: string
  /** Goods class: lines of one class make one entry of the declaration. */
  readonly class: string
  /** All pieces together, in the household's currency. */
  readonly value: N
  readonly quantity: number
  readonly free: Readonly<Record<Levy, boolean>>
  /** Levies nobody can say of whether relief frees the line from them: they stand in no sum. */
  readonly open?: Readonly<Record<Levy, boolean>>
  readonly ceiling?: Ceiling<N>
  /** The share charged although relief is granted, as days short of days asked. */
  readonly proRata?: { readonly short: number; readonly of: number }
  /** The consignment it comes with and the day it is declared, if not the main ones. */
  readonly consignment?: string
  readonly importOn?: string
  /** What surcharges look at besides the class. */
  readonly text?: string
  readonly madeOn?: string
}

/** Relief at the authority's discretion is left out, so that it is charged, or counted in as if granted. */
export type Counting = 'excluded' | 'included'

/**
 * Lines as they are charged, from what was assessed. A line that is refused is charged in full; one at the
 * authority's discretion too, unless such relief is included. Where nobody can tell, the levy is open: in no sum, and
 * listed.
 *
 * @param value the line's value in the household's currency, all pieces; `undefined` where none is stated
 * @param people how many adults and minors share a ceiling that is given per head
 */
export function chargeLines<N extends Num<N>>(
  m: Arithmetic<N>,
  assessments: readonly LineAssessment[],
  value: (id: string) => N | undefined,
  counting: Counting = 'excluded',
  people: { readonly adults: number; readonly minors: number } = { adults: 1, minors: 0 },
): { readonly lines: readonly ChargeLine<N>[]; readonly undetermined: readonly Undetermined[] } {
  const lines: ChargeLine<N>[] = []
  const without: string[] = []
  const untold: string[] = []
  for (const { line, levies, by, person } of assessments) {
    const worth = value(line.id)
    if (worth === undefined) {
      without.push(line.id)
      continue
    }
    const granted = (levy: Levy) =>
      levies[levy] === 'qualifies' || (counting === 'included' && levies[levy] === 'discretionary')
    const isOpen = (levy: Levy) => levies[levy] === 'unknown'
    const open = { duty: isOpen('duty'), excise: isOpen('excise'), tax: isOpen('tax'), fee: isOpen('fee') }
    if (open.duty || open.tax) untold.push(line.id)
    // A line that is refused takes nothing of a ceiling.
    const route = granted('duty') ? by.duty : granted('tax') ? by.tax : undefined
    const row = route?.row
    const kind = row?.ceiling
    const ceiling =
      row?.ceiling_amount && (kind === 'per-item' || kind === 'per-item-limit' || kind === 'total')
        ? {
            kind,
            // A ceiling that counts minors is the household's, any other the person's.
            pool: row.ceiling_minor_share ? row.id : `${row.id} ${person}`,
            amount: m.of(
              row.ceiling_minor_share
                ? row.ceiling_amount.times(row.ceiling_minor_share.times(people.minors).plus(people.adults))
                : row.ceiling_amount,
            ),
          }
        : undefined
    lines.push({
      id: line.id,
      class: line.class,
      value: worth,
      quantity: line.quantity,
      free: {
        duty: granted('duty'),
        tax: granted('tax'),
        // Excise follows duty where no rule speaks of it on its own.
        excise: granted('excise') || (by.excise === undefined && granted('duty')),
        fee: granted('fee'),
      },
      ...((open.duty || open.tax) && { open }),
      ...(line.consignment !== undefined && { consignment: line.consignment }),
      ...(line.importOn !== undefined && { importOn: line.importOn }),
      ...(line.text !== undefined && { text: line.text }),
      ...(line.madeOn !== undefined && { madeOn: line.madeOn }),
      ...(ceiling && { ceiling }),
      ...(route?.proRata && { proRata: route.proRata }),
    })
  }
  const why = 'no value is stated, and customs is told the value of every line'
  const undetermined: Undetermined[] = []
  if (without.length > 0) undetermined.push({ what: 'value', lines: without, why })
  if (untold.length > 0) {
    const why = 'the tables or the facts do not tell whether relief is given'
    undetermined.push({ what: 'relief', lines: untold, why })
  }
  return { lines, undetermined }
}

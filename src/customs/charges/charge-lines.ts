import type { Arithmetic, Num } from '../../quantity/index.js'
import type { Levy } from '../columns.js'
import type { LineAssessment } from '../relief/verdict.js'
import type { ChargeLine, Undetermined } from './import-charges.js'

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

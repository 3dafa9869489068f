import { Exact } from '../../quantity/exact.js'
import { wordOf } from '../../tables/fields.js'
import { nearest, suggestion } from '../../tables/nearest.js'
import type { Problem, Read } from '../../tables/problem.js'
import { dateReadings, numberReadings } from '../../tables/written.js'
import { limitsOf, ofUnit } from '../limits.js'
import { LayeredMap, layersOf } from './layered.js'
import { type Change, type InputTable, stated } from './table.js'

/**
 * The table with some inputs changed. A number becomes a range of one.
 *
 * @returns the changed table, or a problem for each unknown id (with the nearest ones) and each value that does not fit
 */
export function withChanges(table: InputTable, changes: readonly Change[]): Read<InputTable> {
  const [ofNumbers, ofChoices] = [layersOf(table.numbers), layersOf(table.choices)]
  const [changedNumbers, changedChoices] = [new Map(ofNumbers.above), new Map(ofChoices.above)]
  const numbers = new LayeredMap(ofNumbers.below, changedNumbers)
  const choices = new LayeredMap(ofChoices.below, changedChoices)
  const problems: Problem[] = []
  for (const { id, value, place } of changes) {
    const where = { file: place?.file ?? 'change', line: place?.line ?? 1 }
    const number = numbers.get(id)
    const choice = choices.get(id)
    if (number) {
      const [one, other] = numberReadings(value, false)
      const limits = limitsOf(number)
      if (one !== undefined && other === undefined && limits.allow(new Exact(one))) {
        const likely = new Exact(one)
        changedNumbers.set(id, {
          ...number,
          low: likely,
          likely,
          high: likely,
          ...stated(place?.file ?? 'changed'),
        })
      } else {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: `a number${ofUnit(number.unit)} ${limits.words}`,
          fix:
            one !== undefined && other !== undefined
              ? `Write ${one} or ${other}, whichever is meant.`
              : `Write the number alone, as in ${number.likely}.`,
        })
      }
    } else if (choice) {
      const days = choice.kind === 'date' ? dateReadings(value) : []
      const word = choice.kind === 'date' ? undefined : wordOf(choice.allowed, value)
      const [day] = days
      if (word !== undefined) changedChoices.set(id, { ...choice, value: word })
      else if (day !== undefined && days.length === 1) changedChoices.set(id, { ...choice, value: day })
      else if (choice.kind === 'date') {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: 'a day of the calendar as year-month-day',
          fix:
            days.length > 1
              ? `Write ${days.join(' or ')}, whichever is meant.`
              : `Write for example ${choice.value}.`,
        })
      } else {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: `one of ${choice.allowed.join(', ')}`,
          fix: suggestion(value, choice.allowed),
        })
      }
    } else {
      const names = nearest(id, [...numbers.keys(), ...choices.keys()])
      problems.push({
        ...where,
        column: 'id',
        found: id,
        expected: 'an input of the plan',
        fix: `Nearest: ${names.join(', ')}.`,
      })
    }
  }
  const [loading, importing] = [choices.get('load-on')?.value ?? '', choices.get('import-on')?.value ?? '']
  if (importing < loading) {
    const place = changes.findLast(({ id }) => id === 'load-on' || id === 'import-on')?.place
    problems.push({
      file: place?.file ?? 'change',
      line: place?.line ?? 1,
      column: 'import-on',
      found: importing,
      expected: `a day on or after ${loading}, when the container is loaded`,
      fix: 'Change both days, or only the one that is wrong.',
    })
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: { numbers, choices } }
}

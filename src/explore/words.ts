// The texts that follow the sliders. Runs in the browser and in the builder, so both say the same.
import { isoDay } from '../time/day-number.js'
import type { PageData, PageInput, PageRow, PageScenario } from './page-data.js'
import type { Figures, Moved } from './state.js'
import type { TurningPoint } from './turning-points.js'

const formats = new Map<number, Intl.NumberFormat>()

/** A number with thousands separators; the minus sign of figures, never a minus zero. */
export function plainNumber(value: number, decimals: number): string {
  const format =
    formats.get(decimals) ??
    new Intl.NumberFormat('en-GB', { minimumFractionDigits: decimals, maximumFractionDigits: decimals })
  formats.set(decimals, format)
  const text = format.format(Math.abs(value))
  return value < 0 && /[1-9]/.test(text) ? `\u2212${text}` : text
}

/** A difference with its sign: `+1,200`, `−80`, `0`. */
export function signed(value: number, decimals: number): string {
  const text = plainNumber(value, decimals)
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text
}

/** A figure of the table; a share of one in per cent. */
export function rowText(row: PageRow, value: number | undefined): string {
  if (value === undefined) return '\u2013'
  if (row.unit === 'date') return value > 0 ? isoDay(value) : '\u2013'
  return row.unit === '1' ? `${plainNumber(value * 100, 0)}\u00a0%` : plainNumber(value, row.decimals)
}

const UNITS: Readonly<Record<string, readonly [one: string, many: string]>> = {
  day: ['day', 'days'],
  h: ['hour', 'hours'],
  month: ['month', 'months'],
  person: ['person', 'people'],
  container: ['container', 'containers'],
}

/** A unit as it stands behind a figure. */
export const unitWords = (unit: string, value = 0): string =>
  UNITS[unit]?.[value === 1 ? 0 : 1] ??
  (unit === '1' ? '' : unit.replaceAll('m3', 'm³').replaceAll('ft3', 'ft³'))

/** What stands behind the number field: the unit; of a share also the share in per cent. */
export const fieldUnit = (unit: string, value: number): string =>
  unit === '1'
    ? `= ${plainNumber(value * 100, value * 100 === Math.round(value * 100) ? 0 : 1)}\u00a0%`
    : unitWords(unit, value)

/** A value of an input with its unit, for ears and for sentences. */
export const inputWords = (input: PageInput, value: number): string =>
  input.unit === '1'
    ? `${plainNumber(value * 100, value * 100 === Math.round(value * 100) ? 0 : 1)}\u00a0%`
    : `${plainNumber(value, decimalsOf(value))}\u00a0${unitWords(input.unit, value)}`

const decimalsOf = (value: number): number => Math.min(5, (String(value).split('.')[1] ?? '').length)

/** A number for a sentence: three digits that matter. */
const rounded = (value: number): number => Number(value.toPrecision(3))

const money = (data: PageData, value: number): string => `${data.currency}\u00a0${plainNumber(value, 0)}`

/** Position of the scenario with the least total. */
export function cheapest(figures: readonly Figures[]): number {
  const totals = figures.map((of) => of.get('cost.total') ?? Number.POSITIVE_INFINITY)
  return totals.indexOf(Math.min(...totals))
}

/** Position of the scenario with the least total and value of own hours together. */
export function leastBurden(figures: readonly Figures[]): number {
  const sums = figures.map(
    (of) => (of.get('cost.total') ?? Number.POSITIVE_INFINITY) + (of.get('work.own.value') ?? 0),
  )
  return sums.indexOf(Math.min(...sums))
}

/** How a scenario stands to the recommended one, in words. */
export function gapWords(data: PageData, figures: readonly Figures[], scenario: number): string {
  const total = (s: number): number => figures[s]?.get('cost.total') ?? Number.NaN
  if (data.scenarios.length === 1) return ''
  if (scenario === data.recommended) return 'the recommended one'
  const gap = total(scenario) - total(data.recommended)
  if (Math.round(gap * 100) === 0) return 'the same as the recommended one'
  return `${money(data, Math.abs(gap))} ${gap > 0 ? 'more' : 'less'} than recommended`
}

/** What the moved inputs did to a scenario's total. */
export function changeWords(now: Figures | undefined, planned: Figures | undefined): string {
  const change = (now?.get('cost.total') ?? Number.NaN) - (planned?.get('cost.total') ?? Number.NaN)
  return Math.round(change * 100) === 0 ? 'as planned' : `${signed(change, 0)} against the plan`
}

/**
 * The sentence above the scenarios; also what a screen reader is told after a change.
 *
 * @param again whether `data` was planned again with what was moved, so that its recommendation stands
 */
export function headline(
  data: PageData,
  figures: readonly Figures[],
  moved: Pick<Moved, 'size'>,
  again = false,
): string {
  const [least, burden] = [cheapest(figures), leastBurden(figures)]
  const name = (s: number): string => `\u201c${data.scenarios[s]?.name ?? ''}\u201d`
  const total = figures[least]?.get('cost.total') ?? Number.NaN
  if (data.scenarios.length === 1 && moved.size > 0)
    return `At these inputs the move costs ${money(data, total)}.`
  const bill = `${name(least)} has the lowest bill: ${money(data, total)}.`
  if (moved.size === 0) {
    const other =
      least === data.recommended
        ? ''
        : ` ${bill} The recommendation also counts own hours and a cover you can bear.`
    return `Recommended: ${data.recommendation.sentence}${other}`
  }
  const own =
    burden === least
      ? 'It stays so with your own hours counted.'
      : `With your own hours counted at what you say they are worth, ${name(burden)} asks least.`
  if (again) return `At these inputs ${bill} Recommended then: ${data.recommendation.sentence}`
  return `At these inputs ${bill} ${own} For a new recommendation run the command below.`
}

/** How a scenario carries the goods at some figures: as it states, or the cheapest whole move that takes everything. */
export const carriageOf = ({ carriages }: PageScenario, of: Figures): string =>
  carriages[(of.get('transport.taken') ?? 1) - 1] ?? ''

export interface PageNote {
  readonly grave: boolean
  readonly text: string
}

/** What moved inputs do to the container of each scenario: another one cheaper, more of them, too full or heavy. */
export function containerNotes(
  data: PageData,
  now: readonly Figures[],
  planned: readonly Figures[],
): PageNote[] {
  const told = new Map<string, { readonly note: PageNote; readonly names: string[] }>()
  data.scenarios.forEach((scenario, s) => {
    const [of, before] = [now[s], planned[s]]
    if (!of || !before) return
    for (const note of [...capacity(data, scenario, of, before), ...another(data, scenario, of, before)]) {
      const known = told.get(note.text)
      if (known) known.names.push(scenario.name)
      else told.set(note.text, { note, names: [scenario.name] })
    }
  })
  return [...told.values()]
    .map(({ note, names }) => ({
      grave: note.grave,
      text: `${names.map((name) => `\u201c${name}\u201d`).join(', ')}: ${note.text}`,
    }))
    .toSorted((a, b) => Number(b.grave) - Number(a.grave))
}

const labelOf = (data: PageData, id: string | undefined): string =>
  data.options.find((option) => option.id === id)?.label.toLowerCase() ?? ''

function capacity(data: PageData, scenario: PageScenario, of: Figures, before: Figures): PageNote[] {
  const transport = carriageOf(scenario, of)
  const label = labelOf(data, transport)
  const cell = (from: Figures, part: string): number => from.get(`options.${transport}.${part}`) ?? 0
  const [containers, planned] = [cell(of, 'containers'), cell(before, 'containers')]
  const notes: PageNote[] = []
  if (cell(of, 'fits') < 1 && cell(before, 'fits') >= 1)
    notes.push({ grave: true, text: `the vehicle no longer goes into the ${label}.` })
  if (cell(of, 'mass-share') > 1)
    notes.push({ grave: true, text: `the goods are heavier than the ${label} may carry.` })
  if (transport === carriageOf(scenario, before) && containers !== planned)
    notes.push({
      grave: containers > planned,
      text: `the goods now take ${containers} of the ${label} instead of ${planned}.`,
    })
  return notes
}

function another(data: PageData, scenario: PageScenario, of: Figures, before: Figures): PageNote[] {
  const [now, then] = [carriageOf(scenario, of), carriageOf(scenario, before)]
  if (now === then) return []
  return [
    {
      grave: true,
      text: `at these inputs the ${labelOf(data, now)} is the cheapest whole move, instead of the ${labelOf(data, then)}. The figures here have it; whether everything goes in is by volume until it is packed again.`,
    },
  ]
}

/** A turning point as a sentence. */
export function turningWords(data: PageData, { input, now, at, side, scenario }: TurningPoint): string {
  const name = data.scenarios[scenario]?.name ?? ''
  // Nobody plans with a half person or day: the next whole one on the other scenario's side.
  const whole = /^(person|day)$/.test(input.unit)
  const from = whole ? (side === 'above' ? Math.ceil(at) : Math.floor(at)) : rounded(at)
  return `${input.label}: from ${whole ? '' : 'about '}${inputWords(input, from)} ${side === 'above' ? 'upwards' : 'downwards'} (now ${inputWords(
    input,
    now,
  )}), \u201c${name}\u201d costs least.`
}

/** What a scenario asks beside money: own hours, days, space. */
export function besideWords(data: PageData, of: Figures): string {
  const words = (['work.own.hours', 'time.door-to-door', 'volume.packed'] as const).flatMap((id) => {
    const row = data.rows.find((one) => one.id === id)
    const value = of.get(id)
    if (!row || value === undefined) return []
    const text = `${plainNumber(value, row.decimals)}\u00a0${unitWords(row.unit, value)}`
    return [id === 'work.own.hours' ? `${plainNumber(value, 0)}\u00a0hours of your own` : text]
  })
  return words.join(' \u00b7 ')
}

/** Said where no single input changes the order. */
export const NO_TURNING = 'No input of this page does so alone.'

// How the answers put amounts and days.

/** Rows that a card and the differences show, in the words of the household. */
export const ROWS: readonly (readonly [id: string, words: string])[] = [
  ['volume.packed', 'Packed volume'],
  ['cost.origin.total', 'At the old home and to the port'],
  ['cost.crossing.total', 'The crossing'],
  ['cost.destination.total', 'From the port to the new home'],
  ['cost.customs.total', 'Customs'],
  ['cost.cover.premium', 'Insurance premium'],
  ['employer.total', 'Paid by an employer'],
  ['employer.gives', 'Money from an employer'],
  ['employer.left-to-pay', 'Left for you to pay'],
]

const wholes = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 })
const cents = new Intl.NumberFormat('en-GB', { minimumFractionDigits: 2, maximumFractionDigits: 2 })
/** An amount without cents. */
export const whole = (value: number): string => wholes.format(value)

/** A difference with its sign. */
export function signed(value: number): string {
  if (Math.abs(value) < 0.005) return 'the same'
  return `${value < 0 ? '\u2212' : '+'}${(Number.isInteger(value) ? wholes : cents).format(Math.abs(value))}`
}

const days = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'long',
  year: 'numeric',
  timeZone: 'UTC',
})
/** A day in words. */
export const dayWords = (iso: string): string => days.format(new Date(`${iso}T00:00:00Z`))
/** Words with a capital at the front. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

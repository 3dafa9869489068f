import type { Figure, Text } from './blocks.js'
import { isDate, isMoney, unitText } from './format.js'
import { Locale } from './locale.js'

/** English, for pages and notebooks that speak nothing else. */
export const ENGLISH = new Locale('en-GB', unitText)

/** A figure as it is read: with its unit unless bare, and with its sign if it is a difference. */
export function shownFigure(
  { value, unit, decimals, against, apart, bare: alone }: Figure,
  locale: Locale = ENGLISH,
): string {
  // Two days are days apart.
  if (isDate(unit) && (against !== undefined || apart !== undefined)) return locale.figure(value, 'day', 0)
  const plus = against !== undefined && value.gt(0) && isMoney(unit) ? '+' : ''
  if ((alone && !isDate(unit)) || unit === 'count')
    return `${plus}${locale.number(unit === '1' ? value.times(100) : value, decimals)}`
  const text = locale.figure(value, unit, decimals)
  return plus === '' ? text : text.replace(/\d/, (digit) => `${plus}${digit}`)
}

/** Words and figures as one line of plain text. */
export const plainText = (text: Text, locale: Locale = ENGLISH): string =>
  text
    .map((part) =>
      typeof part === 'string' ? part : part.kind === 'figure' ? shownFigure(part, locale) : part.text,
    )
    .join('')

import type { Figure } from './blocks.js'
import { figureText, isDate, isMoney, numberText } from './format.js'

/** A figure as it is read: with its unit unless bare, and with its sign if it is a difference. */
export function shownFigure({ value, unit, decimals, against, apart, bare: alone }: Figure): string {
  // Two days are days apart.
  if (isDate(unit) && (against !== undefined || apart !== undefined)) return figureText(value, 'day', 0)
  const plus = against !== undefined && value.gt(0) && isMoney(unit) ? '+' : ''
  if ((alone && !isDate(unit)) || unit === 'count') {
    return `${plus}${numberText(unit === '1' ? value.times(100) : value, decimals)}`
  }
  const text = figureText(value, unit, decimals)
  return plus === '' ? text : text.replace('\u00a0', `\u00a0${plus}`)
}

import { Decimal } from 'decimal.js'

/**
 * JSON of an object. A figure in exact decimals becomes a number where the number's shortest text says the same
 * figure, so that any program can reckon with it; a figure with more digits than that stays a text with all of them,
 * and `as_text` lists where such texts stand, as JSON pointers (RFC 6901).
 *
 * Examples: 17244.06 stays 17244.06; 1/3 to 34 digits becomes "0.3333333333333333333333333333333333".
 */
export function jsonText(value: object): string {
  const asText: string[] = []
  const data = plain(value, '', asText)
  return JSON.stringify(
    asText.length > 0 && !Array.isArray(data) ? { ...(data as object), as_text: asText } : data,
    null,
    2,
  )
}

/** The value with its figures replaced; places where they stay texts are added to `asText`. */
function plain(value: unknown, pointer: string, asText: string[]): unknown {
  if (Decimal.isDecimal(value)) {
    const figure = value as Decimal
    const number = figure.toNumber()
    if (Number.isFinite(number) && new Decimal(String(number)).eq(figure)) return number
    asText.push(pointer)
    return figure.toString()
  }
  if (Array.isArray(value)) return value.map((item, k) => plain(item, `${pointer}/${k}`, asText))
  if (value === null || typeof value !== 'object' || 'toJSON' in value) return value
  return Object.fromEntries(
    Object.entries(value).map(([key, item]) => [
      key,
      plain(item, `${pointer}/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`, asText),
    ]),
  )
}

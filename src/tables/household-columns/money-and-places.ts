import { code } from '../fields.js'

/** A currency by its code. */
export const currency = (description: string) =>
  code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description, example: 'EUR' })

/** A country by its code. */
export const country = (description: string, example = 'NO') =>
  code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description, example })

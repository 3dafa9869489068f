/** Countries and currencies. */
import { z } from 'zod'
import { code, optional, text } from '../fields.js'
import { currency, label, positive, provenance } from './shared.js'

export const currencyColumns = z.object({
  code: currency,
  label,
  minor_units: positive('digits after the point', '1'),
  ...provenance,
})

export const countryColumns = z.object({
  code: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'PL' }),
  label,
  currency,
  region: text({ description: 'part of the world', example: 'Europe' }),
  also: optional(
    text({ description: 'other names people write for it, separated by |', example: 'Holland' }),
  ),
  ...provenance,
})

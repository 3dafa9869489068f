/** Covers, what they answer for, and the time to give notice of damage. */
import { z } from 'zod'
import { someOf, text } from '../fields.js'
import { currency, id, label, positive, provenance, range } from './shared.js'

export const coverColumns = z.object({
  id,
  label,
  ...range,
  minimum_premium: positive('least premium', '1'),
  currency,
  deductible: positive('deductible for each claim', '1'),
  requires: someOf(['packing', 'unpacking', 'survey', 'loading'], {
    description: 'services that must be done by the mover',
    example: 'packing|unpacking',
  }),
  basis: text({ description: 'what the cover answers for', example: 'Institute Cargo Clauses (A)' }),
  ...provenance,
})

export const perilColumns = z.object({
  id,
  label,
  'all-risks': text({ description: 'answer under all risks', example: 'yes' }),
  'named-wide': text({ description: 'answer under the wide named perils', example: 'yes' }),
  'named-narrow': text({ description: 'answer under the narrow named perils', example: 'no' }),
  'total-loss': text({ description: 'answer under total loss only', example: 'no' }),
  ...provenance,
})

export const claimNoticeColumns = z.object({
  id,
  label,
  against: text({ description: 'who has to be told', example: 'sea carrier' }),
  apparent_days: positive('days after delivery for damage that can be seen; 0: at the door', 'day'),
  hidden_days: positive('days after delivery for damage that cannot be seen from outside', 'day'),
  suit_months: positive('months after delivery in which an action has to be brought', 'month'),
  if_missed: text({ description: 'what missing the notice leads to', example: 'The claim is gone' }),
  ...provenance,
})

/** Public holidays, and what has to be done how long before what. */
import { z } from 'zod'
import { code, number, oneOf, optional, text } from '../fields.js'
import { id, provenance } from './shared.js'

/** Days of the calendar, or tasks, before which something has to be done. */
export const MILESTONES = [
  'leave',
  'arrive',
  'loading',
  'cut-off',
  'sailing',
  'discharge',
  'release',
  'delivery',
  'due',
] as const

export const holidayColumns = z.object({
  id,
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', {
    description: 'country of the port',
    example: 'PL',
  }),
  rule: text({
    description:
      'the day: `05-01`; `05-01 observed`, the next Monday where it falls on a weekend; `07-04 nearest`, the Friday before a Saturday, the Monday after a Sunday; `easter-2`; `1 monday 06` the first Monday of June, `-1` the last',
    example: 'easter+1',
  }),
  label: text({ description: 'what is held', example: 'Easter Monday' }),
  from_year: optional(number({ description: 'first year in which it is held', example: '2025', min: 1900 })),
  until_year: optional(number({ description: 'last year in which it is held', example: '2030', min: 1900 })),
  ...provenance,
})

export const leadTimeColumns = z.object({
  id,
  label: text({ description: 'what has to be done', example: 'Cover applied for and in force' }),
  owner: oneOf(['household', 'mover', 'packer', 'broker'], {
    description: 'who has to do it; packer: whoever packs in this plan',
    example: 'household',
  }),
  before: text({
    description: `what waits for it: another row of this table, or ${MILESTONES.join(', ')}`,
    example: 'packing',
  }),
  only_for: optional(
    oneOf(['vehicle', 'container', 'cover', 'quarantine', 'storage', 'stamp'], {
      description: 'the case it is needed in; blank: always',
      example: 'vehicle',
    }),
  ),
  low: optional(number({ description: 'days it takes at the least', example: '2', unit: 'day', min: 0 })),
  likely: optional(number({ description: 'days it most likely takes', example: '5', unit: 'day', min: 0 })),
  high: optional(number({ description: 'days it takes at the most', example: '14', unit: 'day', min: 0 })),
  days_cell: optional(
    text({ description: 'cell of the plan that says the days instead', example: 'time.packing-days' }),
  ),
  if_missed: text({ description: 'what missing it leads to', example: 'The next ship with room' }),
  cost_cell: optional(
    text({ description: 'cell of the plan that says what a miss costs', example: 'time.port.first-day' }),
  ),
  ...provenance,
})

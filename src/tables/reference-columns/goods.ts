/** What things, cartons, vehicles and containers measure and weigh. */
import { z } from 'zod'
import { code, count, oneOf, optional, text, yesNo } from '../fields.js'
import { id, label, positive, provenance } from './shared.js'

export const containerColumns = z.object({
  id: code(/^[A-Z0-9]{4}$/, 'an ISO 6346 size type', { description: 'ISO 6346 size type', example: '45G1' }),
  label,
  teu: positive('twenty-foot units', '1'),
  outside_length_mm: positive('outside length', 'mm'),
  outside_width_mm: positive('outside width', 'mm'),
  outside_height_mm: positive('outside height', 'mm'),
  inside_length_mm: positive('usual inside length', 'mm'),
  inside_width_mm: positive('usual inside width', 'mm'),
  inside_height_mm: positive('usual inside height', 'mm'),
  min_inside_length_mm: positive('least inside length the standard allows', 'mm'),
  min_inside_width_mm: positive('least inside width the standard allows', 'mm'),
  min_inside_height_mm: positive('least inside height the standard allows', 'mm'),
  door_width_mm: positive('door opening, width', 'mm'),
  door_height_mm: positive('door opening, height', 'mm'),
  tare_kg: positive('mass of the empty container', 'kg'),
  max_gross_kg: positive('greatest gross mass', 'kg'),
  capacity_m3: positive('quoted capacity', 'm3'),
  line_load_kg_per_m: positive('greatest load per metre of length', 'kg/m'),
  with_share: yesNo({
    description: 'is it also offered with the rest in a shared container',
    example: 'no',
  }),
  ...provenance,
})

export const cartonColumns = z.object({
  id,
  label,
  length_cm: optional(positive('outside length', 'cm')),
  width_cm: optional(positive('outside width', 'cm')),
  height_cm: optional(positive('outside height', 'cm')),
  ft3: positive('published volume', 'ft3'),
  content_limit_kg: optional(positive('greatest content', 'kg')),
  mass_low_kg: positive('usual packed mass, least', 'kg'),
  mass_likely_kg: positive('usual packed mass', 'kg'),
  mass_high_kg: positive('usual packed mass, most', 'kg'),
  holds: optional(
    oneOf(['loose', 'one'], { description: 'loose goods, or one piece made for it', example: 'loose' }),
  ),
  goods: text({ description: 'what goes into it', example: 'books' }),
  ...provenance,
})

export const itemColumns = z.object({
  id,
  label,
  also: optional(
    text({ description: 'other everyday words for it, separated by |', example: 'couch|settee' }),
  ),
  group: text({ description: 'kind of thing', example: 'seating' }),
  ft3: positive('stow cube', 'ft3'),
  length_cm: positive('length', 'cm'),
  width_cm: positive('width', 'cm'),
  height_cm: positive('height', 'cm'),
  mass_kg: positive('mass', 'kg'),
  upright: oneOf(['any', 'yes'], { description: 'must it stay upright', example: 'any' }),
  stack: oneOf(['any', 'light', 'nothing'], { description: 'what may stand on it', example: 'light' }),
  flat: optional(oneOf(['0', '1'], { description: '1 if taken apart or folded', example: '0' })),
  class: text({ description: 'goods class of customs/classes.csv', example: 'furniture' }),
  packing: text({ description: 'how it is mostly packed, as inventory.csv has it', example: 'wrapped' }),
  ...provenance,
})

/** room-starters.csv: what a room is begun with where somebody starts a list from nothing. */
export const roomStarterColumns = z.object({
  room: text({ description: 'kind of room', example: 'Living room' }),
  item_code: text({ description: 'a row of items.csv', example: 'sofa-3-seat' }),
  quantity: count({ description: 'how many', example: '1', min: 1, max: 99 }),
  ...provenance,
})

export const vehicleClassColumns = z.object({
  id,
  label,
  length_mm: positive('length', 'mm'),
  width_mm: positive('width without mirrors', 'mm'),
  width_mirrors_mm: positive('width with mirrors', 'mm'),
  height_mm: positive('height', 'mm'),
  kerb_kg: positive('kerb mass', 'kg'),
  ...provenance,
})

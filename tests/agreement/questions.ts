/** Cells that answer the questions of a reader: cost, time, volume, cover, charges. */
export const ASKED = [
  'cost.total',
  'cost.customs.total',
  'cost.cover.premium',
  'work.own.hours',
  'volume.packed',
  'time.door-to-door',
  'time.on.loading',
  'time.on.discharge',
  'time.on.release',
  'time.on.delivery',
  'time.port.charged-days',
] as const

/** The cost phases of a move, in its order: the cell of each phase's total, its name in cell ids, and what it is called. */
export const PHASES = [
  { total: 'cost.origin.total', phase: 'origin', label: 'Origin' },
  { total: 'cost.crossing.total', phase: 'crossing', label: 'Crossing' },
  { total: 'cost.destination.total', phase: 'destination', label: 'Destination' },
  { total: 'cost.customs.total', phase: 'customs', label: 'Customs' },
  { total: 'cost.cover.premium', phase: 'cover', label: 'Cover' },
] as const

/** The cells whose sum is the whole move. */
export const PHASE_TOTALS: readonly string[] = PHASES.map(({ total }) => total)

import { type CustomsTables, customsFigure } from '../tables.js'

/** A part of a crate, pallet or piece of dunnage. */
export interface WoodPart {
  readonly label: string
  /** `raw` is sawn or round wood; `processed` is plywood, board, veneer, wool and the like. */
  readonly wood: 'raw' | 'processed'
  readonly thicknessMm: number
  /** Does it bear the mark of the standard, with country, producer and treatment? */
  readonly marked: boolean
}

export interface WoodPackingVerdict {
  readonly verdict: 'outside' | 'compliant' | 'non-compliant'
  readonly parts: readonly string[]
  readonly sentence: string
}

/**
 * Wood packing under ISPM 15: raw wood thicker than the limit must be treated and marked; plywood, board and thin
 * slats are outside the standard, and so is furniture, which is cargo and not packing.
 *
 * Source: ISPM 15, scope; row `wood.thin` of customs-figures.csv.
 * Example: plywood panels on unmarked raw skids of 50 mm are non-compliant, for the skids.
 */
export function woodPacking(
  tables: Pick<CustomsTables, 'figures'>,
  parts: readonly WoodPart[],
): WoodPackingVerdict {
  const thin = customsFigure(tables, 'wood.thin')
  const regulated = parts.filter((part) => part.wood === 'raw' && thin.lt(part.thicknessMm))
  const unmarked = regulated.filter((part) => !part.marked)
  if (regulated.length === 0) {
    return { verdict: 'outside', parts: [], sentence: 'No raw wood that the standard regulates.' }
  }
  if (unmarked.length === 0) {
    return {
      verdict: 'compliant',
      parts: regulated.map((part) => part.label),
      sentence: 'All regulated wood bears the mark.',
    }
  }
  const names = unmarked.map((part) => part.label)
  return {
    verdict: 'non-compliant',
    parts: names,
    sentence: `Raw wood without the mark: ${names.join(', ')}. Replace it, or have it treated and marked before loading.`,
  }
}

/** What holds a load in place, beside the packing of the goods themselves. */
export type Dunnage = 'strap' | 'blanket' | 'filler' | 'board'

/** How much of it a load plan takes. */
export interface DunnageNeed {
  /** Walls or stages, each with a face of its own. */
  readonly walls: number
  /** Pieces that are tied by themselves. */
  readonly tied: number
  /** Pieces of furniture that are neither boxed nor crated. */
  readonly bare: number
  /** Gaps across that are filled. */
  readonly gaps: number
  /** Whether the face before the door, or the gap at the front wall, is braced. */
  readonly braced: number
}

/**
 * Straps, blankets, fillers and boards for a load, whole pieces, rounded up.
 *
 * @param figures rows `dunnage.*` of data/reference/stowage.csv
 *
 * Source: common practice, no source. Example: 4 walls at 2 straps and 3 tied pieces at 1 are 11 straps.
 */
export function dunnage(
  need: DunnageNeed,
  figures: (id: string) => number,
): Readonly<Record<Dunnage, number>> {
  const { walls, tied, bare, gaps, braced } = need
  const whole = (n: number): number => Math.max(0, Math.ceil(n - 1e-9))
  return {
    strap: whole(walls * figures('dunnage.straps-wall') + tied * figures('dunnage.straps-tied')),
    blanket: whole(bare * figures('dunnage.blankets')),
    filler: whole(gaps * figures('dunnage.fillers')),
    board: whole(braced * figures('dunnage.boards-door')),
  }
}

import { listed } from '../paper/format.js'
import type { Hold } from '../stowage/packing/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'

/**
 * Wishes that cannot all be met, or that ask for so much that they say nothing, as sentences with what to change.
 *
 * @param hold with its vehicles in place
 */
export function contradictions(hold: Hold, pieces: readonly LoadPiece[]): readonly string[] {
  const found: string[] = []
  const marks = (list: readonly LoadPiece[]): string => listed([...new Set(list.flatMap((p) => p.lines))])
  const onFloor = pieces.filter((p) => p.floorOnly === true)
  // The least floor each can stand on: its two shorter edges where it may be turned, else length times width.
  const areaM2 = (p: LoadPiece): number => {
    const [a, b] = [p.lengthMm, p.widthMm, p.heightMm].sort((x, y) => x - y) as [number, number]
    return (p.upright?.length === 3 ? a * b : p.lengthMm * p.widthMm) / 1e6
  }
  const needsM2 = onFloor.reduce((sum, p) => sum + areaM2(p), 0)
  const takenMm2 = (hold.fixed ?? []).reduce((sum, { clear }) => sum + clear.dx * clear.dy, 0)
  const floorM2 = (hold.lengthMm * hold.widthMm - takenMm2) / 1e6
  if (needsM2 > floorM2) {
    found.push(
      `What keeps to the floor needs at least ${needsM2.toFixed(1)} m² and there are ${floorM2.toFixed(1)} m²: take floor-only from some of ${marks(onFloor)}.`,
    )
  }
  const alone = onFloor.filter((p) => p.maxLoadOnTopKg === 0)
  if (alone.length > 0) {
    found.push(
      `On the floor only, and with nothing on top, each of these takes the whole height above it: ${marks(alone)}. Crate it, or let one of the two go.`,
    )
  }
  const first = pieces.filter((p) => p.firstNeeded === true)
  if (first.length > pieces.length / 2) {
    found.push(
      `${first.length} of ${pieces.length} pieces are first needed: they cannot all stand near the door. Keep first-needed for what the first nights take.`,
    )
  }
  return found
}

// What goes into a hold, the hold itself, and the load plan that comes out. All lengths are whole
// millimetres; x runs from the front wall to the door, y from left to right seen from the door's
// side looking in at the front wall's left corner, z from the floor up.

/** Which of a piece's own three edges is meant. */
export type Edge = 'length' | 'width' | 'height'

/** One thing to be stowed, wrapped as it will be loaded: an item of furniture, a carton, a crate. */
export interface Piece {
  readonly id: string
  readonly label?: string
  /** Outer edges when wrapped, whole mm, 1 or more. */
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  /** Mass with its packing, kg, 0 or more. */
  readonly massKg: number
  /** Edges that may stand upright; left out: only the height. */
  readonly upright?: readonly Edge[]
  /** Mass that may stand on top, kg, spread over the top; left out: no limit; 0: nothing on top. */
  readonly maxLoadOnTopKg?: number
  /** Only on the container floor, never on another piece or on a deck. */
  readonly floorOnly?: boolean
  /** Nothing may stand on it, whatever the limit above says. */
  readonly fragile?: boolean
  /** Pieces with the same name here are stowed next to each other where they can be (a wish). */
  readonly keepTogether?: string
  /** Wanted soon after arrival: stowed as near to the door as can be (a wish). */
  readonly firstNeeded?: boolean
  /** What leaving it behind would cost, in any one unit; left out: its volume in m³. */
  readonly value?: number
  /**
   * Share of each horizontal edge that neighbours may press away (soft seats: 0.05), or, below zero,
   * the extra room an irregular piece wastes (−0.1: a tenth more on each horizontal edge).
   */
  readonly squeezeShare?: number
  /** Bends and folds: rugs, bedding, cushions. It may lie over several pieces with gaps between them. */
  readonly soft?: boolean
  /** Other outer sizes it may be given, such as a rug folded once: whole mm, 1 or more. */
  readonly foldedMm?: readonly (readonly [lengthMm: number, widthMm: number, heightMm: number])[]
}

/** A box in the hold's own co-ordinates, mm. */
export interface Box {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly dx: number
  readonly dy: number
  readonly dz: number
}

/** A floor built over a vehicle, on which light pieces may stand. */
export interface Deck {
  readonly x: number
  readonly y: number
  readonly dx: number
  readonly dy: number
  /** Height of its upper face over the container floor, mm. */
  readonly zMm: number
  /** All that may stand on it together, kg. */
  readonly maxLoadKg: number
  /** The heaviest single piece that may stand on it, kg. */
  readonly maxPieceKg: number
}

/** Something whose place is settled before packing starts, such as a car, with nothing stowed in its way. */
export interface FixedBlock {
  readonly id: string
  readonly label?: string
  readonly massKg: number
  /** Its outline as boxes: bonnet, cabin, boot. */
  readonly boxes: readonly Box[]
  /** Floor that stays clear of goods, the outline and room for doors and lashing included. */
  readonly clear: { readonly x: number; readonly y: number; readonly dx: number; readonly dy: number }
  readonly deck?: Deck
}

/** A container as the packer sees it. */
export interface Hold {
  readonly id: string
  readonly label?: string
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  readonly doorWidthMm: number
  readonly doorHeightMm: number
  /** Greatest mass of everything inside, kg. */
  readonly payloadKg: number
  /** Greatest mass on any metre of length, kg/m. */
  readonly lineLoadKgPerM: number
  /** How far the centre of gravity may be from mid-length, as a share of the length (0.05). */
  readonly balanceShare: number
  /** How far it may be from mid-width, as a share of the width; left out: not looked at. */
  readonly balanceAcrossShare?: number
  /** How high it may be, as a share of the inside height; left out: not looked at. */
  readonly balanceHeightShare?: number
  readonly fixed?: readonly FixedBlock[]
}

/** Where one piece stands. */
export interface Placement extends Box {
  readonly pieceId: string
  /** The piece's own edge that points up. */
  readonly upright: Edge
  /** The piece's own edge that lies along the container. */
  readonly along: Edge
  /** Which of `foldedMm` it is given, from 1; left out: its own size. */
  readonly folded?: number
  /** Loading stage, from 1; a stage is a wall or part of one. */
  readonly stage: number
}

/** A piece that stays behind, and why, as a sentence. */
export interface LeftOut {
  readonly pieceId: string
  readonly reason: string
}

/** A packed hold. Placements stand in loading order, front wall first. */
export interface LoadPlan {
  readonly holdId: string
  readonly placements: readonly Placement[]
  readonly leftOut: readonly LeftOut[]
  /** Volume of the pieces in place as they stand, m³, and as a share of the hold's inside. */
  readonly volumeM3: number
  readonly volumeShare: number
  /** Mass of pieces and fixed blocks, kg, and as a share of the payload. */
  readonly massKg: number
  readonly massShare: number
  /** Centre of gravity of pieces and fixed blocks, mm from front wall, left wall and floor. */
  readonly centreOfGravity: { readonly x: number; readonly y: number; readonly z: number }
  /** Its distance from mid-length, as a share of the length; below zero: towards the front wall. */
  readonly balanceOffsetShare: number
  /** Length from the front wall to the last piece, mm. */
  readonly usedLengthMm: number
  /** Rules that could not be met with these pieces, as sentences; an empty list is a sound plan. */
  readonly unmet: readonly string[]
  /** Pieces that tip unless they are tied, where the rules say what is slender: by nothing held on both sides. */
  readonly tied?: readonly string[]
  /** Pieces that are handed in farther than the rules let an arm reach: from a step, or two hand them on. */
  readonly handedOn?: readonly string[]
  /** What a crew would not expect of this plan, and why, as sentences. */
  readonly notes?: readonly string[]
}

/** Rules that are the same for every piece. */
export interface LoadRules {
  /**
   * Share of each base that must rest on something, above 0.5 and up to 1; the rest may hang over. Left out: 1, full
   * support, as the published test problems ask; 0: a piece may hang in the air, as those without support have it.
   */
  readonly supportShare?: number
  /** The same for soft pieces, which lie over others; left out: as for all. */
  readonly softSupportShare?: number
  /** Unevenness that blankets or boards level out under a piece, whole mm; left out: 0. */
  readonly levelMm?: number
  /** A piece of `fromKg` or more has its base no higher than `highestMm` over the floor; left out: no limit. */
  readonly lift?: { readonly fromKg: number; readonly highestMm: number }
  /** The load begins no farther than this from the front wall, mm, unless the balance asks for it; left out: not looked at. */
  readonly frontMm?: number
  /**
   * A piece this many times as high as it is deep is slender: it stands between neighbours or walls no farther off than
   * `reachMm` on both its broad sides, or it is tied. Left out: not looked at.
   */
  readonly slender?: { readonly ratio: number; readonly reachMm: number }
  /** How far over goods already standing a piece is handed to its place, mm; left out: not looked at. */
  readonly reachMm?: number
  /**
   * A piece of this mass or more never stands on a lighter one, kg. Callers that have the tables pass row
   * `stack.heavy-from` of data/reference/stowage.csv; left out: that row's value, 30 (common practice, no source).
   */
  readonly heavyFromKg?: number
}

/** The whole inside of a hold, mm³. */
export function holdMm3(hold: Hold): number {
  return hold.lengthMm * hold.widthMm * hold.heightMm
}

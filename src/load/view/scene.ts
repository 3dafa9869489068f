// What the page hands to the 3D view: plain data, written into the page as JSON.

/** Lengths in mm, in the hold's own co-ordinates. */
export interface ViewBox {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly dx: number
  readonly dy: number
  readonly dz: number
}

export interface ViewPiece extends ViewBox {
  readonly number: number
  readonly name: string
  readonly carton: boolean
  readonly stage: number
}

export interface ViewScene {
  readonly container: ViewBox
  readonly doorWidthMm: number
  readonly doorHeightMm: number
  /** In loading order. */
  readonly pieces: readonly ViewPiece[]
  readonly vehicles: readonly {
    readonly name: string
    readonly car: boolean
    readonly boxes: readonly ViewBox[]
    readonly deck?: ViewBox
  }[]
  readonly centreOfGravity: { readonly x: number; readonly y: number; readonly z: number }
  readonly stages: number
}

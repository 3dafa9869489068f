export { type Board, boxCompressionN, cartonBearsKg } from './carton-strength.js'
export type { CartonKind, Figures, Goods, LoadPiece, Sides, SizeFrom, UsualItem } from './goods.js'
export { figureOf } from './goods.js'
export { cartonPieces, goodsPieces } from './pieces.js'
export { type PieceSize, pieceSize } from './sizes.js'
export {
  type LoadVehicle,
  placesFor,
  type Standing,
  standVehicles,
  type VehicleClearance,
  type VehiclePlace,
} from './vehicles.js'

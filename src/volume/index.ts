export {
  type CartonContent,
  type CartonGroup,
  cartonList,
  type LooseGoods,
  type NumberedCarton,
} from './carton-list.js'
export { type CartonSize, cartonCount } from './cartons.js'
export { boxM3, packedM3 } from './line-volume.js'

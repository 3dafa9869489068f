export { type CartonSize, cartonCount } from './cartons.js'
export { boxM3, packedM3 } from './line-volume.js'

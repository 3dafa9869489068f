export {
  aboardScore,
  type ContainerPlan,
  type ContainerSearch,
  packContainer,
  type VehicleStand,
} from './pack-container.js'
export { type PackVerdict, packVerdict, standsOf, type VerdictQuestion, verdictKey } from './verdict.js'

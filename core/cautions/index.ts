export { type Caution, type Cautions, type Severity, isInForce } from './caution.ts'
export {
  type CautionScene,
  type SceneBottle,
  type SceneIngredient,
  type SceneSolution,
  type SceneVessel,
  isSolidForm,
  sceneOf,
} from './scene.ts'
export {
  type AirLimit,
  type GhsBand,
  type GhsSubstance,
  type GroupMember,
  type HazardFacts,
  type Incompatibility,
  type PairRule,
  type Place,
  type RuleSide,
  type Tables,
  type Threshold,
  readHazardFacts,
  sourceReader,
} from './hazard-facts.ts'
export { AUDIENCE_DISTANCE_M, VESSEL_OVER_LIQUID, standingLines } from './standing.ts'
export { CLEARING_REAGENTS, type Content, type Share, clearingReagent } from './contents.ts'
export { type Encounter, onceEach, pairCautions } from './pairs.ts'
export { EXAMPLE_ROOM_M3, type Room, airCaution, gasVolumeL, gasesNow, mostGases, ppmInRoom, shortLimit } from './room-air.ts'
export { type PeroxideHeat, WATER_HEAT_CAPACITY_J_PER_GK, heatAndFoam, peroxideHeat } from './heat-and-foam.ts'
export { bandOf, ghsRow, labelOf, severityOfStatement, statements } from './substance-hazards.ts'
export { cautionsFor, refusals } from './cautions-for.ts'

export { type Caution, type CautionLabel, type Cautions, type Severity, isInForce } from './caution.ts'
export type { AirCourse, AirLimit, HeldLimit } from './air-limits.ts'
export { airCourse, courseWords, meanPpm, ppmAt } from './air-course.ts'
export { acuteCategory, acuteToxicityEstimate, type PoisonousPart } from './acute-toxicity.ts'
export { acuteTable, type HazardClass, limitOf, type MixtureRule, type MixtureRules } from './ghs-rules.ts'
export { type Ingredient, mixtureClasses } from './mixture-classes.ts'
export { type PhAndReserve, phAndReserve, reserveVerdict } from './extreme-ph.ts'
export { gaugeBar } from './closed-and-shaken.ts'
export type { Threshold } from './threshold.ts'
export {
  type CautionScene,
  type SceneBottle,
  type SceneIngredient,
  type ScenePour,
  type SceneSolution,
  type SceneVessel,
  type InPart,
  poursOfMade,
  sceneInPart,
  sceneOf,
} from './scene.ts'
export {
  type GhsBand,
  type GhsSubstance,
  type GroupMember,
  type HazardFacts,
  type Incompatibility,
  type PairRule,
  type Place,
  type RuleSide,
  type Tables,
  readHazardFacts,
  sourceReader,
} from './hazard-facts.ts'
export { AUDIENCE_DISTANCE_M, VESSEL_OVER_LIQUID, standingLines } from './standing.ts'
export { CLEARING_REAGENTS, type Content, type Share, clearingReagent } from './contents.ts'
export { type Encounter, onceEach, pairCautions } from './pairs.ts'
export { EXAMPLE_ROOM_M3, type Room, airCaution, gasName, gasVolumeL, gasesNow, mostGases, ppmInRoom, shortLimit } from './room-air.ts'
export { type PeroxideHeat, WATER_HEAT_CAPACITY_J_PER_GK, heatAndFoam, peroxideHeat } from './heat-and-foam.ts'
export { bandOf, ghsRow, labelOf, severityOfStatement, statements } from './substance-hazards.ts'
export { type CautionOptions, cautionsFor, refusals } from './cautions-for.ts'
export { worseCautions } from './worse-cautions.ts'

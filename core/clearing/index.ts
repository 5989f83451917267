export type {
  Alternative,
  ClearingPlan,
  ClearingStep,
  LeftLine,
  LeftRole,
  LimitLine,
  MetalLeft,
  OrganicLeft,
  OxidantLeft,
  PlaceAnswer,
  PublishedLimit,
  Range,
  ReductantChoice,
  ReductantId,
  Stream,
  TreatmentStage,
} from './clearing-plan.ts'
export {
  type AcidCount,
  type ClearingFacts,
  type ClearingMetal,
  type CollectOnly,
  type EndTest,
  type ExampleLimit,
  type ResidualPoint,
  readClearingFacts,
} from './clearing-facts.ts'
export {
  type ClearingOptions,
  type ClearingWorld,
  type LeftInVessel,
  PEROXIDE_DILUTED_MOL_PER_L,
  TEMPERATURE_LIMIT_K,
  planClearing,
} from './plan-clearing.ts'
export { type Equation, type HalfReaction, type Side, combine, parseEquation, stoichiometricNumber } from './half-reactions.ts'
export { type EnthalpyOf, adiabaticRise, closedBottleBar, portionsUnder, reactionHeat } from './heat.ts'
export { acidToNeutralise, meanProtons } from './acid.ts'
export { residualFloor } from './metals.ts'
export { REDUCTANTS, type Reductant, type Treatment, oxidantEquivalents, reduce } from './reduction.ts'
export { isLimitParameter, LIMIT_PARAMETERS, type LimitParameter, type PlaceLimit, type PlaceLimits } from './place-limits.ts'
export type { Price } from './alternatives.ts'
export { baseNeeded, type SettledLiquid, settleLiquid, toMasters, WASTE_CONSTANTS, withHalomalonates } from './liquid.ts'
export { react, type Reacted, reactByItself, wayOf } from './reacting.ts'
export { type Pace, type ReductantFamily, type Way } from './reduction-ways.ts'
export { type Stage, type StageName, treat, type Treated, type TreatRequest, type TreatWorld } from './treat.ts'
export { LOCAL_RULE } from './streams.ts'

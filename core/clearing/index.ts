export type {
  ClearingPlan,
  ClearingStep,
  MetalLeft,
  OrganicLeft,
  OxidantLeft,
  Range,
  ReductantChoice,
  ReductantId,
  Stream,
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
export { LOCAL_RULE } from './streams.ts'

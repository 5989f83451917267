export type * from './recipe.ts'
export type * from './make-up-result.ts'
export { type MadeInPart, makeInPart, makeUp, type MakeUpFacts, type MakeUpOptions } from './make-up.ts'
export type { MixShare } from './mix-share.ts'
export { type BalanceKind, type GlassKind, type GlassPiece, type Glassware, readGlassware } from './glassware.ts'
export { type FinalSubstance, type FoundPour, type Mix, type TrueStrengths, trueStrengths } from './true-strengths.ts'
export { compareRecipes, type ComparedRecipe, type ComparisonCell, type ComparisonRow, type RecipeComparison } from './compare.ts'
export { type Scaled, scaleRecipe, type ScaleWish } from './scale.ts'
export { readPrice, totalCost } from './shopping.ts'
export {
  amountAtEquivalence,
  electronsInAssay,
  PERMANGANATE_ELECTRONS,
  THIOSULFATE_ELECTRONS,
  titrantStrength,
  titrantVolumeL,
} from './titration.ts'
export { bottleContent } from './bottle-content.ts'
export type { BottleContent } from './strength.ts'
export { type Perishing, perishing } from './perishable.ts'
export { MOLAR_VOLUME_0C_1ATM_L, peroxideFromVolumes, volumesFromPeroxide } from './assay.ts'
export { propagate, rectangular, triangular, type Shape, type Uncertain, type UncertaintyPart } from './uncertainty.ts'

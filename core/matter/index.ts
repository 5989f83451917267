export type * from './substance.ts'
export type { FormulaItem, FormulaPart, FormulaPhase, FormulaTree } from './formula-tree.ts'
export { type Formula, formulaLimits, parseFormula } from './parse-formula.ts'
export { type FormulaStyle, writeFormula, writeSpecies } from './write-formula.ts'
export { type AtomicWeight, type AtomicWeights, type MolarMass, molarMass, readAtomicWeights } from './molar-mass.ts'
export { hillText } from './composition-key.ts'
export type { DensityTables, MatterFacts, SolubilityTables, SpeciesFacts, Thermochemistry, WaterTables } from './matter-facts.ts'
export { type MatterTables, readMatterFacts } from './read-matter-facts.ts'
export { speciesNamed } from './read-species.ts'
export { asHydrate } from './read-substances.ts'
export { hydrateWord, splitHydrateName, watersIn } from './hydrates.ts'
export { compoundNamed, findSubstance } from './find-substance.ts'
export { isSolidForm, standsSolid } from './solid-form.ts'
export {
  concentrationFromMassFraction,
  type DensityFound,
  densityOf,
  massFractionFromConcentration,
  type StrengthFound,
} from './density.ts'
export {
  anhydrousPer100g,
  dissolvesAbove,
  dissolvesWithin,
  hydratePer100gWater,
  solubilityAt,
  type SolubilityFound,
} from './solubility.ts'
export { debyeHueckelA, waterDensity, waterHeatCapacity, waterVapourPressurePa } from './water.ts'
export {
  type EnthalpyTerm,
  formationEnthalpy,
  heatOfDilutingHydrochloricAcid,
  heatOfSolution,
  integralHeatOfSulfuricAcid,
  reactionEnthalpy,
  solutionHeatCapacity,
} from './thermochemistry.ts'

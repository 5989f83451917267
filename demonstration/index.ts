export type * from './demonstration.ts'
export { type KnownFacts, parseDemonstration } from './parse-demonstration.ts'
export { lights } from './lights.ts'
export { type DocumentEdit, editText, type Renaming, renameInText } from './edit-text.ts'
export { writeDemonstration, writtenBottle, writtenSolution, writtenVessel } from './write-demonstration.ts'
export { compareFound } from './compare-found.ts'
export { parseBottles } from './parse-bottles.ts'
export { type BottleFit, fitShelf, fromShelf, type ShelfBottle, type ShelfFit } from './shelf-fit.ts'
export { type Asks, type FoundPart, type FoundSolution, type FoundText, readFoundText } from './found/found-text.ts'
export { currentVersion } from './versions.ts'
export {
  bandOfVessel,
  bandRehearsal,
  type BandOptions,
  clearVessel,
  type DayFacts,
  type PouredVessel,
  type Prepared,
  prepare,
  type RehearsalOptions,
  rehearseVessel,
  requestFor,
  usualRehearsal,
} from './day.ts'
export { knownCautions } from './known-cautions.ts'
export { parsePlace } from './read-place.ts'
export { clearAt, type ClearWish, type Leftovers, leftoversAlong } from './clear-at.ts'
export { sayingOf } from './saying.ts'
export { type Reasons, reasonsOf, type ReasonsWish } from './reasons-of.ts'
export { type RatedStep, ratesAlong, type RatesAlong } from './rates-along.ts'
export { changedRecipe, type Constraint, permittedRecipe, withChangedAmount } from './changed-recipe.ts'
export { type CoastWish, coastOfVessel, type VaryRange, varyVessel, type VaryWish } from './vary-of.ts'
export { type AimedAmountResult, aimOfVessel, type AimResult } from './aim-of.ts'
export type { AimBound, AimBy, AimTarget, AimWish } from './aim-wish.ts'
export type { Tried } from './tried.ts'
export { type CheckedMistakes, type DangerousMistake, mistakesOfVessel, type MistakesWish } from './mistakes-of.ts'
export { type VariedRecipe, variedRecipes, type VariedRecipesWish } from './varied-recipes.ts'
export {
  type BesideFile,
  besideIn,
  type DocumentText,
  type HouseFacts,
  mechanismFor,
  type OpenDocument,
  openDocument,
  prepareDocument,
  reactionNames,
} from './open-document.ts'
export type * from './work/job.ts'
export { createJobRunner, faultProblem, type JobControl, runJob } from './work/run-job.ts'
export { aimOver, bandOver, type BandWish, carpetOver, carryOutOver, coastOver, type DayOverPool, mistakesOver } from './work/over-pool.ts'
export {
  type Crew,
  cancelled,
  inProcessPool,
  isCancelled,
  type JobDone,
  poolOf,
  resultsOf,
  type RunOptions,
  type Shift,
  type StopSignal,
  type TaskPool,
} from './work/task-pool.ts'
export { displayRehearsal, fineLook, type QuickChanges, type QuickLook, quickLook } from './quick-look.ts'

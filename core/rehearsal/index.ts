export type * from './rehearsal.ts'
export { noVariation, portionKey, varySolutions, type Variation } from './variation.ts'
export { causeOfEnd, USED_UP_SHARE, type CauseInput } from './cause.ts'
export { type Features, FIRST_PERIODS, featuresOf, isStillGoing } from './features.ts'
export {
  type CourseFacts,
  type CourseRequest,
  createRigStore,
  type RigStore,
  type Stretch,
  type VesselCourse,
  vesselCourse,
} from './vessel-course.ts'
export { elementTotals, inventoryTotals, compositionsOf, type Compositions } from './books.ts'
export { familiesOf } from './families.ts'
export { airSaturation, gasSolubility, solidSaturation, vesselProcesses } from './vessel-facts.ts'
export { rehearse, rehearseForShow, type RehearsalFacts, type RehearseRequest, type ShownRehearsal } from './rehearse.ts'
export { columnsOf, type Seen, seenOf } from './seen.ts'
export {
  bandOf,
  bandPlan,
  bandRuns,
  statedOrByGrade,
  type BandRequest,
  type BandUncertainty,
  featuresFor,
  pourUncertainty,
  temperatureUncertainty,
  usualUncertainty,
  varied,
} from './band.ts'
export { type Sensitivity, type SensitivityRequest, sensitivities } from './sensitivity.ts'
export {
  amountText,
  type AmountUnit,
  amountUnit,
  constantNamesOf,
  findAmount,
  presentValue,
  type VariedAmount,
  withAmount,
} from './carpet-amount.ts'
export { type Carpet, carpetAround, carpetOf, type CarpetRequest, type CarpetRow, carpetRow, carpetValues, emptyRow } from './carpet.ts'
export { carryOut, type Plan } from './plan.ts'
export {
  type Coast,
  type CoastAnswer,
  type CoastAxis,
  coastFeatures,
  type CoastGrid,
  type CoastLines,
  coastLines,
  coastOf,
  isRehearsable,
  coastPlan,
  coastPoint,
  type CoastPiece,
  type CoastPoint,
  type CoastRequest,
  type Forbidden,
  planCoast,
  type Show,
} from './coast.ts'
export { type Aim, aimAt, aimPlan, type AimAnswer, type AimFeature, type AimRequest, type AimSample, featureValue } from './aim.ts'
export { type AimedAmount, aimSeveral, aimSeveralPlan, type AimSeveral, type AimSeveralRequest } from './aim-several.ts'
export { type DirectCheck, type Mistake, possibleMistakes } from './mistakes-list.ts'
export {
  explainBy,
  mistakeRuns,
  mistakesPlan,
  type Explanation,
  type MistakesFound,
  type MistakesRequest,
  type Observation,
  type Predicted,
  sameColourWord,
  type SeparatingTest,
  TOO_FAR,
} from './mistakes.ts'
export { manyStarts, type StartFound } from './many-starts.ts'
export { electrodeTraces } from './electrode-traces.ts'
export { type Absorber, type AbsorberFacts, molarAbsorptivityAt, readAbsorbers, STARCH_ABSORBER, usualAbsorbers } from './absorbers.ts'
export { type IodineForms, type StarchFacts, bindingConstant, readStarchFacts, settleIodine, triiodideConstant } from './starch.ts'
export { type Grain, usualGrains } from './grains.ts'
export {
  type Course,
  type SeeingFacts,
  type SeenColours,
  type Seeing,
  SURFACE_LIGHT,
  prepareSeeing,
  seeColours,
  stripOf,
  tripleAt,
} from './seeing.ts'
export { type SettledColour, type TurnRules } from './colour-path.ts'
export { type SeenTurns, findTurns, turnsOfStrip, usualTurnRules } from './turns.ts'
export { type Cycles, cyclesOf, dutyOf, inductionOf } from './cycles.ts'
export {
  type ElectrodeFacts,
  type RedoxCouple,
  absorbanceAt,
  coupleMillivolts,
  electrodeSources,
  gasVolumeL,
  IODIDE_NOTE,
  iodideElectrode,
  nernstSlopeMv,
  readElectrodeFacts,
  rulingCouple,
} from './signals.ts'

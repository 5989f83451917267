export type * from './mechanism.ts'
export type * from './network.ts'
export type { NetworkTables } from './network-tables.ts'
export { parseMechanism, MECHANISM_FORMAT } from './parse-mechanism.ts'
export { parseExpression, printExpression } from './expression.ts'
export { parseEquation, balanceOf, describeImbalance } from './equation.ts'
export { compileNetwork, TEMPERATURE_STATE } from './compile-network.ts'
export { type CatalogueFile, findMechanism } from './catalogue.ts'
export { type StartConcentrations, startConcentrations, placeStart } from './start.ts'
export { startsFrom } from './starts-from.ts'
export { type StepEnthalpies, stepEnthalpies } from './step-enthalpies.ts'
export { temperatureWarnings } from './temperature-warnings.ts'
export {
  type Share,
  type SpeciesReasons,
  type StepChanges,
  type Turnover,
  type Reign,
  type RulerOptions,
  type Limiting,
  reasonsAt,
  reignsOf,
  rulersAlong,
  turnoverOf,
  limitingReagent,
} from './reasons.ts'
export { type CanItWork, type DeadLimitOptions, type EffectCheck, type Margin, deadLimits } from './dead-limits.ts'
export { isFedBy } from './fed-by.ts'
export { mostMade, usedUp } from './colour-told.ts'
export { type Reach, missingRoots, reach } from './reach.ts'
export type * from './exchange/exchange-model.ts'
export type { BesideReader } from './exchange/steps-from.ts'
export { readExchange } from './exchange/read-exchange.ts'
export { writeExchange } from './exchange/write-exchange.ts'
export { type ExportOptions, exchangeOf } from './exchange/mechanism-to-exchange.ts'
export { type ImportedMechanism, type ImportedSpecies, type ImportOptions, mechanismOf } from './exchange/exchange-to-mechanism.ts'
export { type Assembled, assemble } from './exchange/assemble.ts'
export { type ExchangeRun, type ExchangeRunRequest, type WantedColumn, runExchange } from './exchange/run-exchange.ts'
export { type NetworkTangent, type SlotChange, networkTangent } from './network-tangent.ts'
export {
  type NetworkSensitivityRequest,
  type Variation,
  networkSensitivities,
  passage,
  pourBreak,
  turning,
  varyConstant,
  varyHeld,
  varyNetwork,
  varyStart,
  varyTemperature,
} from './vary-network.ts'
export {
  type Knob,
  type KnobSpan,
  type NetworkSteadyRequest,
  type OscillationMap,
  borderOfOscillation,
  conservationLaws,
  mapOfOscillation,
  networkStability,
  steadyNetwork,
} from './steady-network.ts'

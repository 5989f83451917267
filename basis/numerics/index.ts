export type {
  Break,
  Drift,
  Ending,
  EventFunction,
  FoundEvent,
  Integrator,
  Invariant,
  Keep,
  MethodFacts,
  OdeSystem,
  RunRequest,
  Solution,
  SparsePattern,
  Statistics,
  StepKernel,
  Tolerances,
} from './ode.ts'
export { BELOW_FLOOR, NOT_CONVERGED, NOT_FINITE, SINGULAR } from './ode.ts'
export { type IntegratorName, createIntegrator, createIntegratorFor, methodFor } from './integrator.ts'
export { type RadauChoice, type RadauStages, createRadauKernel, radauStages } from './radau-kernel.ts'
export { createGeneratedRadauKernel } from './radau-generated.ts'
export type { EmitCalls, EmitPlaces, Emittable } from './emittable.ts'
export { createGeneratedKernel } from './generated-kernel.ts'
export { emitExponential, emitExponentialRoom, exponential } from './exponential.ts'
export { type Place, WasmBody } from './wasm-encoder.ts'
export { type ProductTables, type SumTables, emitProducts, emitSum, storeInPairs } from './wasm-sums.ts'
export { type ProductRate, createProductSystem } from './product-system.ts'
export { createRosenbrockKernel } from './rosenbrock-kernel.ts'
export { type MethodName, type RosenbrockTableau, methods, rodas4, rodas5p } from './rosenbrock-tableau.ts'
export { type SparseLu, createSparseLu, entryOf, fullPattern, patternOf } from './sparse-lu.ts'
export { type DenseLu, createDenseLu, solveDense } from './dense-lu.ts'
export { grossTotal, weightedTotal } from './invariants.ts'
export { findRoot } from './root.ts'
export { type RandomStream, randomStream } from './random.ts'
export { quantile, quantiles } from './quantiles.ts'
export { inverseNormal } from './inverse-normal.ts'
export { type EvenPoints, evenDimensions, evenPoints } from './sobol.ts'
export { linearGrid, logGrid } from './grids.ts'
export { type Settable, type VariedSystem, varyByDifferences } from './varied-system.ts'
export { createSensitivityKernel } from './sensitivity-kernel.ts'
export {
  type SensitivityRequest,
  type SensitivitySolution,
  type VariedBreak,
  type VariedEvent,
  type VariedEventFound,
  runSensitivities,
} from './sensitivities.ts'
export { type Eigenvalues, eigenvalues } from './eigenvalues.ts'
export { type ReducedLaws, leftNullSpace, reduceLaws } from './conserved-laws.ts'
export { type Stability, type SteadyRequest, type SteadyState, describeSpectrum, findSteadyState, stabilityOf } from './steady-state.ts'
export {
  type AdjustableSystem,
  type Axis,
  type Branch,
  type BranchPoint,
  type BranchRequest,
  type SpecialPoint,
  followBranch,
} from './continuation.ts'
export { type HopfLine, type HopfLineEnd, type HopfLinePoint, type HopfLineRequest, followHopfLine } from './hopf-line.ts'

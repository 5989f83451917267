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
export { BELOW_FLOOR, NOT_FINITE, SINGULAR } from './ode.ts'
export { createIntegrator, createIntegratorFor } from './integrator.ts'
export { createRosenbrockKernel } from './rosenbrock-kernel.ts'
export { type MethodName, type RosenbrockTableau, methods, rodas4, rodas5p } from './rosenbrock-tableau.ts'
export { type SparseLu, createSparseLu, entryOf, fullPattern, patternOf } from './sparse-lu.ts'
export { type DenseLu, createDenseLu, solveDense } from './dense-lu.ts'
export { grossTotal, weightedTotal } from './invariants.ts'
export { findRoot } from './root.ts'
export { type RandomStream, randomStream } from './random.ts'
export { quantile, quantiles } from './quantiles.ts'
export { linearGrid, logGrid } from './grids.ts'

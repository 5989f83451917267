/** How first turn, period, length and cycles answer to every ingredient, to temperature and to every constant. */
import type { Portion } from '../makeup/index.ts'
import { featuresFor, varied } from './band.ts'
import type { Features } from './features.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { noVariation, portionKey, type Variation } from './variation.ts'
import { createRigStore } from './vessel-course.ts'

/** Local powers d ln(feature) / d ln(input), or the relative change a kelvin for temperature; null where the feature is missing on a side. */
export interface Sensitivity {
  readonly of: string
  readonly kind: 'ingredient' | 'temperature' | 'constant'
  readonly firstTurn: number | null
  readonly period: number | null
  readonly length: number | null
  /** Cycles are whole numbers: their change for ten percent more (or one kelvin) is given, not a power. */
  readonly cyclesForTenPercent: number | null
}

export interface SensitivityRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  /** Names of constants to vary; all of the mechanism's when absent, none when empty. */
  readonly constantNames: readonly string[]
  readonly onStep?: (done: number, of: number) => void
}

/** Half width of the central difference: wide enough to rise above the sampling of turns, narrow enough to be local. */
const RELATIVE_STEP = 0.05
const TEMPERATURE_STEP_K = 1
const TEN_PERCENT = 0.1

function power(low: number | null | undefined, high: number | null | undefined, widthLn: number): number | null {
  return low == null || high == null || !(low > 0) || !(high > 0) ? null : Math.log(high / low) / widthLn
}

function compare(
  of: string,
  kind: Sensitivity['kind'],
  low: Features | null,
  high: Features | null,
  width: number,
  cycleScale: number,
): Sensitivity {
  return {
    of,
    kind,
    firstTurn: power(low?.firstTurnS, high?.firstTurnS, width),
    period: power(low?.periodS, high?.periodS, width),
    length: power(low?.lengthS, high?.lengthS, width),
    cyclesForTenPercent: low === null || high === null ? null : (high.cycles - low.cycles) * cycleScale,
  }
}

/**
 * Central differences, two runs a row: amounts and constants by ±5 % (stated with the result), temperature by ±1 K.
 * Ingredients are varied as portions, all their ions together. Whole rehearsals and not forward sensitivities: rounds are counted, a turn is what an eye
 * sees, and most of the time goes into the seeing (decision 8).
 */
export function sensitivities(request: SensitivityRequest, facts: RehearsalFacts): readonly Sensitivity[] {
  const widthLn = Math.log((1 + RELATIVE_STEP) / (1 - RELATIVE_STEP))
  // Compiled once for all runs.
  const rigged = { ...request, rigs: request.rigs ?? createRigStore() }
  const run = (v: Variation): Features | null => featuresFor(varied(rigged, request.portions, v, facts), facts)
  const base: Variation = { ...noVariation, constants: request.constants ?? {} }
  const keys = [...new Set(request.portions.filter((p) => request.vessel.pours.some((q) => q.solution === p.solution)).map(portionKey))]
  const of = keys.length + 1 + request.constantNames.length
  const rows: Sensitivity[] = []
  const add = (row: Sensitivity): void => {
    rows.push(row)
    request.onStep?.(rows.length, of)
  }
  for (const key of keys) {
    const low = run({ ...base, portions: { [key]: 1 - RELATIVE_STEP } })
    const high = run({ ...base, portions: { [key]: 1 + RELATIVE_STEP } })
    add(compare(key, 'ingredient', low, high, widthLn, TEN_PERCENT / (2 * RELATIVE_STEP)))
  }
  const cold = run({ ...base, temperatureShiftK: -TEMPERATURE_STEP_K })
  const warm = run({ ...base, temperatureShiftK: TEMPERATURE_STEP_K })
  add(compare('temperature, a kelvin', 'temperature', cold, warm, 2 * TEMPERATURE_STEP_K, 1 / (2 * TEMPERATURE_STEP_K)))
  for (const name of request.constantNames) {
    const factor = base.constants[name] ?? 1
    const low = run({ ...base, constants: { ...base.constants, [name]: factor * (1 - RELATIVE_STEP) } })
    const high = run({ ...base, constants: { ...base.constants, [name]: factor * (1 + RELATIVE_STEP) } })
    add(compare(name, 'constant', low, high, widthLn, TEN_PERCENT / (2 * RELATIVE_STEP)))
  }
  return rows
}

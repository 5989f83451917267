import type { OdeSystem } from './ode.ts'

/**
 * A system y′ = f(y, p) with its derivatives by parameters, for forward sensitivities s_k = ∂y/∂p_k. It must not depend on time
 * explicitly. A parameter that is only a start value adds nothing to f: the functions below then work in the direction s alone.
 */
export interface VariedSystem extends OdeSystem {
  readonly parameterCount: number
  /** Fills `out` with J(y) s + ∂f/∂p_k: the rates of s_k. */
  ratesAlong(timeS: number, y: Float64Array, parameter: number, s: Float64Array, out: Float64Array): void
  /**
   * Fills `values` with Σ_l ∂J/∂y_l s_l + ∂J/∂p_k, in the order of the pattern. An inexact one costs order of convergence, not
   * consistency; entries outside the pattern of J are zero.
   */
  jacobianAlong(timeS: number, y: Float64Array, parameter: number, s: Float64Array, values: Float64Array): void
  /** Adds ∂f_i/∂p_k to out[i · width + k] for every parameter; absent: asked of `ratesAlong` one by one. */
  addSources?(timeS: number, y: Float64Array, width: number, out: Float64Array): void
}

/** Cube root of the unit roundoff: the best relative step of a central difference. */
const BEST_STEP = Number.EPSILON ** (1 / 3)

/** A parameter that can be set to a number; the system must give rates for it at once. */
export interface Settable {
  /** The value around which differences are taken. */
  readonly value: number
  set(value: number): void
}

/**
 * A varied system by central differences, where nothing exact is at hand: ∂f/∂p_k from rates at p_k (1 ± 6e-6), the Jacobian's change from
 * Jacobians along the direction. About ten digits for smooth rates. `null` stands for a parameter that is a start value only.
 */
export function varyByDifferences(system: OdeSystem, parameters: readonly (Settable | null)[]): VariedSystem {
  const { size: n, pattern } = system
  const jacobian = new Float64Array(pattern.columns.length)
  const other = new Float64Array(pattern.columns.length)
  const ahead = new Float64Array(n)
  const behind = new Float64Array(n)
  const moved = new Float64Array(n)

  function aside(parameter: number, step: (direction: 1 | -1) => void): number {
    const p = parameters[parameter]
    if (p === null || p === undefined) return 0
    const by = BEST_STEP * (p.value === 0 ? 1 : Math.abs(p.value))
    p.set(p.value + by)
    step(1)
    p.set(p.value - by)
    step(-1)
    p.set(p.value)
    return 2 * by
  }

  return {
    size: n,
    pattern,
    parameterCount: parameters.length,
    rates: (t, y, out) => {
      system.rates(t, y, out)
    },
    jacobian: (t, y, values) => {
      system.jacobian(t, y, values)
    },
    ratesAlong(t, y, parameter, s, out) {
      system.jacobian(t, y, jacobian)
      for (let i = 0; i < n; i++) {
        let sum = 0
        for (let p = pattern.rowStart[i]!; p < pattern.rowStart[i + 1]!; p++) sum += jacobian[p]! * s[pattern.columns[p]!]!
        out[i] = sum
      }
      const width = aside(parameter, (direction) => {
        system.rates(t, y, direction > 0 ? ahead : behind)
      })
      if (width > 0) for (let i = 0; i < n; i++) out[i] = out[i]! + (ahead[i]! - behind[i]!) / width
    },
    jacobianAlong(t, y, parameter, s, values) {
      values.fill(0)
      // A step along s that moves no component by more than its own size times the best step, nor all of them by less than rounding.
      let reach = 0
      let size = 0
      for (let i = 0; i < n; i++) {
        reach = Math.max(reach, Math.abs(s[i]!))
        size = Math.max(size, Math.abs(y[i]!))
      }
      if (reach > 0) {
        const by = (BEST_STEP * (size > 0 ? size : 1)) / reach
        for (let i = 0; i < n; i++) moved[i] = y[i]! + by * s[i]!
        system.jacobian(t, moved, jacobian)
        for (let i = 0; i < n; i++) moved[i] = y[i]! - by * s[i]!
        system.jacobian(t, moved, other)
        for (let p = 0; p < values.length; p++) values[p] = (jacobian[p]! - other[p]!) / (2 * by)
      }
      const width = aside(parameter, (direction) => {
        system.jacobian(t, y, direction > 0 ? jacobian : other)
      })
      if (width > 0) for (let p = 0; p < values.length; p++) values[p] = values[p]! + (jacobian[p]! - other[p]!) / width
    },
  }
}

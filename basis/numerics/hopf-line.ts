import { advance, createCurve, type CurveEquations, type CurvePoint, type Pace } from './arclength.ts'
import { type AdjustableSystem, type Axis, coordinateOf, SteadyCurve } from './continuation.ts'
import type { Eigenvalues } from './eigenvalues.ts'
import { findRoot } from './root.ts'

export interface HopfLineRequest {
  /** Two parameters, moved within their spans; the order of `from` and `to` does not matter. */
  readonly axes: readonly [Axis, Axis]
  /** A Hopf point: values of both parameters, its state and imaginary part (SpecialPoint). */
  readonly values: readonly [number, number]
  readonly y: Float64Array
  readonly omegaPerS: number
  readonly absolute?: number
  readonly signed?: boolean
  /** Longest step as a share of the spans; default 0.02. */
  readonly longestShare?: number
  /** For each of the two ways; default 500. */
  readonly mostPoints?: number
}

export interface HopfLinePoint {
  readonly values: readonly [number, number]
  readonly y: Float64Array
  /** Imaginary part of the pair, 1/s; the oscillation born here has the period 2π/ω. */
  readonly omegaPerS: number
}

/**
 * Why a line ends: it left the spans, closed on itself, the pair became real (a point where Hopf and fold lines meet), or steps became too
 * short or too many.
 */
export type HopfLineEnd = 'left-span' | 'closed' | 'pair-became-real' | 'step-too-small' | 'too-many-points'

export interface HopfLine {
  /** In order along the line. */
  readonly points: readonly HopfLinePoint[]
  readonly ends: readonly [HopfLineEnd, HopfLineEnd]
  /** False when the start was no Hopf point to begin from; then there are no points. */
  readonly started: boolean
}

/** Share of the scales by which unknowns are moved to see how the real part of the pair answers. */
const GROWTH_STEP = 1e-5
const SHORTEST = 1e-7

/** Two eigenvalues re ± i ω, or two real ones with ω² = −(half their difference)²: smooth where a pair becomes real. */
interface Pair {
  readonly re: number
  readonly omegaSquared: number
}

/** The pair nearest to zero real part and ω²; null when there are fewer than two eigenvalues. */
function nearestPair(found: Eigenvalues, omegaSquared: number, unit: number): Pair | null {
  const { re, im } = found
  let best: Pair | null = null
  let distance = Infinity
  const offer = (pair: Pair): void => {
    const d = Math.hypot(pair.re, (pair.omegaSquared - omegaSquared) / unit)
    if (d < distance) {
      distance = d
      best = pair
    }
  }
  for (let i = 0; i < re.length; i++) {
    if (im[i]! > 0) offer({ re: re[i]!, omegaSquared: im[i]! ** 2 })
    if (im[i] !== 0) continue
    for (let j = i + 1; j < re.length; j++) {
      if (im[j] === 0) offer({ re: (re[i]! + re[j]!) / 2, omegaSquared: -(((re[i]! - re[j]!) / 2) ** 2) })
    }
  }
  return best
}

/** Steady states (n rows) whose pair has no real part (one row), in (y, p, q). */
class HopfCurve implements CurveEquations {
  readonly size: number
  /** ω² of the last point. */
  omegaSquared: number
  private readonly unit: number
  private readonly steady: SteadyCurve
  private readonly scales: Float64Array
  constructor(steady: SteadyCurve, omega: number) {
    this.steady = steady
    this.size = steady.size
    this.omegaSquared = omega * omega
    this.unit = omega
    this.scales = new Float64Array(steady.size)
  }

  pairAt(x: Float64Array): Pair | null {
    const found = this.steady.spectrumAt(x)?.eigenvalues
    return found === undefined ? null : nearestPair(found, this.omegaSquared, this.unit)
  }

  fill(x: Float64Array, out: Float64Array, matrix: Float64Array): boolean {
    const n = this.steady.stateSize
    if (!this.steady.fill(x, out, matrix)) return false
    const pair = this.pairAt(x)
    if (pair === null) return false
    out[n] = pair.re / this.unit
    this.scale(x, this.scales)
    const moved = x.slice()
    for (let j = 0; j < this.size; j++) {
      const by = GROWTH_STEP * this.scales[j]!
      moved[j] = x[j]! + by
      const ahead = this.pairAt(moved)
      moved[j] = x[j]! - by
      const behind = this.pairAt(moved)
      moved[j] = x[j]!
      if (ahead === null || behind === null) return false
      matrix[n * this.size + j] = (ahead.re - behind.re) / (2 * by * this.unit)
    }
    this.steady.place(x)
    return true
  }

  scale(x: Float64Array, out: Float64Array): void {
    this.steady.scale(x, out)
  }
}

/**
 * The Hopf line through a Hopf point over two parameters, both ways, by pseudo-arclength on (y, p, q): the border inside which a steady
 * state has given way to oscillation. Follows the line round folds of the steady state.
 */
export function followHopfLine(adjustable: AdjustableSystem, request: HopfLineRequest): HopfLine {
  const { axes, values, y } = request
  const n = adjustable.system.size
  const largest = y.reduce((a, b) => Math.max(a, Math.abs(b)), 0)
  const absolute = request.absolute ?? 1e-14 * (largest > 0 ? largest : 1)
  const steady = new SteadyCurve(adjustable, axes, y, absolute, request.signed ?? false)
  const x0 = new Float64Array(n + 2)
  x0.set(y)
  axes.forEach((axis, k) => {
    x0[n + k] = coordinateOf(axis).at(values[k]!)
  })
  const bounds = axes.map((axis) => {
    const coordinate = coordinateOf(axis)
    const ends = [coordinate.at(axis.from), coordinate.at(axis.to)]
    return [Math.min(...ends), Math.max(...ends)] as const
  })

  function oneWay(direction: 1 | -1): { readonly points: readonly HopfLinePoint[]; readonly end: HopfLineEnd } | null {
    const equations = new HopfCurve(steady, request.omegaPerS)
    const curve = createCurve(equations)
    // Where the line runs along one axis the other must be held.
    const here0 = curve.start(x0, n, direction) ?? curve.start(x0, n + 1, direction)
    if (here0 === null) return null
    const start = here0
    let here: CurvePoint = start
    const book = (p: CurvePoint): HopfLinePoint => ({
      values: [steady.valueOf(p.x, 0), steady.valueOf(p.x, 1)],
      y: steady.stateOf(p.x),
      omegaPerS: Math.sqrt(Math.max(0, equations.pairAt(p.x)?.omegaSquared ?? 0)),
    })
    const points = [book(here)]
    const longest = (request.longestShare ?? 0.02) * Math.max(1, Math.sqrt(n) / 4)
    const pace: Pace = { length: longest / 10, longest, shortest: SHORTEST }
    const scales = new Float64Array(n + 2)
    let away = 0
    for (let i = 1; i < (request.mostPoints ?? 500); i++) {
      steady.settle(here.x.subarray(0, n))
      const from = here
      const next = advance(curve, from, pace, () => true)
      if (next === null) return { points, end: 'step-too-small' }
      const { point } = next
      const beyond = outside(point.x, n, bounds)
      if (beyond !== null) {
        const place = n + beyond.axis
        const cut = findRoot(
          (s) => (s === 0 ? from.x[place]! : (curve.step(from, s)?.x[place] ?? Number.NaN)) - beyond.bound,
          0,
          next.length,
          1e-12 * next.length,
        )
        const exact = cut === null ? null : curve.step(from, cut)
        if (exact !== null) points.push(book(exact))
        return { points, end: 'left-span' }
      }
      const pair = equations.pairAt(point.x)
      if (pair === null) return { points, end: 'step-too-small' }
      if (pair.omegaSquared <= 0) {
        // Beyond, two real eigenvalues of opposite sign and equal size: no oscillation. The meeting point closes the line.
        const cut = findRoot(
          (s) => {
            const p = s === 0 ? from : curve.step(from, s)
            return p === null ? Number.NaN : (equations.pairAt(p.x)?.omegaSquared ?? Number.NaN)
          },
          0,
          next.length,
          1e-12 * next.length,
        )
        const exact = cut === null ? null : curve.step(from, cut)
        if (exact !== null) points.push(book(exact))
        return { points, end: 'pair-became-real' }
      }
      equations.omegaSquared = pair.omegaSquared
      here = point
      points.push(book(here))
      equations.scale(start.x, scales)
      const distance = Math.hypot(...here.x.map((v, j) => (v - start.x[j]!) / scales[j]!))
      if (distance > 3 * longest) away++
      if (away > 0 && distance < next.length) return { points, end: 'closed' }
    }
    return { points, end: 'too-many-points' }
  }

  const forward = oneWay(1)
  if (forward === null) return { points: [], ends: ['step-too-small', 'step-too-small'], started: false }
  if (forward.end === 'closed') return { points: forward.points, ends: ['closed', 'closed'], started: true }
  const back = oneWay(-1)
  if (back === null) return { points: forward.points, ends: ['step-too-small', forward.end], started: true }
  return { points: [...back.points.toReversed(), ...forward.points.slice(1)], ends: [back.end, forward.end], started: true }
}

/** The first bound that x has passed, or null. */
function outside(
  x: Float64Array,
  n: number,
  bounds: readonly (readonly [low: number, high: number])[],
): { readonly axis: number; readonly bound: number } | null {
  for (const [axis, [low, high]] of bounds.entries()) {
    if (x[n + axis]! < low) return { axis, bound: low }
    if (x[n + axis]! > high) return { axis, bound: high }
  }
  return null
}

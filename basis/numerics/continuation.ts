import { advance, createCurve, type CurveEquations, type CurvePoint, type Pace } from './arclength.ts'
import { weightedTotal } from './invariants.ts'
import type { OdeSystem } from './ode.ts'
import { findRoot } from './root.ts'
import { steadyEquations } from './steady-equations.ts'
import { describeSpectrum, findSteadyState, type Stability, type SteadyState } from './steady-state.ts'

/** A system with numbers that can be set, by place. */
export interface AdjustableSystem {
  readonly system: OdeSystem
  set(parameter: number, value: number): void
  /** Weights of all totals that no rate changes; the same for every value of the parameters. */
  readonly laws?: readonly Float64Array[]
}

/** One parameter and the span in which it is moved. */
export interface Axis {
  /** Its place in AdjustableSystem.set. */
  readonly parameter: number
  readonly from: number
  readonly to: number
  /** Equal factors are equal lengths; both ends must be above zero. */
  readonly logarithmic?: boolean
}

export interface BranchRequest {
  readonly axis: Axis
  /** Near a steady state at `from`; its totals are kept. */
  readonly y0: ArrayLike<number>
  /** As in SteadyRequest. */
  readonly absolute?: number
  readonly signed?: boolean
  readonly by?: 'relax' | 'newton' | 'either'
  /** Longest step as a share of the span; default 0.02. */
  readonly longestShare?: number
  /** Default 2000. */
  readonly mostPoints?: number
}

export interface BranchPoint {
  readonly value: number
  readonly y: Float64Array
  readonly stability: Stability
}

/**
 * `hopf`: a pair of eigenvalues crosses the imaginary axis, an oscillation of period 2π/ω is born (or dies) here; `fold`: the branch turns
 * back; `crossing`: a real eigenvalue changes sign without a fold, another branch crosses.
 */
export interface SpecialPoint extends BranchPoint {
  readonly kind: 'hopf' | 'fold' | 'crossing'
  /** Imaginary part of the crossing pair, 1/s; null unless `hopf`. */
  readonly omegaPerS: number | null
  /** Change of the number of unstable eigenvalues along the branch. */
  readonly unstableChange: number
}

export interface Branch {
  readonly points: readonly BranchPoint[]
  readonly special: readonly SpecialPoint[]
  readonly ending:
    | { readonly how: 'reached-end' }
    /** After a fold the branch came back past `from`. */
    | { readonly how: 'came-back' }
    | { readonly how: 'no-start'; readonly search: SteadyState }
    | { readonly how: 'stopped-short'; readonly value: number; readonly why: 'step-too-small' | 'too-many-points'; readonly advice: string }
}

/** A parameter axis as a coordinate of even measure. */
export function coordinateOf(axis: Axis): { readonly span: number; at(value: number): number; value(coordinate: number): number } {
  const log = axis.logarithmic === true
  const at = (value: number): number => (log ? Math.log(value) : value)
  return { at, value: (c) => (log ? Math.exp(c) : c), span: Math.abs(at(axis.to) - at(axis.from)) }
}

/** Relative step of the central differences by a parameter; eleven digits of the derivative, which only has to guide Newton. */
const PARAMETER_STEP = 6e-6
const SHORTEST_SHARE = 1e-9

/** Typical sizes of components: themselves, but not less than this share of the largest. */
const LEAST_SCALE_SHARE = 1e-9

export function stateScale(y: Float64Array, n: number, absolute: number, out: Float64Array): void {
  let largest = 0
  for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(y[i]!))
  for (let i = 0; i < n; i++) out[i] = Math.max(Math.abs(y[i]!), LEAST_SCALE_SHARE * largest, absolute)
}

/** The steady states at fixed totals as a curve in (y, coordinates of the axes). */
export class SteadyCurve implements CurveEquations {
  readonly size: number
  readonly stateSize: number
  private readonly adjustable: AdjustableSystem
  private readonly axes: readonly Axis[]
  private readonly coordinates: readonly ReturnType<typeof coordinateOf>[]
  private readonly totals: readonly number[]
  private readonly absolute: number
  private readonly signed: boolean
  private readonly square: Float64Array
  private readonly ahead: Float64Array
  private readonly behind: Float64Array
  private equations: ReturnType<typeof steadyEquations>

  constructor(adjustable: AdjustableSystem, axes: readonly Axis[], y: Float64Array, absolute: number, signed: boolean) {
    const n = adjustable.system.size
    this.adjustable = adjustable
    this.axes = axes
    this.coordinates = axes.map(coordinateOf)
    this.stateSize = n
    this.size = n + axes.length
    this.absolute = absolute
    this.signed = signed
    this.totals = (adjustable.laws ?? []).map((law) => weightedTotal(law, y))
    this.square = new Float64Array(n * n)
    this.ahead = new Float64Array(n)
    this.behind = new Float64Array(n)
    this.equations = steadyEquations(adjustable.system, adjustable.laws ?? [], this.totals, y)
  }

  /** Chooses anew which components the totals give. */
  settle(y: Float64Array): void {
    this.equations = steadyEquations(this.adjustable.system, this.adjustable.laws ?? [], this.totals, y)
  }

  place(x: Float64Array): void {
    this.axes.forEach((axis, k) => {
      this.adjustable.set(axis.parameter, this.coordinates[k]!.value(x[this.stateSize + k]!))
    })
  }

  /** State part of x. */
  stateOf(x: Float64Array): Float64Array {
    return x.slice(0, this.stateSize)
  }

  valueOf(x: Float64Array, axis = 0): number {
    return this.coordinates[axis]!.value(x[this.stateSize + axis]!)
  }

  spectrumAt(x: Float64Array): Stability | null {
    this.place(x)
    const found = this.equations.spectrum(this.stateOf(x))
    return found === null ? null : describeSpectrum(found)
  }

  /** Rows of F at x with one column an unknown; see CurveEquations.fill. */
  fill(x: Float64Array, out: Float64Array, matrix: Float64Array): boolean {
    const n = this.stateSize
    const y = this.stateOf(x)
    if (!this.signed && y.some((v) => v < -this.absolute)) return false
    this.place(x)
    const rows = out.subarray(0, n)
    this.equations.fill(y, rows, this.square)
    if (!rows.every(Number.isFinite) || !this.square.every(Number.isFinite)) return false
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) matrix[i * this.size + j] = this.square[i * n + j]!
    const { free, dependent } = this.equations.reduced
    this.axes.forEach((axis, k) => {
      const c = this.coordinates[k]!
      const here = x[n + k]!
      const by = PARAMETER_STEP * (axis.logarithmic === true ? 1 : Math.max(Math.abs(here), 1e-3 * c.span))
      this.adjustable.set(axis.parameter, c.value(here + by))
      this.adjustable.system.rates(0, y, this.ahead)
      this.adjustable.set(axis.parameter, c.value(here - by))
      this.adjustable.system.rates(0, y, this.behind)
      this.adjustable.set(axis.parameter, c.value(here))
      for (const i of free) matrix[i * this.size + n + k] = (this.ahead[i]! - this.behind[i]!) / (2 * by)
      for (const i of dependent) matrix[i * this.size + n + k] = 0
    })
    return true
  }

  scale(x: Float64Array, out: Float64Array): void {
    stateScale(x, this.stateSize, this.absolute, out)
    this.axes.forEach((_, k) => {
      out[this.stateSize + k] = this.coordinates[k]!.span
    })
  }
}

const advice = {
  'step-too-small':
    'the branch ends here, or two branches come together: look at the eigenvalues of the last point, and begin on the other side',
  'too-many-points': 'allow more points or longer steps, or shorten the span',
} as const

/**
 * Follows steady states from `axis.from` to `axis.to` round folds, with the stability of each and the places where it changes found to
 * about 1e-12 of the span. The first point is searched from y0.
 */
export function followBranch(adjustable: AdjustableSystem, request: BranchRequest): Branch {
  const { axis } = request
  const n = adjustable.system.size
  const largest = Array.from(request.y0).reduce((a, b) => Math.max(a, Math.abs(b)), 0)
  const absolute = request.absolute ?? 1e-14 * (largest > 0 ? largest : 1)
  const signed = request.signed ?? false
  adjustable.set(axis.parameter, axis.from)
  const search = findSteadyState(adjustable.system, {
    y0: request.y0,
    absolute,
    signed,
    by: request.by ?? 'either',
    ...(adjustable.laws === undefined ? {} : { laws: adjustable.laws }),
  })
  const points: BranchPoint[] = []
  const special: SpecialPoint[] = []
  const close = (ending: Branch['ending']): Branch => ({ points, special, ending })
  if (search.how !== 'found') return close({ how: 'no-start', search })
  const equations = new SteadyCurve(adjustable, [axis], search.y, absolute, signed)
  const curve = createCurve(equations)
  const coordinate = coordinateOf(axis)
  const [first, last] = [coordinate.at(axis.from), coordinate.at(axis.to)]
  const direction = last >= first ? 1 : -1
  const x0 = new Float64Array(n + 1)
  x0.set(search.y)
  x0[n] = first
  let here = curve.start(x0, n, direction)
  let spectrum = here === null ? null : equations.spectrumAt(here.x)
  if (here === null || spectrum === null) return close({ how: 'no-start', search })
  const book = (x: Float64Array, stability: Stability): BranchPoint => ({ value: equations.valueOf(x), y: equations.stateOf(x), stability })
  points.push(book(here.x, spectrum))
  // Length is measured in scales of all unknowns; a step of the longest length moves the parameter by at most its share.
  const longest = (request.longestShare ?? 0.02) * Math.max(1, Math.sqrt(n) / 4)
  const pace: Pace = { length: longest / 10, longest, shortest: SHORTEST_SHARE }
  const mostPoints = request.mostPoints ?? 2000
  while (points.length < mostPoints) {
    equations.settle(here.x.subarray(0, n))
    const from = here
    const next = advance(curve, from, pace, (p) => Math.abs(p.x[n]! - from.x[n]!) <= 2 * longest * coordinate.span)
    if (next === null)
      return close({ how: 'stopped-short', value: equations.valueOf(here.x), why: 'step-too-small', advice: advice['step-too-small'] })
    let { point, length } = next
    // Past an end: the point exactly there.
    const beyondEnd = (point.x[n]! - last) * direction > 0
    const beyondStart = (point.x[n]! - first) * direction < 0
    if (beyondEnd || beyondStart) {
      const border = beyondEnd ? last : first
      const cut = findRoot(
        (s) => (s === 0 ? from.x[n]! - border : (curve.step(from, s)?.x[n] ?? Number.NaN) - border),
        0,
        length,
        1e-13 * length,
      )
      const exact = cut === null ? null : curve.step(from, cut)
      if (cut !== null && exact !== null) {
        point = exact
        length = cut
      }
    }
    const now = equations.spectrumAt(point.x)
    if (now === null)
      return close({ how: 'stopped-short', value: equations.valueOf(here.x), why: 'step-too-small', advice: advice['step-too-small'] })
    special.push(...changesBetween(equations, (s) => curve.step(from, s), from, spectrum, point, now, length))
    here = point
    spectrum = now
    points.push(book(here.x, spectrum))
    if (beyondEnd) return close({ how: 'reached-end' })
    if (beyondStart) return close({ how: 'came-back' })
  }
  return close({ how: 'stopped-short', value: equations.valueOf(here.x), why: 'too-many-points', advice: advice['too-many-points'] })
}

/**
 * What happens between two points: folds by the tangent's component along the parameter, the rest by real parts in falling order, each
 * of which is a continuous function along the branch.
 */
function changesBetween(
  equations: SteadyCurve,
  step: (length: number) => CurvePoint | null,
  from: CurvePoint,
  before: Stability,
  to: CurvePoint,
  after: Stability,
  length: number,
): readonly SpecialPoint[] {
  const n = equations.stateSize
  const found: { readonly length: number; readonly point: SpecialPoint }[] = []
  const unstableChange = after.unstable - before.unstable
  const locate = (kind: 'fold' | null, g: (p: CurvePoint) => number, index: number): void => {
    const value = (s: number): number => {
      const p = s === 0 ? from : s === length ? to : step(s)
      return p === null ? Number.NaN : g(p)
    }
    const s = findRoot(value, 0, length, 1e-13 * length)
    const p = s === null ? null : step(s)
    const stability = p === null ? null : equations.spectrumAt(p.x)
    if (s === null || p === null || stability === null) return
    const im = kind === 'fold' ? 0 : stability.eigenvalues.im[index]!
    found.push({
      length: s,
      point: {
        kind: kind ?? (im !== 0 ? 'hopf' : 'crossing'),
        value: equations.valueOf(p.x),
        y: equations.stateOf(p.x),
        stability,
        omegaPerS: im !== 0 ? Math.abs(im) : null,
        unstableChange,
      },
    })
  }
  const isFold = from.tangent[n]! * to.tangent[n]! < 0
  if (isFold) locate('fold', (p) => p.tangent[n]!, 0)
  const [a, b] = [before.eigenvalues, after.eigenvalues]
  for (let j = 0; j < a.re.length; j++) {
    const isNoise = Math.abs(a.re[j]!) <= a.uncertainty && Math.abs(b.re[j]!) <= b.uncertainty
    if (isNoise || a.re[j]! > 0 === b.re[j]! > 0) continue
    const count = found.length
    locate(null, (p) => equations.spectrumAt(p.x)?.eigenvalues.re[j] ?? Number.NaN, j)
    const last = found.at(-1)
    if (found.length === count || last === undefined) continue
    // The real eigenvalue that crosses at a fold is the fold's own.
    if (last.point.kind === 'crossing' && isFold) found.pop()
    if (last.point.kind === 'hopf') j++
  }
  return found.sort((p, q) => p.length - q.length).map((f) => f.point)
}

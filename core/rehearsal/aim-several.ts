/**
 * Aim by several amounts at once: the least change that gives what is wanted. Changes are counted as shares of each amount's bounds,
 * and the least change is the one whose shares have the least sum of squares. On smooth features the way there is Newton's, on the
 * line of steepest answer; where that does not arrive (steps, colours, features that end), evenly filling points are tried and the nearest
 * that does is drawn towards the recipe as it is.
 */
import { evenPoints } from '@beakertide/basis/numerics'
import { invariant } from '@beakertide/basis/problems'
import { carryOut, type Plan } from './plan.ts'

export interface AimedAmount {
  /** Values the amount may take, low first. */
  readonly bounds: readonly [number, number]
  readonly present: number
  /** Whether equal steps or equal ratios count as equal changes. */
  readonly steps: 'linear' | 'log'
}

export interface AimSeveralRequest {
  readonly amounts: readonly AimedAmount[]
  /** Lowest and highest result wanted. */
  readonly wanted: readonly [number, number]
  /** Relative distance from the target at which the search stops. */
  readonly tolerance: number
  /** A result that moves with the amounts (a time), or one of a few (a count, a colour that is there or not). */
  readonly isSmooth: boolean
}

export interface AimedAt {
  /** One value an amount. */
  readonly values: readonly number[]
  /** Null: the feature is not there, or the recipe is forbidden. */
  readonly result: number | null
}
export interface AimSeveral {
  readonly answer: 'already' | 'found' | 'out-of-reach' | 'feature-absent' | 'stopped'
  /** What was found, or the nearest; null when the feature is nowhere. */
  readonly nearest: AimedAt | null
  /** Every rehearsal made, in the order they were asked for. */
  readonly samples: readonly AimedAt[]
}

const NEWTON_STEPS = 7
/** Share of the bounds by which each amount is moved to find how the result answers: far beyond the rounding of weighings. */
const PROBE = 0.04
/** A Newton step goes no farther than this share of the bounds. */
const LONGEST_STEP = 0.35
/** Points tried over the whole of the bounds, and their seed. */
const TRIED = 48
const SEED = 1
/** Rounds in which a point is drawn towards the recipe as it is, each at so many places between. */
const DRAWN_ROUNDS = 3
const DRAWN_PLACES = 4

type Shares = readonly number[]
const lengthOf = (u: Shares): number => Math.hypot(...u)

/** The aim for any function of several numbers, evaluated here. */
export function aimSeveral(request: AimSeveralRequest, evaluate: (values: readonly number[]) => number | null): AimSeveral {
  return carryOut(aimSeveralPlan(request), evaluate)
}

/** The aim for any function of several numbers, asking for its results. */
export function* aimSeveralPlan(request: AimSeveralRequest): Plan<readonly number[], number | null, AimSeveral> {
  const { amounts, wanted, tolerance, isSmooth } = request
  invariant(amounts.length > 0, 'an aim has an amount')
  const places = amounts.map(({ bounds, present, steps }) => {
    invariant(bounds[0] < bounds[1] && (steps === 'linear' || bounds[0] > 0), `bounds from ${bounds[0]} to ${bounds[1]}`)
    const to = (v: number): number => (steps === 'log' ? Math.log(v) : v)
    const width = to(bounds[1]) - to(bounds[0])
    const at = (u: number): number => {
      const raw = to(present) + u * width
      return Math.min(bounds[1], Math.max(bounds[0], steps === 'log' ? Math.exp(raw) : raw))
    }
    return {
      at: (u: number) => (u === 0 ? present : at(u)),
      low: (to(bounds[0]) - to(present)) / width,
      high: (to(bounds[1]) - to(present)) / width,
    }
  })
  const valuesAt = (u: Shares): readonly number[] => places.map((p, i) => p.at(u[i]!))
  const inside = (u: Shares): Shares => u.map((x, i) => Math.min(places[i]!.high, Math.max(places[i]!.low, x)))
  const samples: AimedAt[] = []
  let stopped = false
  const slack = tolerance * Math.abs((wanted[0] + wanted[1]) / 2)
  const miss = (result: number | null): number =>
    result === null ? Number.POSITIVE_INFINITY : Math.max(0, wanted[0] - slack - result, result - wanted[1] - slack)
  let hit: { readonly u: Shares; readonly at: AimedAt } | null = null
  let nearest: AimedAt | null = null

  function* lookAt(us: readonly Shares[]): Plan<readonly number[], number | null, readonly (number | null)[]> {
    if (stopped || us.length === 0) return []
    const results = yield us.map(valuesAt)
    results.forEach((result, k) => {
      const at: AimedAt = { values: valuesAt(us[k]!), result }
      samples.push(at)
      if (result !== null && (nearest === null || miss(result) < miss(nearest.result))) nearest = at
      if (miss(result) === 0 && (hit === null || lengthOf(us[k]!) < lengthOf(hit.u))) hit = { u: us[k]!, at }
    })
    if (results.length < us.length) stopped = true
    return results
  }
  /** Newton's way from the recipe as it is; ends at a hit, or where it no longer helps. */
  function* alongSlopes(start: number): Plan<readonly number[], number | null, void> {
    const target = (wanted[0] + wanted[1]) / 2
    let u: Shares = places.map(() => 0)
    let result = start
    for (let step = 0; step < NEWTON_STEPS && hit === null && !stopped; step++) {
      const probes = u.map((x, i) => (x + PROBE <= places[i]!.high ? PROBE : -PROBE))
      const moved = yield* lookAt(u.map((_, i) => u.map((x, k) => (k === i ? x + probes[i]! : x))))
      let slope = moved.map((r, i) => (r === null || r === undefined ? 0 : (r - result) / probes[i]!))
      // The nearest point of the plane on which the linear answer is the target; amounts that it would push out of bounds stay there.
      let next = u
      for (let round = 0; round < u.length; round++) {
        const square = slope.reduce((sum, g) => sum + g * g, 0)
        if (square === 0) return
        const fixed = u.map((x, i) => (slope[i] === 0 ? inside(next)[i]! : x))
        const reach = target - result - slope.reduce((sum, g, i) => sum - g * u[i]!, 0)
        const free = slope.map((g, i) => (g === 0 ? fixed[i]! : (g * reach) / square))
        const clipped = inside(free)
        const out = free.map((x, i) => x !== clipped[i])
        next = clipped
        if (!out.some(Boolean)) break
        slope = slope.map((g, i) => (out[i] ? 0 : g))
      }
      const way = next.map((x, i) => x - u[i]!)
      const far = lengthOf(way)
      if (far < 1e-6) return
      let share = Math.min(1, LONGEST_STEP / far)
      const before = miss(result)
      for (;;) {
        const at = u.map((x, i) => x + share * way[i]!)
        const [r] = yield* lookAt([at])
        if (r === undefined || stopped) return
        if (r !== null && miss(r) < before) {
          u = at
          result = r
          break
        }
        share /= 2
        if (share < 0.1) return
      }
    }
  }
  /** Points all over the bounds. */
  function* everywhere(): Plan<readonly number[], number | null, void> {
    const names = places.map((_, i) => `amount ${i}`)
    const points = evenPoints(SEED, names)
    yield* lookAt(Array.from({ length: TRIED }, (_, k) => places.map((p, i) => p.low + points.at(k, names[i]!) * (p.high - p.low))))
  }
  /** Moves a hit towards the recipe as it is, as far as it stays one. */
  function* drawn(): Plan<readonly number[], number | null, void> {
    let inner = 0
    for (let round = 0; round < DRAWN_ROUNDS && hit !== null && !stopped; round++) {
      const { u }: { readonly u: Shares } = hit
      const shares = Array.from({ length: DRAWN_PLACES }, (_, k) => inner + ((1 - inner) * (k + 1)) / (DRAWN_PLACES + 1))
      const results = yield* lookAt(shares.map((s) => u.map((x) => s * x)))
      const first = results.findIndex((r) => miss(r) === 0)
      const below = first < 0 ? shares.at(-1)! : (shares[first - 1] ?? inner)
      const reached = first < 0 ? 1 : shares[first]!
      inner = below / reached
    }
  }

  const [start] = yield* lookAt([places.map(() => 0)])
  if (hit !== null) return { answer: 'already', nearest, samples }
  if (isSmooth && start !== undefined && start !== null) yield* alongSlopes(start)
  if (hit === null) {
    yield* everywhere()
    yield* drawn()
  }
  const found = hit as { readonly at: AimedAt } | null
  if (stopped) return { answer: 'stopped', nearest: found?.at ?? nearest, samples }
  if (found !== null) return { answer: 'found', nearest: found.at, samples }
  return nearest === null ? { answer: 'feature-absent', nearest, samples } : { answer: 'out-of-reach', nearest, samples }
}

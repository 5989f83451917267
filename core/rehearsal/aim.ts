/**
 * Aim: the value of one amount at which a feature of the show is as wanted. The curve is sampled first, because it need not rise
 * or fall throughout and need not exist everywhere; then the crossing nearest to the present value is closed in.
 */
import { invariant } from '@beakertide/basis/problems'
import type { Features } from './features.ts'
import { carryOut, type Plan } from './plan.ts'

export type AimFeature = 'first-turn' | 'period' | 'length' | 'cycles'

/** The number of a feature; null when it is not there, or only a lower limit (a show that goes on at the end of the rehearsal). */
export function featureValue(feature: AimFeature, f: Features | null): number | null {
  if (f === null) return null
  if (feature === 'first-turn') return f.firstTurnS
  if (feature === 'period') return f.periodS
  if (f.stillGoing) return null
  return feature === 'length' ? f.lengthS : f.cycles
}

export interface AimRequest {
  /** Lowest and highest value wanted; equal for a single one. */
  readonly wanted: readonly [number, number]
  /** Values the amount may take, low first; ratios count when `steps` is log. */
  readonly bounds: readonly [number, number]
  readonly present: number
  readonly steps: 'linear' | 'log'
  /** Rehearsals along the bounds before the search. */
  readonly samples: number
  /** Relative distance from the target at which the search stops. */
  readonly tolerance: number
  readonly shouldStop?: (() => boolean) | undefined
  readonly onRun?: ((runs: number) => void) | undefined
}

export interface AimSample {
  readonly value: number
  /** Null: the feature is not there. */
  readonly result: number | null
}

export type AimAnswer =
  /** The present value already gives it. */
  | { readonly how: 'already' }
  | { readonly how: 'found' }
  /** The results jump over what is wanted, between these two neighbouring values. */
  | { readonly how: 'jumps'; readonly below: AimSample; readonly above: AimSample }
  /** Nowhere within the bounds; the nearest is given. `side`: the bound at which it is nearest; null: inside, where the curve turns back or ends. */
  | { readonly how: 'out-of-reach'; readonly side: 'low' | 'high' | null }
  | { readonly how: 'feature-absent' }
  | { readonly how: 'stopped' }

export interface Aim {
  readonly answer: AimAnswer
  /** The value found, or the nearest one; null when the feature is nowhere. */
  readonly nearest: AimSample | null
  /** Every rehearsal made, in the order of values. */
  readonly samples: readonly AimSample[]
}

/** Halvings of one interval: 2^-40 of the bounds is finer than any balance. */
const MOST_HALVINGS = 40
/** Values nearer than this share of the bounds are one: a result that still differs there jumps. */
const SAME_VALUE = 1e-6

/** The aim for any function of one number, evaluated here. `evaluate` gives null where there is nothing. */
export function aimAt(request: AimRequest, evaluate: (value: number) => number | null): Aim {
  return carryOut(aimPlan(request), (value) => {
    if (request.shouldStop?.() === true) return undefined
    const result = evaluate(value)
    return result === null && request.shouldStop?.() === true ? undefined : result
  })
}

/** The aim for any function of one number, asking for its results: null where there is nothing. */
export function* aimPlan(request: AimRequest): Plan<number, number | null, Aim> {
  const { bounds, present, steps } = request
  const [low, high] = bounds
  invariant(low < high && (steps === 'linear' || low > 0), `bounds from ${low} to ${high}`)
  const place = (value: number): number => (steps === 'log' ? Math.log(value) : value)
  const back = (at: number): number => (steps === 'log' ? Math.exp(at) : at)
  const width = place(high) - place(low)
  const made = new Map<number, AimSample>()
  let stopped = false
  const isStopped = (): boolean => stopped
  function* runAll(values: readonly number[]): Plan<number, number | null, void> {
    const unseen = [...new Set(values)].filter((value) => !made.has(value))
    if (stopped || unseen.length === 0) return
    const results = yield unseen
    results.forEach((result, i) => made.set(unseen[i]!, { value: unseen[i]!, result }))
    if (results.length < unseen.length) stopped = true
    request.onRun?.(made.size)
  }
  function* run(value: number): Plan<number, number | null, AimSample> {
    yield* runAll([value])
    return made.get(value) ?? { value, result: null }
  }
  const [wantLow, wantHigh] = request.wanted
  const wanted = (wantLow + wantHigh) / 2
  const slack = request.tolerance * Math.abs(wanted)
  const miss = (s: AimSample): number => {
    if (s.result === null) return Number.POSITIVE_INFINITY
    return Math.max(0, wantLow - slack - s.result, s.result - wantHigh - slack)
  }
  const sorted = (): readonly AimSample[] => [...made.values()].sort((a, b) => a.value - b.value)
  const hits = (): readonly AimSample[] =>
    sorted()
      .filter((s) => miss(s) === 0)
      .sort((a, b) => Math.abs(place(a.value) - place(present)) - Math.abs(place(b.value) - place(present)))
  const answer = (how: AimAnswer, nearest: AimSample | null): Aim => ({
    answer: stopped ? { how: 'stopped' } : how,
    nearest,
    samples: sorted(),
  })

  if (present >= low && present <= high) {
    const now = yield* run(present)
    if (miss(now) === 0) return answer({ how: 'already' }, now)
  }
  yield* runAll(
    Array.from({ length: request.samples }, (_, i) =>
      i === 0 ? low : i === request.samples - 1 ? high : back(place(low) + (width * i) / (request.samples - 1)),
    ),
  )
  /** Closes in on the target between a value whose result lies below it and one above; null results stop it (the feature ends there). */
  function* closeIn(a: AimSample, b: AimSample): Plan<number, number | null, AimAnswer> {
    let [p, q] = [a, b]
    for (let k = 0; k < MOST_HALVINGS && !isStopped(); k++) {
      if (Math.abs(place(q.value) - place(p.value)) <= SAME_VALUE * width) break
      // Regula falsi and halving by turns: fast on smooth curves, safe on steps.
      const share = k % 2 === 0 ? (wanted - p.result!) / (q.result! - p.result!) : 0.5
      const m = yield* run(back(place(p.value) + Math.min(0.95, Math.max(0.05, share)) * (place(q.value) - place(p.value))))
      if (miss(m) === 0) return { how: 'found' }
      if (m.result === null) break
      if (m.result < wanted === p.result! < wanted) p = m
      else q = m
    }
    const [below, above] = p.result! < wanted ? [p, q] : [q, p]
    return { how: 'jumps', below, above }
  }
  /** Moves from a value with a result towards one without, as far as the feature goes; stops when a crossing shows. */
  function* followOut(there: AimSample, gone: AimSample): Plan<number, number | null, void> {
    let [p, q] = [there, gone]
    for (let k = 0; k < MOST_HALVINGS / 2 && !isStopped(); k++) {
      const m = yield* run(back((place(p.value) + place(q.value)) / 2))
      if (m.result === null) q = m
      else if (m.result < wanted !== there.result! < wanted) return
      else p = m
      if (miss(m) === 0) return
    }
  }
  const distance = (a: AimSample, b: AimSample): number => {
    const at = place(present)
    return Math.min(Math.abs(place(a.value) - at), Math.abs(place(b.value) - at))
  }
  /** Neighbours with the target between them, the nearest to the present value first. */
  const crossings = (): readonly (readonly [AimSample, AimSample])[] => {
    const all = sorted()
    return all
      .slice(1)
      .map((b, i) => [all[i]!, b] as const)
      .filter(([a, b]) => a.result !== null && b.result !== null && a.result < wanted !== b.result < wanted)
      .sort((a, b) => distance(...a) - distance(...b))
  }
  function* tryCrossings(): Plan<number, number | null, AimAnswer | null> {
    let jump: AimAnswer | null = null
    for (const [a, b] of crossings()) {
      const got = yield* closeIn(a, b)
      if (got.how === 'found') return got
      jump ??= got
    }
    return jump
  }
  let [hit] = hits()
  if (hit) return answer({ how: 'found' }, hit)
  let got = yield* tryCrossings()
  if (got === null) {
    const all = sorted()
    const ends = all.slice(1).flatMap((b, i) => {
      const a = all[i]!
      return (a.result === null) === (b.result === null) ? [] : [a.result === null ? ([b, a] as const) : ([a, b] as const)]
    })
    for (const [there, gone] of ends) yield* followOut(there, gone)
    got = yield* tryCrossings()
  }
  ;[hit] = hits()
  if (hit) return answer({ how: 'found' }, hit)
  const withResult = sorted().filter((s) => s.result !== null)
  if (withResult.length === 0) return answer({ how: 'feature-absent' }, null)
  const nearest = withResult.reduce((a, b) => (miss(b) < miss(a) ? b : a))
  if (got !== null) return answer(got, nearest)
  return answer({ how: 'out-of-reach', side: nearest.value === low ? 'low' : nearest.value === high ? 'high' : null }, nearest)
}

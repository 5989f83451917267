/** Aiming one vessel at a wanted time, period or length by changing one amount of the document; answered in what to weigh and measure. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '@beakertide/core/cautions'
import type { PortionChange } from '@beakertide/core/papers'
import {
  type Aim,
  aimAt,
  type AimFeature,
  type BandValue,
  featuresFor,
  featureValue,
  findAmount,
  presentValue,
} from '@beakertide/core/rehearsal'
import { changedRecipe, type Constraint, constraintOf, keyOf } from './changed-recipe.ts'
import { bandOfVessel, type DayFacts, type Prepared, type RehearsalOptions, requestFor, usualRehearsal } from './day.ts'
import { readAmountValue } from './vary-of.ts'

export interface AimWish {
  readonly vessel: string
  readonly feature: AimFeature
  /** s, or a count; equal for one value. */
  readonly wanted: readonly [number, number]
  /** A bottle, "solution/bottle", or "temperature". */
  readonly by: string
  /** Bounds as of `vary`; default a fifth to five times, or ten degrees around. */
  readonly from?: string | undefined
  readonly to?: string | undefined
  /** Rehearsals for the band of the answer; 0: none. */
  readonly band: number
  readonly seed: number
  readonly onRun?: (runs: number) => void
  readonly shouldStop?: () => boolean
}

/** A bound of the amount, and what sets it. */
export interface AimBound {
  readonly value: number
  /** `wish`: the bound asked for (or the usual one); otherwise what prevents more. */
  readonly set: 'wish' | Constraint['set']
  readonly why: string
}

export interface AimResult {
  readonly vessel: string
  readonly mechanism: string
  readonly feature: AimFeature
  readonly wanted: readonly [number, number]
  readonly by: string
  readonly unit: 'times' | '°C'
  readonly answer: Aim['answer']
  readonly present: { readonly value: number; readonly result: number | null }
  /** The value found, or the nearest that can be had; null when the feature is nowhere. */
  readonly value: number | null
  /** What a fresh, finer rehearsal of the changed document gives at `value`. */
  readonly result: number | null
  /** Ten to ninety in a hundred of `result`, the model's stated error included; null when there is no result or none is wanted. */
  readonly band: BandValue | null
  readonly change: readonly PortionChange[]
  readonly bounds: { readonly low: AimBound; readonly high: AimBound }
  /** The curve that was searched. */
  readonly samples: Aim['samples']
  /** Of the changed document: they, not those of the recipe as it is, belong to what is to be weighed. Null without a value. */
  readonly cautions: Cautions | null
  /** Of the make-up and cautions of the changed document that the present one does not have. */
  readonly remarks: readonly Problem[]
}

/** Bounds when none are given: our own choice. */
const FIFTH = 0.2
const AROUND_K = 10
const SAMPLES = 9
/** One per cent is finer than any band. */
const TOLERANCE = 0.01
/** Halvings to find where a constraint begins: a factor of five to a thousandth. */
const BOUND_HALVINGS = 12
/** Times aimed at must lie well within the rehearsed time. */
const ROOM_AFTER = 1.6
const LONGEST_S = 86_400
const MOST_SAMPLES = 20_001
/** Times of turns are as fine as the samples; a search by half a per cent of ten seconds needs these, s. */
const SAMPLE_S = 0.1
/** The answer is rehearsed again with so much more accuracy than the search; beyond this share of a difference it is not sharp. */
const FINER = 10
const SHARP = 0.02

/** The farthest value towards `end` at which nothing forbids it. Constraints are taken to begin once on the way out. */
function boundTowards(end: number, from: number, isLog: boolean, forbids: (value: number) => Constraint | null): AimBound {
  let why = forbids(end)
  if (why === null) return { value: end, set: 'wish', why: 'the bound that was set' }
  let [inside, outside] = [from, end]
  for (let k = 0; k < BOUND_HALVINGS; k++) {
    const middle = isLog ? Math.sqrt(inside * outside) : (inside + outside) / 2
    const here = forbids(middle)
    if (here === null) inside = middle
    else {
      outside = middle
      why = here
    }
  }
  return { value: inside, ...why }
}

/** Aims. Problems: nothing of that name, an amount that is no matter of weighing, a wish that cannot be. */
export function aimOfVessel(prepared: Prepared, wish: AimWish, facts: DayFacts): Outcome<AimResult> {
  const { feature, wanted } = wish
  const where = `aim of vessel "${wish.vessel}"`
  if (!(wanted[0] > 0 && wanted[0] <= wanted[1] && wanted[1] <= LONGEST_S)) {
    return refuse({
      code: 'demonstration/aim-wish',
      where,
      what: `${wanted.join(' to ')} is wanted; from above 0 to ${LONGEST_S}, low first, is taken`,
      todo: 'state seconds, or a number of cycles',
    })
  }
  const options = optionsFor(wish, prepared)
  const request = { ...requestFor(prepared, wish.vessel, options.search), lengthS: options.lengthS }
  const found = findAmount(wish.by, request, prepared.makeUp.portions)
  if (!found.ok) return found
  const amount = found.value
  if (amount.of !== 'ingredient' && amount.of !== 'temperature') {
    return refuse({
      code: 'demonstration/aim-by',
      where,
      what: `"${amount.name}" is not something to weigh, measure or warm`,
      todo: 'name a bottle, "solution/bottle", or "temperature"',
    })
  }
  const present = presentValue(amount, request)
  const isLog = amount.of === 'ingredient'
  const usual = isLog ? [FIFTH, 1 / FIFTH] : [present - AROUND_K, present + AROUND_K]
  const ends = [wish.from, wish.to].map((text, i) =>
    text === undefined ? done(usual[i]!) : readAmountValue(amount, text, prepared, wish.vessel),
  )
  const faults = ends.flatMap((e) => (e.ok ? [] : e.problems))
  if (faults.length > 0) return { ok: false, problems: faults }
  const [low, high] = ends.map((e) => (e.ok ? e.value : 0)) as [number, number]
  if (!(low < high) || (isLog && low <= 0) || low > present || high < present) {
    return refuse({
      code: 'demonstration/aim-bounds',
      where,
      what: `the bounds ${low} to ${high} must lie around the present value, ${present}, and above 0`,
      todo: 'give the low bound first, with the recipe as it is between the two',
    })
  }
  const preparedAt = new Map<number, Outcome<Prepared>>([[present, done(prepared)]])
  const at = (value: number): Outcome<Prepared> => {
    const known = preparedAt.get(value)
    if (known) return known
    const made = changedRecipe(prepared, [{ amount, value }], facts)
    preparedAt.set(value, made)
    return made
  }
  const forbids = (value: number) => constraintOf(at(value), prepared)
  const bounds = { low: boundTowards(low, present, isLog, forbids), high: boundTowards(high, present, isLog, forbids) }
  const rehearsed = (value: number, accuracy: RehearsalOptions): number | null => {
    const changed = at(value)
    if (!changed.ok) return null
    return featureValue(feature, featuresFor({ ...requestFor(changed.value, wish.vessel, accuracy), lengthS: options.lengthS }, facts))
  }
  const aim = aimAt(
    {
      wanted,
      bounds: bounds.low.value < bounds.high.value ? [bounds.low.value, bounds.high.value] : [low, high],
      present,
      steps: isLog ? 'log' : 'linear',
      samples: SAMPLES,
      tolerance: TOLERANCE / 2,
      shouldStop: wish.shouldStop,
      onRun: wish.onRun,
    },
    (value) => rehearsed(value, options.search),
  )
  const value = aim.nearest?.value ?? null
  const changed = value === null ? null : at(value)
  const after = changed?.ok ? changed.value : null
  const result = value === null ? null : rehearsed(value, options.final)
  const band = after && wish.band > 0 ? bandFor(after, wish, options.lengthS, facts) : null
  return done({
    vessel: wish.vessel,
    mechanism: prepared.mechanism.name,
    feature,
    wanted,
    by: amount.name,
    unit: isLog ? 'times' : '°C',
    answer: aim.answer,
    present: { value: present, result: rehearsed(present, options.search) },
    value,
    result,
    band,
    change: after && amount.of === 'ingredient' ? changesOf(prepared, after, amount.portions) : [],
    bounds,
    samples: aim.samples,
    cautions: after?.cautions ?? null,
    remarks: [...(after ? newRemarks(prepared, after) : []), ...notSharp(aim, result, where)],
  })
}

/** Said when a finer rehearsal gives something else: the feature answers to the least change (a train of turns that merge, say). */
function notSharp(aim: Aim, result: number | null, where: string): readonly Problem[] {
  const searched = aim.nearest?.result ?? null
  if (searched === null || (result !== null && Math.abs(result / searched - 1) <= SHARP)) return []
  return [
    {
      code: 'demonstration/aim-not-sharp',
      where,
      what: `the search gave ${formatNumber(searched, 3)}, a finer rehearsal gives ${result === null ? 'nothing' : formatNumber(result, 3)}: it answers to the least change there`,
      todo: 'aim a little away from it, and trust the band, not the number',
    },
  ]
}

/** Rehearsals long enough for what is wanted, and sampled as finely as the usual ones. */
function optionsFor(wish: AimWish, prepared: Prepared): { lengthS: number; search: RehearsalOptions; final: RehearsalOptions } {
  const { rehearseS } = prepared.demonstration
  const isTime = wish.feature === 'first-turn' || wish.feature === 'length'
  const lengthS = isTime ? Math.max(rehearseS, ROOM_AFTER * wish.wanted[1]) : rehearseS
  const finely = (o: RehearsalOptions): RehearsalOptions => ({
    ...o,
    samples: Math.min(MOST_SAMPLES, Math.max(Math.round((o.samples * lengthS) / rehearseS), Math.ceil(lengthS / SAMPLE_S))),
    ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
  })
  const search = finely(usualRehearsal)
  const twice = Math.min(MOST_SAMPLES, 2 * search.samples - 1)
  return { lengthS, search, final: { ...search, relativeTolerance: search.relativeTolerance / FINER, samples: twice } }
}

function bandFor(after: Prepared, wish: AimWish, lengthS: number, facts: DayFacts): BandValue | null {
  const longer: Prepared = { ...after, demonstration: { ...after.demonstration, rehearseS: lengthS } }
  const got = bandOfVessel(longer, wish.vessel, facts, {
    samples: wish.band,
    seed: wish.seed,
    ...(wish.shouldStop ? { shouldStop: wish.shouldStop } : {}),
  })
  if (!got.ok) return null
  const { firstTurnS, periodS, lengthS: length, cycles } = got.value
  return { 'first-turn': firstTurnS, period: periodS, length, cycles }[wish.feature]
}

function changesOf(before: Prepared, after: Prepared, portions: readonly string[]): readonly PortionChange[] {
  return before.makeUp.portions.flatMap((p): readonly PortionChange[] => {
    const q = after.makeUp.portions.find((x) => x.solution === p.solution && x.bottle === p.bottle)
    if (!q || !portions.includes(`${p.solution}/${p.bottle}`)) return []
    const volumes = p.measure === 'measure-volume' && q.volumeShownL !== null && p.volumeShownL !== null
    return [
      {
        solution: p.solution,
        bottle: p.bottle,
        substanceName: p.substanceName,
        before: p.written,
        after: q.written,
        moreG: q.massShownG - p.massShownG,
        moreMl: volumes ? 1000 * (q.volumeShownL - p.volumeShownL) : null,
      },
    ]
  })
}

function newRemarks(before: Prepared, after: Prepared): readonly Problem[] {
  const known = new Set(before.warnings.map(keyOf))
  return after.warnings.filter((w) => !known.has(keyOf(w)))
}

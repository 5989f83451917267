/** Aiming one vessel at a wanted time, period, length or colour by changing amounts of the document; answered in what to weigh and measure. */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '@beakertide/core/cautions'
import type { PortionChange } from '@beakertide/core/papers'
import {
  type Aim,
  aimPlan,
  type AimAnswer,
  aimSeveralPlan,
  type Band,
  type BandValue,
  carryOut,
  featureValue,
  type Plan,
  sameColourWord,
  type VariedAmount,
} from '@beakertide/core/rehearsal'
import { type AimAmount, type AimBound, type AimSetup, type AimTarget, type AimWish, readAim } from './aim-wish.ts'
import { changedRecipe, keyOf } from './changed-recipe.ts'
import { bandOfVessel, type DayFacts, type Prepared, type RehearsalOptions } from './day.ts'
import { type Tried, triedOf } from './tried.ts'

/** One amount of an answer. */
export interface AimedAmountResult {
  readonly by: string
  readonly unit: 'times' | '°C'
  /** The value that leaves the recipe as it is. */
  readonly present: number
  /** The value found, or the nearest that can be had; null when the feature is nowhere. */
  readonly value: number | null
  readonly bounds: { readonly low: AimBound; readonly high: AimBound }
}

export interface AimResult {
  readonly vessel: string
  readonly mechanism: string
  readonly feature: AimTarget
  readonly wanted: readonly [number, number]
  /** The colour wanted at the end; null when something else is aimed at. */
  readonly wantedColour: string | null
  readonly by: string
  readonly unit: 'times' | '°C'
  readonly answer: Aim['answer']
  readonly present: { readonly value: number; readonly result: number | null }
  /** The value found, or the nearest that can be had; null when the feature is nowhere. */
  readonly value: number | null
  /** What a fresh, finer rehearsal of the changed document gives at `value`; of a colour 1 (it is so) or 0. */
  readonly result: number | null
  /** Colour at the end of that rehearsal, in a word. */
  readonly endColour: string | null
  /** Ten to ninety in a hundred of `result`, the model's stated error included; null when there is no result or none is wanted. */
  readonly band: BandValue | null
  readonly change: readonly PortionChange[]
  readonly bounds: { readonly low: AimBound; readonly high: AimBound }
  /** The other amounts that change; empty when one is aimed by. */
  readonly others: readonly AimedAmountResult[]
  /** The curve that was searched, over the first amount. */
  readonly samples: Aim['samples']
  /** Of the changed document: they, not those of the recipe as it is, belong to what is to be weighed. Null without a value. */
  readonly cautions: Cautions | null
  /** Of the make-up and cautions of the changed document that the present one does not have. */
  readonly remarks: readonly Problem[]
}

const SAMPLES = 9
/** One per cent is finer than any band. */
const TOLERANCE = 0.01
/** A finer rehearsal that differs by more than this share says that the answer is not sharp. */
const SHARP = 0.02

/** A rehearsal that an aim asks for: a value for each of its amounts. */
export interface AimQuestion {
  readonly values: readonly number[]
  readonly accuracy: RehearsalOptions
  readonly lengthS: number
}
/** What the search has found; the band is still to come. */
export interface AimFound {
  readonly result: AimResult
  /** The changed document; null without a value. */
  readonly after: Prepared | null
  readonly lengthS: number
}

/** What a rehearsal says of what is aimed at: a number, for a colour whether it is so; null when it is not there or forbidden. */
function resultOf(wish: AimWish, tried: Tried | undefined): number | null {
  if (tried === undefined) return null
  if (wish.feature !== 'end-colour') return featureValue(wish.feature, tried.features)
  return tried.endColour === null ? null : Number(sameColourWord(tried.endColour, wish.colour ?? ''))
}

/** Search and answer, asking for rehearsals. Problems: nothing of that name, an amount that is no matter of weighing, a wish that cannot be. */
export function planAim(prepared: Prepared, wish: AimWish, facts: DayFacts): Outcome<PlannedAim> {
  const setup = readAim(prepared, wish, facts)
  if (!setup.ok) return setup
  return done({ amounts: setup.value.amounts.map((a) => a.amount), plan: searching(prepared, wish, setup.value, facts) })
}
export interface PlannedAim {
  /** What the values of a question are values of. */
  readonly amounts: readonly VariedAmount[]
  readonly plan: Plan<AimQuestion, Tried, AimFound>
}

interface Searched {
  readonly answer: AimAnswer
  readonly values: readonly number[] | null
  readonly result: number | null
  readonly samples: Aim['samples']
}

/** Passes the questions of a search of numbers on as questions of rehearsals. */
function* translated<Q, R>(
  plan: Plan<Q, number | null, R>,
  values: (question: Q) => readonly number[],
  wish: AimWish,
  setup: AimSetup,
): Plan<AimQuestion, Tried, R> {
  const { lengthS, search } = setup
  let asked = plan.next([])
  while (asked.done !== true) {
    const tried = yield asked.value.map((q): AimQuestion => ({ values: values(q), accuracy: search, lengthS }))
    // Several amounts together may be forbidden where each alone is not.
    asked = plan.next(tried.map((t) => (t.forbidden === null || setup.amounts.length === 1 ? resultOf(wish, t) : null)))
  }
  return asked.value
}

const boundsOf = (a: AimAmount): readonly [number, number] =>
  a.bounds.low.value < a.bounds.high.value ? [a.bounds.low.value, a.bounds.high.value] : a.asked

function* searchOne(wish: AimWish, setup: AimSetup): Plan<AimQuestion, Tried, Searched> {
  const [first] = setup.amounts as readonly [AimAmount]
  const { answer, nearest, samples } = yield* translated(
    aimPlan({
      wanted: wish.wanted,
      bounds: boundsOf(first),
      present: first.present,
      steps: first.isLog ? 'log' : 'linear',
      samples: SAMPLES,
      tolerance: TOLERANCE / 2,
      onRun: wish.onRun,
    }),
    (value) => [value],
    wish,
    setup,
  )
  return { answer, values: nearest && [nearest.value], result: nearest?.result ?? null, samples }
}

function* searchSeveral(wish: AimWish, setup: AimSetup): Plan<AimQuestion, Tried, Searched> {
  const isColour = wish.feature === 'end-colour'
  const got = yield* translated(
    aimSeveralPlan({
      amounts: setup.amounts.map((a) => ({ bounds: boundsOf(a), present: a.present, steps: a.isLog ? 'log' : 'linear' })),
      wanted: isColour ? [1, 1] : wish.wanted,
      tolerance: TOLERANCE / 2,
      isSmooth: !isColour && wish.feature !== 'cycles',
    }),
    (values) => values,
    wish,
    setup,
  )
  const samples = got.samples.map((s) => ({ value: s.values[0]!, result: s.result })).sort((a, b) => a.value - b.value)
  const answer: AimAnswer = got.answer === 'out-of-reach' ? { how: 'out-of-reach', side: null } : { how: got.answer }
  return { answer, values: got.nearest?.values ?? null, result: got.nearest?.result ?? null, samples }
}

function* searching(prepared: Prepared, wish: AimWish, setup: AimSetup, facts: DayFacts): Plan<AimQuestion, Tried, AimFound> {
  const { amounts, lengthS, search, final } = setup
  const several = amounts.length > 1 || wish.feature === 'end-colour'
  const searched = yield* several ? searchSeveral(wish, setup) : searchOne(wish, setup)
  const { values } = searched
  const presents = amounts.map((a) => a.present)
  const last = yield [{ values: presents, accuracy: search, lengthS }, ...(values ? [{ values, accuracy: final, lengthS }] : [])]
  const changed =
    values === null
      ? null
      : changedRecipe(
          prepared,
          amounts.map((a, i) => ({ amount: a.amount, value: values[i]! })),
          facts,
        )
  const after = changed?.ok ? changed.value : null
  const result = values === null ? null : resultOf(wish, last[1])
  const [first, ...others] = amounts.map(
    (a, i): AimedAmountResult => ({
      by: a.amount.name,
      unit: a.isLog ? 'times' : '°C',
      present: a.present,
      value: values?.[i] ?? null,
      bounds: a.bounds,
    }),
  )
  const where = `aim of vessel "${wish.vessel}"`
  const portions = amounts.flatMap((a) => (a.amount.of === 'ingredient' ? a.amount.portions : []))
  return {
    after,
    lengthS,
    result: {
      vessel: wish.vessel,
      mechanism: prepared.mechanism.name,
      feature: wish.feature,
      wanted: wish.wanted,
      wantedColour: wish.feature === 'end-colour' ? (wish.colour ?? null) : null,
      by: first!.by,
      unit: first!.unit,
      answer: searched.answer,
      present: { value: first!.present, result: resultOf(wish, last[0]) },
      value: first!.value,
      result,
      endColour: last[1]?.endColour ?? null,
      band: null,
      change: after ? changesOf(prepared, after, portions) : [],
      bounds: first!.bounds,
      others,
      samples: searched.samples,
      cautions: after?.cautions ?? null,
      remarks: [...(after ? newRemarks(prepared, after) : []), ...notSharp(searched.result, result, where)],
    },
  }
}

/** The answer with the band of the changed document. */
export function withBand(found: AimFound, band: Band | null): AimResult {
  const { feature } = found.result
  if (band === null || feature === 'end-colour') return found.result
  const { firstTurnS, periodS, lengthS, cycles } = band
  return { ...found.result, band: { 'first-turn': firstTurnS, period: periodS, length: lengthS, cycles }[feature] }
}

/** The changed document, rehearsed as long as the aim was. */
export const longEnough = ({ after, lengthS }: AimFound): Prepared | null =>
  after && { ...after, demonstration: { ...after.demonstration, rehearseS: lengthS } }

/** Aims, every rehearsal made here. Problems: as of `planAim`. */
export function aimOfVessel(prepared: Prepared, wish: AimWish, facts: DayFacts): Outcome<AimResult> {
  const planned = planAim(prepared, wish, facts)
  if (!planned.ok) return planned
  const { amounts, plan } = planned.value
  const control = wish.shouldStop ? { shouldStop: wish.shouldStop } : {}
  const found = carryOut(plan, (question) => {
    if (wish.shouldStop?.() === true) return undefined
    const tried = triedOf(prepared, wish.vessel, amounts, { ...question, ...control }, facts)
    return tried.features === null && wish.shouldStop?.() === true ? undefined : tried
  })
  const after = longEnough(found)
  if (after === null || wish.band === 0 || wish.shouldStop?.() === true) return done(found.result)
  const band = bandOfVessel(after, wish.vessel, facts, { samples: wish.band, seed: wish.seed, ...control })
  return done(withBand(found, band.ok ? band.value : null))
}

/** Said when a finer rehearsal gives something else: the feature answers to the least change (a train of turns that merge, say). */
function notSharp(searched: number | null, result: number | null, where: string): readonly Problem[] {
  if (searched === null || result === searched || (result !== null && Math.abs(result / searched - 1) <= SHARP)) return []
  return [
    {
      code: 'demonstration/aim-not-sharp',
      where,
      what: `the search gave ${formatNumber(searched, 3)}, a finer rehearsal gives ${result === null ? 'nothing' : formatNumber(result, 3)}: it answers to the least change there`,
      todo: 'aim a little away from it, and trust the band, not the number',
    },
  ]
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

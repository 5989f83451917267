/** What is aimed at, by which amounts, and within which bounds: read from a wish, refused where it makes no sense. */
import { colourWords } from '@beakertide/basis/colour'
import { done, type Outcome, refuse } from '@beakertide/basis/problems'
import { type AimFeature, findAmount, presentValue, type VariedAmount } from '@beakertide/core/rehearsal'
import { type Constraint, constraintOf, permittedRecipe } from './changed-recipe.ts'
import { type DayFacts, type Prepared, type RehearsalOptions, requestFor, usualRehearsal } from './day.ts'
import { readAmountValue } from './vary-of.ts'

/** `end-colour`: the settled colour at the end, in a word. */
export type AimTarget = AimFeature | 'end-colour'

/** An amount that may change, and how far. */
export interface AimBy {
  /** A bottle, "solution/bottle", or "temperature". */
  readonly by: string
  /** Bounds as of `vary`; default a fifth to five times, or ten degrees around. */
  readonly from?: string | undefined
  readonly to?: string | undefined
}
export interface AimWish extends AimBy {
  readonly vessel: string
  readonly feature: AimTarget
  /** s, or a count; equal for one value. Of no account for a colour. */
  readonly wanted: readonly [number, number]
  /** The word of an `end-colour`: "colourless", "blue". */
  readonly colour?: string | undefined
  /** More amounts that may change together with the first: the least change of all is looked for. */
  readonly also?: readonly AimBy[] | undefined
  /** Rehearsals for the band of the answer; 0: none. */
  readonly band: number
  readonly seed: number
  readonly onRun?: (runs: number) => void
  readonly shouldStop?: () => boolean
}

/** A bound of an amount, and what sets it. */
export interface AimBound {
  readonly value: number
  /** `wish`: the bound asked for (or the usual one); otherwise what prevents more. */
  readonly set: 'wish' | Constraint['set']
  readonly why: string
}

/** One amount of an aim, ready to be searched. */
export interface AimAmount {
  readonly amount: VariedAmount
  readonly present: number
  readonly isLog: boolean
  readonly bounds: { readonly low: AimBound; readonly high: AimBound }
  /** As they were asked for: searched where constraints leave nothing. */
  readonly asked: readonly [number, number]
}
export interface AimSetup {
  readonly amounts: readonly AimAmount[]
  /** Rehearsed time, s. */
  readonly lengthS: number
  readonly search: RehearsalOptions
  readonly final: RehearsalOptions
}

/** Bounds when none are given: our own choice. */
const FIFTH = 0.2
const AROUND_K = 10
/** Halvings to find where a constraint begins: a factor of five to a thousandth. */
const BOUND_HALVINGS = 12
/** Times aimed at must lie well within the rehearsed time. */
const ROOM_AFTER = 1.6
const LONGEST_S = 86_400
const MOST_SAMPLES = 20_001
/** Times of turns are as fine as the samples; a search by half a per cent of ten seconds needs these, s. */
const SAMPLE_S = 0.1
/** The answer is rehearsed again with so much more accuracy than the search. */
const FINER = 10
/** More amounts at once than this are no recipe any more. */
const MOST_AMOUNTS = 6

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

/** Rehearsals long enough for what is wanted, and sampled as finely as the usual ones. */
function optionsFor(wish: AimWish, prepared: Prepared): Omit<AimSetup, 'amounts'> {
  const { rehearseS } = prepared.demonstration
  const isTime = wish.feature === 'first-turn' || wish.feature === 'length'
  const lengthS = isTime ? Math.max(rehearseS, ROOM_AFTER * wish.wanted[1]) : rehearseS
  const samples = Math.min(
    MOST_SAMPLES,
    Math.max(Math.round((usualRehearsal.samples * lengthS) / rehearseS), Math.ceil(lengthS / SAMPLE_S)),
  )
  const search = { ...usualRehearsal, samples }
  const twice = Math.min(MOST_SAMPLES, 2 * samples - 1)
  return { lengthS, search, final: { relativeTolerance: search.relativeTolerance / FINER, samples: twice } }
}

function faultOf(wish: AimWish, where: string): Outcome<never> | null {
  if (wish.feature === 'end-colour') {
    const words = wish.colour?.toLowerCase().split(/[^a-z]+/) ?? []
    const known = new Set(colourWords.flatMap((w) => w.split(/[ -]/)))
    if (words.some((w) => known.has(w))) return null
    return refuse({
      code: 'demonstration/aim-colour',
      where,
      what: `"${(wish.colour ?? '').slice(0, 40)}" has none of the colour words in use`,
      todo: `use one of ${colourWords.join(', ')}`,
    })
  }
  const { wanted } = wish
  if (wanted[0] > 0 && wanted[0] <= wanted[1] && wanted[1] <= LONGEST_S) return null
  return refuse({
    code: 'demonstration/aim-wish',
    where,
    what: `${wanted.join(' to ')} is wanted; from above 0 to ${LONGEST_S}, low first, is taken`,
    todo: 'state seconds, or a number of cycles',
  })
}

/** Problems: nothing of that name, an amount that is no matter of weighing, one amount twice, a wish that cannot be. */
export function readAim(prepared: Prepared, wish: AimWish, facts: DayFacts): Outcome<AimSetup> {
  const where = `aim of vessel "${wish.vessel}"`
  const fault = faultOf(wish, where)
  if (fault !== null) return fault
  const options = optionsFor(wish, prepared)
  const asked: readonly AimBy[] = [wish, ...(wish.also ?? [])]
  if (asked.length > MOST_AMOUNTS) {
    return refuse({
      code: 'demonstration/aim-amounts',
      where,
      what: `${asked.length} amounts are to change; up to ${MOST_AMOUNTS} may`,
      todo: 'leave some as they are',
    })
  }
  const amounts: AimAmount[] = []
  const taken = new Set<string>()
  for (const one of asked) {
    const read = readAmount(prepared, wish.vessel, one, where, facts)
    if (!read.ok) return read
    const { amount } = read.value
    const parts = amount.of === 'ingredient' ? amount.portions : [amount.name]
    const twice = parts.find((part) => taken.has(part))
    if (twice !== undefined) {
      return refuse({
        code: 'demonstration/aim-twice',
        where,
        what: `"${twice}" is to change by two of the names that are given`,
        todo: 'name every amount once',
      })
    }
    for (const part of parts) taken.add(part)
    amounts.push(read.value)
  }
  return done({ ...options, amounts })
}

function readAmount(prepared: Prepared, vessel: string, wish: AimBy, where: string, facts: DayFacts): Outcome<AimAmount> {
  const request = requestFor(prepared, vessel, usualRehearsal)
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
    text === undefined ? done(usual[i]!) : readAmountValue(amount, text, prepared, vessel),
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
  const forbids = (value: number): Constraint | null => constraintOf(permittedRecipe(prepared, [{ amount, value }], facts), prepared)
  return done({
    amount,
    present,
    isLog,
    bounds: { low: boundTowards(low, present, isLog, forbids), high: boundTowards(high, present, isLog, forbids) },
    asked: [low, high],
  })
}

/**
 * Which mistake explains it: every single mistake of the list is rehearsed, and ranked by how far its numbers are from what was
 * seen, counted in the model's own error and the error of watching. What cannot be told apart is named together.
 */
import type { Portion } from '../makeup/index.ts'
import type { StatedBand } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import type { Features } from './features.ts'
import { type DirectCheck, type Mistake, possibleMistakes } from './mistakes-list.ts'
import { carryOut, type Plan } from './plan.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { prepareSeeing } from './seeing.ts'
import { seenOf } from './seen.ts'
import { vesselCourse } from './vessel-course.ts'

/** What was seen; whatever was not noted is left out. Times in s from the pour that sets it off. */
export interface Observation {
  readonly firstTurnS?: number
  readonly periodS?: number
  readonly cycles?: number
  readonly lengthS?: number
  /** A word such as "blue", "amber", "colourless". */
  readonly endColour?: string
  /** Nothing changed colour in this time, s. */
  readonly nothingUntilS?: number
}

export interface Predicted extends Features {
  readonly endColour: string
}
export type Observable = 'first-turn' | 'period' | 'cycles' | 'length' | 'end-colour'

export interface Miss {
  readonly of: Observable | 'nothing'
  /** In standard deviations; `ABSENT` where the feature is not predicted at all. */
  readonly deviations: number
}

/** One mistake, or several that no watching can tell apart. */
export interface Explanation {
  readonly mistakes: readonly { readonly words: string; readonly kind: Mistake['kind']; readonly about: readonly string[] }[]
  readonly predicted: Predicted
  /** Root mean square of the misses: about 1 for the right one. */
  readonly distance: number
  readonly misses: readonly Miss[]
  readonly checks: readonly DirectCheck[]
}

export interface SeparatingTest {
  readonly what: string
  readonly minutes: number
  /** What each of the first two would show. */
  readonly first: string | null
  readonly second: string | null
}

export interface MistakesFound {
  /** Nearest first. */
  readonly explanations: readonly Explanation[]
  /** True when even the nearest is too far: none of the list explains what was seen. */
  readonly none: boolean
  /** Place of the recipe as written among the explanations. */
  readonly asWritten: number
  /** Quickest first; empty when there are no two explanations. */
  readonly tests: readonly SeparatingTest[]
  /** Mistakes that could not be rehearsed. */
  readonly notRehearsed: readonly string[]
  readonly notCovered: readonly string[]
  /** Relative standard deviations the misses are counted in, and where they come from. */
  readonly counted: readonly {
    readonly of: Observable
    /** Ten-to-ninety factors of the model, for what is seen later or more, and for earlier or less. */
    readonly factorUp: number
    readonly factorDown: number
    readonly from: 'stated by the mechanism' | 'assumed'
  }[]
  readonly stopped: boolean
}

export interface MistakesRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  readonly seen: Observation
  readonly onMistake?: (done: number, of: number) => void
}

/** Error of watching: reaction of hand and eye, s, and a share for "about when"; our own choice, no source. */
const WATCH_S = 1
const WATCH_SHARE = 0.02
const WATCH_CYCLES = 1
/** Ten-to-ninety factor taken for a model that states none for this feature (assumed). */
const UNSTATED_FACTOR = 1.25
const Z_AT_HIGH_SHARE = 1.2815515655446004
/** Deviations given to what is not predicted at all, and to a colour of another word (our own choice). */
export const ABSENT = 10
const OTHER_COLOUR = 3
/** Beyond this distance nothing is explained; two predictions this far apart can be told apart (our own choice). */
export const TOO_FAR = 2.5
const TELLS_APART = 3

const relativeWatch = (observable: Observable, value: number): number => {
  const step = observable === 'cycles' ? WATCH_CYCLES : WATCH_S
  return Math.hypot(observable === 'cycles' ? 0 : WATCH_SHARE, step / Math.max(step, value))
}

function valueOf(p: Predicted, of: Observable): number | null {
  if (of === 'first-turn') return p.firstTurnS
  if (of === 'period') return p.periodS
  if (of === 'length') return p.lengthS
  return of === 'cycles' ? p.cycles : null
}

/** The stated factor of a feature on the side of the observation, or the assumed one. A turn that is first and last has one error. */
function factorOf(bands: readonly StatedBand[], of: Observable, up: boolean, isSingle: boolean): { factor: number; isStated: boolean } {
  const band = bands.find((b) => b.feature === (of === 'length' && isSingle ? 'first-turn' : of))
  if (!band) return { factor: UNSTATED_FACTOR, isStated: false }
  return { factor: Math.max(1, up ? band.factorUp : band.factorDown), isStated: true }
}

const SHADES = /^(pale|dark|light|deep|deeper|paler|bright)$/
const hues = (word: string): readonly string[] =>
  word
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((w) => w !== '' && !SHADES.test(w))

const FAINT = /colourless|pale|white|clear/

/**
 * Two colour words mean the same when they share a hue word ("blue" and "blue-black", "dark blue" and "pale blue"), or when one is
 * black and the other not faint: a strong blue or brown is black through the middle of a vessel and coloured at its edge.
 */
export function sameColourWord(a: string, b: string): boolean {
  const [x, y] = [hues(a), hues(b)]
  if (x.some((w) => y.includes(w))) return true
  return (x.includes('black') && !FAINT.test(b)) || (y.includes('black') && !FAINT.test(a))
}

function missesOf(seen: Observation, p: Predicted, bands: readonly StatedBand[]): readonly Miss[] {
  const out: Miss[] = []
  if (seen.nothingUntilS !== undefined) {
    const isLate = p.firstTurnS === null || p.firstTurnS >= seen.nothingUntilS
    out.push({
      of: 'nothing',
      deviations: isLate ? 0 : Math.min(ABSENT, timeMiss('first-turn', seen.nothingUntilS, p.firstTurnS, p, bands)),
    })
  }
  const numbers = [
    ['first-turn', seen.firstTurnS],
    ['period', seen.periodS],
    ['cycles', seen.cycles],
    ['length', seen.lengthS],
  ] as const
  for (const [of, observed] of numbers) {
    if (observed === undefined) continue
    const predicted = valueOf(p, of)
    const isFloor = p.stillGoing && (of === 'cycles' || of === 'length')
    if (predicted === null) out.push({ of, deviations: ABSENT })
    else if (isFloor && observed >= predicted) out.push({ of, deviations: 0 })
    else if (of === 'cycles' && (predicted === 0) !== (observed === 0)) out.push({ of, deviations: ABSENT })
    else out.push({ of, deviations: observed === predicted ? 0 : Math.min(ABSENT, timeMiss(of, observed, predicted, p, bands)) })
  }
  if (seen.endColour !== undefined)
    out.push({ of: 'end-colour', deviations: sameColourWord(seen.endColour, p.endColour) ? 0 : OTHER_COLOUR })
  return out
}

function timeMiss(of: Observable, observed: number, predicted: number, p: Predicted, bands: readonly StatedBand[]): number {
  const { factor } = factorOf(bands, of, observed > predicted, p.lengthS === p.firstTurnS)
  const least = of === 'cycles' ? WATCH_CYCLES / 2 : WATCH_S / 10
  const apart = Math.abs(Math.log(Math.max(least, observed) / Math.max(least, predicted)))
  return apart / Math.hypot(Math.log(factor) / Z_AT_HIGH_SHARE, relativeWatch(of, observed))
}

/** True when one ends before the other, which goes on, has come so far. */
function limitTellsApart(of: Observable, a: Predicted, b: Predicted): boolean {
  if (a.stillGoing && b.stillGoing) return false
  const [ends, goesOn] = a.stillGoing ? [b, a] : [a, b]
  return (valueOf(ends, of) ?? 0) < (valueOf(goesOn, of) ?? 0)
}

/** Deviations by which watching alone tells two predictions apart in one observable. */
function watchedApart(of: Observable, a: Predicted, b: Predicted): number {
  // What still goes on has no colour at its end yet, and its cycles and length are lower limits.
  const goesOn = a.stillGoing || b.stillGoing
  if (of === 'end-colour') return goesOn || sameColourWord(a.endColour, b.endColour) ? 0 : OTHER_COLOUR
  if (goesOn && (of === 'cycles' || of === 'length') && !limitTellsApart(of, a, b)) return 0
  const [x, y] = [valueOf(a, of), valueOf(b, of)]
  if (x === null && y === null) return 0
  if (x === null || y === null || (x === 0) !== (y === 0)) return ABSENT
  if (x === y) return 0
  return Math.min(ABSENT, Math.abs(Math.log(x / y)) / (Math.SQRT2 * relativeWatch(of, Math.min(x, y))))
}

const OBSERVABLES: readonly Observable[] = ['first-turn', 'period', 'cycles', 'length', 'end-colour']
const areTwins = (a: Predicted, b: Predicted): boolean => OBSERVABLES.every((of) => watchedApart(of, a, b) < 1)

function predict(request: RehearseRequest, facts: RehearsalFacts): Predicted | null {
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...request.mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return null
  const course = vesselCourse(request, facts)
  if (!course.ok || course.value.ending.how === 'stopped-short') return null
  const seen = seenOf(course.value, seeing.value)
  return { ...seen.features, endColour: seen.strip.at(-1)?.name ?? 'colourless' }
}

const rms = (misses: readonly Miss[]): number =>
  misses.length === 0 ? 0 : Math.sqrt(misses.reduce((sum, m) => sum + m.deviations ** 2, 0) / misses.length)

/** Ranked explanations of what was seen, each mistake rehearsed here. An observation without a single number explains nothing: everything has distance 0. */
export function explainBy(request: MistakesRequest, facts: RehearsalFacts): MistakesFound {
  const list = possibleMistakes(request, request.portions, facts.matter)
  let made = 0
  return carryOut(mistakesPlan(request, facts), (i) => {
    if (request.shouldStop?.() === true) return undefined
    const predicted = predict(list[i]!.request, facts)
    if (predicted === null && request.shouldStop?.() === true) return undefined
    request.onMistake?.(++made, list.length)
    return predicted
  })
}

/** What each of the possible mistakes would show, by its place in their list; null when it cannot be rehearsed. */
export function mistakeRuns(request: MistakesRequest, facts: RehearsalFacts): (place: number) => Predicted | null {
  const list = possibleMistakes(request, request.portions, facts.matter)
  return (place) => {
    const mistake = list[place]
    return mistake === undefined ? null : predict(mistake.request, facts)
  }
}

/** Ranked explanations, asking what mistakes show by their places in the list of those that are possible. */
export function* mistakesPlan(
  request: MistakesRequest,
  facts: Pick<RehearsalFacts, 'matter'>,
): Plan<number, Predicted | null, MistakesFound> {
  const { seen, mechanism } = request
  const list = possibleMistakes(request, request.portions, facts.matter)
  // Mistakes of one key are one rehearsal.
  const distinct = [...new Map([...list.keys()].reverse().map((i) => [list[i]!.key, i] as const)).values()].reverse()
  const answers = yield distinct
  const byKey = new Map(answers.map((predicted, k) => [list[distinct[k]!]!.key, predicted]))
  const ranked: {
    readonly mistake: Mistake
    readonly predicted: Predicted
    readonly misses: readonly Miss[]
    readonly distance: number
  }[] = []
  const notRehearsed: string[] = []
  for (const mistake of list) {
    const predicted = byKey.get(mistake.key)
    if (predicted === undefined) continue
    if (predicted === null) notRehearsed.push(mistake.words)
    else {
      const misses = missesOf(seen, predicted, mechanism.bands)
      ranked.push({ mistake, predicted, misses, distance: rms(misses) })
    }
  }
  // Equal distances keep the order of the list: as written first, then the plainest mistakes.
  ranked.sort((a, b) => a.distance - b.distance)
  const groups: (typeof ranked)[] = []
  for (const r of ranked) {
    const twin = groups.find((g) => areTwins(g[0]!.predicted, r.predicted))
    if (twin) twin.push(r)
    else groups.push([r])
  }
  const explanations = groups.map((g): Explanation => {
    const { predicted, misses, distance } = g[0]!
    const checks = new Map(g.flatMap(({ mistake: m }) => (m.check ? [[m.check.what, m.check] as const] : [])))
    return {
      mistakes: g.map(({ mistake: m }) => ({ words: m.words, kind: m.kind, about: m.about })),
      predicted,
      distance,
      misses,
      checks: [...checks.values()].sort((a, b) => a.minutes - b.minutes),
    }
  })
  const [first, second] = explanations
  const isSingle = first !== undefined && first.predicted.lengthS === first.predicted.firstTurnS
  return {
    explanations,
    none: first === undefined || first.distance > TOO_FAR,
    asWritten: explanations.findIndex((e) => e.mistakes.some((m) => m.kind === 'none')),
    tests: first && second ? separatingTests(first, second, seen) : [],
    notRehearsed,
    notCovered: notCovered(request),
    counted: OBSERVABLES.filter((of) => of !== 'end-colour').map((of) => {
      const up = factorOf(mechanism.bands, of, true, isSingle)
      const down = factorOf(mechanism.bands, of, false, isSingle)
      return { of, factorUp: up.factor, factorDown: down.factor, from: up.isStated ? 'stated by the mechanism' : 'assumed' }
    }),
    stopped: answers.length < distinct.length,
  }
}

const WATCHED: Readonly<Record<Observable, readonly [string, keyof Observation]>> = {
  'first-turn': ['time the first change', 'firstTurnS'],
  period: ['time the period', 'periodS'],
  cycles: ['count the cycles', 'cycles'],
  length: ['time the last change', 'lengthS'],
  'end-colour': ['look at the colour at the end', 'endColour'],
}

/** Until when a prediction must be watched for an observable, min. */
function watchMinutes(of: Observable, a: Predicted, b: Predicted): number {
  const until = (p: Predicted): number => {
    if (of === 'first-turn') return p.firstTurnS ?? 0
    return of === 'period' ? (p.firstTurnS ?? 0) + 2 * (p.periodS ?? 0) : (p.lengthS ?? 0)
  }
  return Math.max(1, Math.max(until(a), until(b)) / 60)
}

/** Watching what was not noted, where the two differ enough, and the direct checks that speak of one of the two only. */
function separatingTests(a: Explanation, b: Explanation, seen: Observation): readonly SeparatingTest[] {
  const text = (p: Predicted, of: Observable): string => {
    if (of === 'end-colour') return p.endColour
    const v = valueOf(p, of)
    if (v === null) return 'none'
    const limit = p.stillGoing && (of === 'cycles' || of === 'length') ? 'over ' : ''
    return of === 'cycles' ? `${limit}${v}` : `${limit}${Math.round(v)} s`
  }
  const watched = OBSERVABLES.flatMap((of): readonly SeparatingTest[] => {
    const [what, key] = WATCHED[of]
    if (seen[key] !== undefined || watchedApart(of, a.predicted, b.predicted) < TELLS_APART) return []
    return [{ what, minutes: watchMinutes(of, a.predicted, b.predicted), first: text(a.predicted, of), second: text(b.predicted, of) }]
  })
  const only = (e: Explanation, other: Explanation): readonly DirectCheck[] =>
    e.checks.filter((c) => !other.checks.some((o) => o.what === c.what))
  const direct = [
    ...only(a, b).map((c): SeparatingTest => ({ ...c, first: 'shows it', second: 'all is well' })),
    ...only(b, a).map((c): SeparatingTest => ({ ...c, first: 'all is well', second: 'shows it' })),
  ]
  return [...watched, ...direct].sort((x, y) => x.minutes - y.minutes)
}

/** Mistakes that the model cannot rehearse, said openly. */
function notCovered(request: RehearseRequest): readonly string[] {
  const follows = (id: string): boolean => request.mechanism.species.some((s) => s.id === id)
  return [
    ...(follows('Cl-')
      ? []
      : ['chloride (tap water, hydrochloric acid): this mechanism does not carry it; a drop of silver nitrate in the water shows it']),
    'two mistakes at once, dirty glass, metal traces, and liquids that were not stirred',
  ]
}

/**
 * The band: the same demonstration many times, each with its own small errors of weighing, measuring and temperature, and
 * with the model's own stated error folded in. The errors are drawn from points that fill their space evenly, so that few runs
 * tell what many chance draws would; the runs end when more of them no longer move the limits. Seeded: the same input gives the same band.
 */
import { type EvenPoints, evenPoints, inverseNormal } from '@beakertide/basis/numerics'
import { done, type Outcome } from '@beakertide/basis/problems'
import type { Sourced } from '@beakertide/basis/sources'
import type { MadeSolution, Portion } from '../makeup/index.ts'
import type { Mechanism, StatedBand } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import { bandValue, isStable, nextLook } from './band-limits.ts'
import type { Features } from './features.ts'
import { carryOut, type Plan } from './plan.ts'
import type { Band } from './rehearsal.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { prepareSeeing } from './seeing.ts'
import { seenOf } from './seen.ts'
import { portionKey, varySolutions, type Variation } from './variation.ts'
import { createRigStore, vesselCourse } from './vessel-course.ts'

/** Standard deviation of a volume poured from a measuring cylinder, relative. */
export const pourUncertainty: Sourced = {
  value: 0.01,
  unit: '1',
  source: 'our own choice: half a graduation of a 250 mL cylinder on 100 to 200 mL',
  seen: 'assumed',
}
/** Standard deviation of the temperature of room and liquids, K. */
export const temperatureUncertainty: Sourced = {
  value: 0.7,
  unit: 'K',
  source: 'our own choice: a wall thermometer and solutions that stood an hour',
  seen: 'assumed',
}

/** Standard deviations of what is not a portion. */
export interface BandUncertainty {
  /** Of every poured volume, relative. */
  readonly pour: number
  /** Of room and liquids together, K. */
  readonly temperatureK: number
}
export const usualUncertainty: BandUncertainty = { pour: pourUncertainty.value, temperatureK: temperatureUncertainty.value }

/** Standard normal deviate at which the cumulative share is 0.9: the stated factors are read as ten-to-ninety limits. */
const Z_AT_HIGH_SHARE = 1.2815515655446004

export interface BandRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  /** Runs at most; fewer when the band is stable before (`isStable`). */
  readonly samplesOfBand: number
  readonly seed: number
  /** What varies besides the portions; default: `usualUncertainty`. */
  readonly uncertainty?: BandUncertainty
  /** The model's own error; default: what the mechanism states, and for the rest that of its grade. */
  readonly modelError?: readonly StatedBand[]
  /** Called after each run, with the most that can come. */
  readonly onSample?: (done: number, of: number) => void
}

/** Everything a sample varies, in words. */
const VARIED = [
  'amount of every portion (combined uncertainty of weighing, purity and assay)',
  'every poured volume',
  'temperature',
  'stated error of the model',
]

/** No volume and no amount is varied below this share of itself, however improbable the draw. */
const LEAST_FACTOR = 0.01

/**
 * Error of a model of each grade in a feature for which it states none, as a factor up and down: our own judgement. Without it
 * a band would hold weighing and temperature only, and print digits that no model has earned.
 */
const GRADE_FACTOR: Readonly<Record<Mechanism['grade'], number>> = {
  published: 1.5,
  remembered: 1.5,
  'assembled, fitted': 2,
  skeleton: 3,
  placeholder: 10,
}

/** Features a band shows; a mechanism may state its own error of any of them. */
const BANDED: readonly StatedBand['feature'][] = ['first-turn', 'period', 'cycles', 'length']

/** The bands a mechanism states, and for the others that of its grade. */
export function statedOrByGrade(mechanism: Mechanism): readonly StatedBand[] {
  const factor = GRADE_FACTOR[mechanism.grade]
  const stated = new Set(mechanism.bands.map((b) => b.feature))
  return [
    ...mechanism.bands,
    ...BANDED.filter((feature) => !stated.has(feature)).map((feature) => ({
      feature,
      factorUp: factor,
      factorDown: factor,
      why: `no error is stated: that of the grade "${mechanism.grade}" is taken (our own judgement)`,
    })),
  ]
}

/** A random factor whose ten-to-ninety limits are 1/factorDown and factorUp; 1 without a stated band. */
function modelFactor(stated: StatedBand | undefined, z: number): number {
  if (!stated) return 1
  const factor = z >= 0 ? stated.factorUp : stated.factorDown
  return Math.max(1, factor) ** (z / Z_AT_HIGH_SHARE)
}

/** Names of the draws. */
const modelDraw = (feature: StatedBand['feature']): string => `model/${feature}`
const pourDraw = (solution: string): string => `pour/${solution}`
const portionDraw = (p: Portion): string => `portion/${portionKey(p)}`
const TEMPERATURE_DRAW = 'temperature'

/** The solutions that are poured, each once, in the order of the first pours. */
const pouredOf = (request: BandRequest): readonly string[] => [...new Set(request.vessel.pours.map((p) => p.solution))]

/**
 * The points of a band: one place for each quantity that varies, the widest errors first, for the first places are filled
 * most evenly. A solution or an ingredient more or less in the document may change the draws of those that stand behind it;
 * the model's and the temperature's stay. More than `evenDimensions` quantities: the last of them are drawn independently.
 */
function pointsOf(request: BandRequest): EvenPoints {
  return evenPoints(request.seed, [
    ...BANDED.map(modelDraw),
    TEMPERATURE_DRAW,
    ...pouredOf(request).map(pourDraw),
    ...new Set(request.portions.map(portionDraw)),
  ])
}

/** Variation number i of a band. */
function variationOf(request: BandRequest, points: EvenPoints, i: number): Variation {
  const { pour, temperatureK } = request.uncertainty ?? usualUncertainty
  const deviate = (name: string): number => inverseNormal(points.at(i, name))
  const factor = (name: string, relative: number): number => Math.max(LEAST_FACTOR, 1 + relative * deviate(name))
  const portions: Record<string, number> = {}
  const volumes: Record<string, number> = {}
  for (const p of request.portions) portions[portionKey(p)] = factor(portionDraw(p), p.relativeUncertainty)
  for (const solution of pouredOf(request)) volumes[solution] = factor(pourDraw(solution), pour)
  return { portions, volumes, temperatureShiftK: temperatureK * deviate(TEMPERATURE_DRAW), constants: request.constants ?? {} }
}

/** The request with one variation worked in. */
export function varied(
  request: RehearseRequest,
  portions: readonly Portion[],
  variation: Variation,
  facts: RehearsalFacts,
): RehearseRequest {
  const solutions: readonly MadeSolution[] = varySolutions(request.solutions, portions, variation, facts.matter)
  return {
    ...request,
    solutions,
    roomK: request.roomK + variation.temperatureShiftK,
    vessel: {
      ...request.vessel,
      pours: request.vessel.pours.map((p) => ({ ...p, volumeL: p.volumeL * (variation.volumes[p.solution] ?? 1) })),
    },
    constants: variation.constants,
  }
}

/** Features of one request; null when it cannot be run or its integration stops before the end. */
export function featuresFor(request: RehearseRequest, facts: RehearsalFacts): Features | null {
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...request.mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return null
  const course = vesselCourse(request, facts)
  if (!course.ok || course.value.ending.how === 'stopped-short') return null
  return seenOf(course.value, seeing.value).features
}

/** The model's own error worked into the features of run i. A single turn is first and last: it gets one factor, not two. */
function withModelError(f: Features, i: number, points: EvenPoints, model: readonly StatedBand[]): Features {
  const factorFor = (feature: StatedBand['feature']): number =>
    modelFactor(
      model.find((b) => b.feature === feature),
      inverseNormal(points.at(i, modelDraw(feature))),
    )
  const times = (value: number | null, feature: StatedBand['feature']): number | null =>
    value === null ? null : value * factorFor(feature)
  const firstTurnS = times(f.firstTurnS, 'first-turn')
  return {
    firstTurnS,
    periodS: times(f.periodS, 'period'),
    cycles: Math.round(f.cycles * factorFor('cycles')),
    lengthS: f.lengthS === f.firstTurnS ? firstTurnS : times(f.lengthS, 'length'),
    stillGoing: f.stillGoing,
  }
}

/** Run i of a band, for any i: its features without the model's own error; null when it cannot be run or stops before the end. */
export function bandRuns(request: BandRequest, facts: RehearsalFacts): (i: number) => Features | null {
  const points = pointsOf(request)
  const rigged = { ...request, rigs: request.rigs ?? createRigStore() }
  return (i) => featuresFor(varied(rigged, request.portions, variationOf(request, points, i), facts), facts)
}

/**
 * The band over at most `samplesOfBand` runs, asking for runs by their numbers: it ends before when the limits of every feature
 * have come to rest (`isStable`). Runs that fail are counted apart: they say nothing of the chemistry.
 */
export function* bandPlan(request: BandRequest): Plan<number, Features | null, Band> {
  const model = request.modelError ?? statedOrByGrade(request.mechanism)
  const points = pointsOf(request)
  const runs: (Features | null)[] = []
  let stoppedBecause: Band['stoppedBecause'] = 'all-runs'
  while (runs.length < request.samplesOfBand) {
    const from = runs.length
    const until = Math.min(nextLook(from), request.samplesOfBand)
    const answers = yield Array.from({ length: until - from }, (_, k) => from + k)
    answers.forEach((features, k) => runs.push(features === null ? null : withModelError(features, from + k, points, model)))
    if (runs.length < until) {
      stoppedBecause = 'cancelled'
      break
    }
    if (until === nextLook(from) && isStable(runs)) {
      stoppedBecause = 'stable'
      break
    }
  }
  const all = runs.filter((f): f is Features => f !== null)
  return {
    samples: all.length,
    failed: runs.length - all.length,
    stoppedBecause,
    seed: request.seed,
    firstTurnS: bandValue(all.map((f) => f.firstTurnS)),
    periodS: bandValue(all.map((f) => f.periodS)),
    cycles: bandValue(
      all.map((f) => f.cycles),
      Math.round,
    ),
    lengthS: bandValue(all.map((f) => f.lengthS)),
    stillGoingShare: all.length === 0 ? 0 : all.filter((f) => f.stillGoing).length / all.length,
    model,
    varied: VARIED,
  }
}

/** The band, its runs made here one by one. A run that `shouldStop` cuts short counts nowhere. */
export function bandOf(request: BandRequest, facts: RehearsalFacts): Outcome<Band> {
  const run = bandRuns(request, facts)
  let made = 0
  return done(
    carryOut(bandPlan(request), (i) => {
      if (request.shouldStop?.() === true) return undefined
      const features = run(i)
      if (features === null && request.shouldStop?.() === true) return undefined
      request.onSample?.(++made, request.samplesOfBand)
      return features
    }),
  )
}

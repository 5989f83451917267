/**
 * The band: the same demonstration many times, each with its own small errors of weighing, measuring and temperature, and
 * with the model's own stated error folded in. Seeded, so that the same input gives the same band.
 */
import { quantile, randomStream } from '@beakertide/basis/numerics'
import { done, type Outcome } from '@beakertide/basis/problems'
import type { Sourced } from '@beakertide/basis/sources'
import type { MadeSolution, Portion } from '../makeup/index.ts'
import type { Mechanism, StatedBand } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import type { Features } from './features.ts'
import type { Band, BandValue } from './rehearsal.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { prepareSeeing } from './seeing.ts'
import { seenOf } from './seen.ts'
import { portionKey, varySolutions, type Variation } from './variation.ts'
import { vesselCourse } from './vessel-course.ts'

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

/** Shares of the band: ten to ninety in a hundred. */
const LOW_SHARE = 0.1
const HIGH_SHARE = 0.9
/** Standard normal deviate at which the cumulative share is 0.9: the stated factors are read as ten-to-ninety limits. */
const Z_AT_HIGH_SHARE = 1.2815515655446004

export interface BandRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  readonly samplesOfBand: number
  readonly seed: number
  /** What varies besides the portions; default: `usualUncertainty`. */
  readonly uncertainty?: BandUncertainty
  /** The model's own error; default: what the mechanism states, and for the rest that of its grade. */
  readonly modelError?: readonly StatedBand[]
  /** Called after each sample. */
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

/**
 * Variation number i of a band. Every quantity has a stream of its own, named after it, so that an ingredient more or less
 * in the document does not change the draws of the others.
 */
function variationOf(request: BandRequest, i: number): Variation {
  const { pour, temperatureK } = request.uncertainty ?? usualUncertainty
  const factor = (name: string, relative: number): number =>
    Math.max(LEAST_FACTOR, 1 + relative * randomStream(request.seed, `${i}/${name}`).normal(0, 1))
  const portions: Record<string, number> = {}
  const volumes: Record<string, number> = {}
  for (const p of request.portions) portions[portionKey(p)] = factor(portionKey(p), p.relativeUncertainty)
  for (const solution of new Set(request.vessel.pours.map((p) => p.solution))) volumes[solution] = factor(`pour/${solution}`, pour)
  const temperatureShiftK = temperatureK * randomStream(request.seed, `${i}/temperature`).normal(0, 1)
  return { portions, volumes, temperatureShiftK, constants: request.constants ?? {} }
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
function withModelError(f: Features, i: number, seed: number, model: readonly StatedBand[]): Features {
  const factorFor = (feature: StatedBand['feature']): number =>
    modelFactor(
      model.find((b) => b.feature === feature),
      randomStream(seed, `${i}/model/${feature}`).normal(0, 1),
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

function bandValue(values: readonly (number | null)[], round: (value: number) => number = (v) => v): BandValue {
  const seen = values.filter((v): v is number => v !== null)
  const share = values.length === 0 ? 0 : seen.length / values.length
  if (seen.length === 0) return { low: null, middle: null, high: null, share }
  const at = (p: number): number => round(quantile(seen, p))
  return { low: at(LOW_SHARE), middle: at(0.5), high: at(HIGH_SHARE), share }
}

/** The band over `samplesOfBand` runs. Runs that fail are counted apart: they say nothing of the chemistry. */
export function bandOf(request: BandRequest, facts: RehearsalFacts): Outcome<Band> {
  const model = request.modelError ?? statedOrByGrade(request.mechanism)
  const all: Features[] = []
  let failed = 0
  for (let i = 0; i < request.samplesOfBand && request.shouldStop?.() !== true; i++) {
    const features = featuresFor(varied(request, request.portions, variationOf(request, i), facts), facts)
    if (features === null) failed++
    else all.push(withModelError(features, i, request.seed, model))
    request.onSample?.(i + 1, request.samplesOfBand)
  }
  return done({
    samples: all.length,
    failed,
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
  })
}

/**
 * The band: the same demonstration many times, each with its own small errors of weighing, measuring and temperature, and
 * with the model's own stated error folded in. Seeded, so that the same input gives the same band.
 */
import { quantile, randomStream } from '@beakertide/basis/numerics'
import { done, type Outcome } from '@beakertide/basis/problems'
import type { Sourced } from '@beakertide/basis/sources'
import type { MadeSolution, Portion } from '../makeup/index.ts'
import type { StatedBand } from '../mechanism/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import type { Features } from './features.ts'
import type { Band, BandValue } from './rehearsal.ts'
import { type RehearsalFacts, type RehearseRequest, seenOf } from './rehearse.ts'
import { prepareSeeing } from './seeing.ts'
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

/** Shares of the band: ten to ninety in a hundred. */
const LOW_SHARE = 0.1
const HIGH_SHARE = 0.9
/** Standard normal deviate at which the cumulative share is 0.9: the stated factors are read as ten-to-ninety limits. */
const Z_AT_HIGH_SHARE = 1.2815515655446004

export interface BandRequest extends RehearseRequest {
  readonly portions: readonly Portion[]
  readonly samplesOfBand: number
  readonly seed: number
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

/** A random factor whose ten-to-ninety limits are 1/factorDown and factorUp. */
function modelFactor(stated: StatedBand | undefined, z: number): number {
  if (!stated) return 1
  const factor = z >= 0 ? stated.factorUp : stated.factorDown
  return Math.max(1, factor) ** (z / Z_AT_HIGH_SHARE)
}

/** Variation number i of a band. */
function variationOf(request: BandRequest, i: number): Variation {
  const portions: Record<string, number> = {}
  const volumes: Record<string, number> = {}
  for (const p of request.portions) {
    const z = randomStream(request.seed, `${i}/${portionKey(p)}`).normal(0, 1)
    portions[portionKey(p)] = Math.max(0, 1 + p.relativeUncertainty * z)
  }
  for (const solution of new Set(request.vessel.pours.map((p) => p.solution))) {
    volumes[solution] = Math.max(0.01, 1 + pourUncertainty.value * randomStream(request.seed, `${i}/pour/${solution}`).normal(0, 1))
  }
  const temperatureShiftK = randomStream(request.seed, `${i}/temperature`).normal(0, temperatureUncertainty.value)
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

/** Features of one varied request; null when it cannot be run (its problem is the same as the unvaried one's). */
export function featuresFor(request: RehearseRequest, facts: RehearsalFacts): Features | null {
  const seeing = prepareSeeing(request.view, { ...usualAbsorbers, ...request.mechanism.absorbers }, facts.seeing)
  if (!seeing.ok) return null
  const course = vesselCourse(request, facts)
  if (!course.ok || course.value.ending.how === 'stopped-short') return null
  return seenOf(course.value, seeing.value).features
}

function bandValue(values: readonly (number | null)[]): BandValue {
  const seen = values.filter((v): v is number => v !== null)
  const share = values.length === 0 ? 0 : seen.length / values.length
  if (seen.length === 0) return { low: null, middle: null, high: null, share }
  return { low: quantile(seen, LOW_SHARE), middle: quantile(seen, 0.5), high: quantile(seen, HIGH_SHARE), share }
}

/** The band over `samplesOfBand` runs; a run that cannot be made counts as one in which nothing is seen. */
export function bandOf(request: BandRequest, facts: RehearsalFacts): Outcome<Band> {
  const model = request.mechanism.bands
  const stated = (feature: StatedBand['feature']): StatedBand | undefined => model.find((b) => b.feature === feature)
  const all: Features[] = []
  for (let i = 0; i < request.samplesOfBand; i++) {
    if (request.shouldStop?.() === true) break
    const features = featuresFor(varied(request, request.portions, variationOf(request, i), facts), facts)
    const z = (name: string): number => randomStream(request.seed, `${i}/model/${name}`).normal(0, 1)
    const times = (value: number | null | undefined, feature: StatedBand['feature']): number | null =>
      value == null ? null : value * modelFactor(stated(feature), z(feature))
    all.push({
      firstTurnS: times(features?.firstTurnS, 'first-turn'),
      periodS: times(features?.periodS, 'period'),
      cycles: times(features?.cycles ?? 0, 'cycles') ?? 0,
      lengthS: times(features?.lengthS, 'length'),
    })
    request.onSample?.(i + 1, request.samplesOfBand)
  }
  return done({
    samples: all.length,
    seed: request.seed,
    firstTurnS: bandValue(all.map((f) => f.firstTurnS)),
    periodS: bandValue(all.map((f) => f.periodS)),
    cycles: bandValue(all.map((f) => f.cycles)),
    lengthS: bandValue(all.map((f) => f.lengthS)),
    model,
    varied: VARIED,
  })
}

/**
 * One vessel from very many starts: everything that does not change from one to the next (mixing, its heat, compiling) is done once,
 * so that a start costs little more than its integration. For looking over thousands of recipes, not for a show: all is poured at once,
 * at the temperature and into the volume of the recipe as it is, and what is seen is told by absorbance instead of colours.
 */
import { done, type Outcome } from '@beakertide/basis/problems'
import type { Portion } from '../makeup/index.ts'
import { type Inventory, mix } from '../mixture/index.ts'
import { usualAbsorbers } from './absorbers.ts'
import type { RehearsalFacts, RehearseRequest } from './rehearse.ts'
import { readyLiquid, startState } from './state-of-liquid.ts'
import { portionKey } from './variation.ts'
import { rigFor, setFor, tolerancesFor } from './vessel-course.ts'

/** What became of one start. Times in s after the pour. */
export interface StartFound {
  /** Times the absorbance rises from the lowest quarter of its range into the highest. */
  readonly swings: number
  readonly firstSwingS: number | null
  /** Mean time between swings; null with fewer than two. */
  readonly periodS: number | null
  readonly lastSwingS: number | null
  /** Greatest absorbance through the vessel's depth at the strongest wavelength of each absorber, decadic. */
  readonly mostAbsorbance: number
}

/** Changes of absorbance below this are not seen at all: about a per cent of the light (our own choice). */
const LEAST_RANGE = 0.005
const LOW_QUARTER = 0.25
const HIGH_QUARTER = 0.75

/** The absorbing states of a network with their absorbance a mol/L. */
function absorbing(request: RehearseRequest, names: readonly string[], facts: RehearsalFacts): readonly (readonly [number, number])[] {
  const absorbers = { ...usualAbsorbers, ...request.mechanism.absorbers }
  return Object.entries(absorbers).flatMap(([species, name]): readonly (readonly [number, number])[] => {
    const place = names.indexOf(species)
    const epsilon = facts.seeing.absorbers.absorbers[name]?.molarAbsorptivity ?? []
    const most = epsilon.reduce((a, b) => Math.max(a, b), 0)
    return place < 0 || most === 0 ? [] : [[place, most * request.view.depthCm]]
  })
}

function swingsOf(timesS: readonly number[], absorbance: Float64Array, count: number): StartFound {
  let low = Number.POSITIVE_INFINITY
  let high = 0
  for (let k = 0; k < count; k++) {
    low = Math.min(low, absorbance[k]!)
    high = Math.max(high, absorbance[k]!)
  }
  const range = high - low
  let swings = 0
  let firstSwingS: number | null = null
  let lastSwingS: number | null = null
  let wasLow = false
  const seen = range >= LEAST_RANGE ? count : 0
  for (let k = 0; k < seen; k++) {
    const share = (absorbance[k]! - low) / range
    if (share <= LOW_QUARTER) wasLow = true
    else if (share >= HIGH_QUARTER && wasLow) {
      wasLow = false
      swings++
      lastSwingS = timesS[k]!
      firstSwingS ??= lastSwingS
    }
  }
  const periodS = swings > 1 ? (lastSwingS! - firstSwingS!) / (swings - 1) : null
  return { swings, firstSwingS, periodS, lastSwingS, mostAbsorbance: count === 0 ? 0 : high }
}

/** The liquid with each portion's amount multiplied; volume, temperature and heat capacity stay. */
function scaled(base: Inventory, poured: readonly PouredPortion[], factors: Readonly<Record<string, number>>): Inventory {
  const amountsMol: Record<string, number> = { ...base.amountsMol }
  for (const { key, molPerFactor } of poured) {
    const more = (factors[key] ?? 1) - 1
    if (more === 0) continue
    for (const [species, mol] of molPerFactor) amountsMol[species] = Math.max(0, (amountsMol[species] ?? 0) + more * mol)
  }
  return { ...base, amountsMol }
}

interface PouredPortion {
  readonly key: string
  /** What one time the portion brings into the vessel, mol. */
  readonly molPerFactor: readonly (readonly [string, number])[]
}

/**
 * A function from factors on portions ("solution/bottle" -> how many times of it) to what becomes of that start. Problems: the recipe
 * as it is cannot be poured or settled. The function gives null where a start cannot be settled or its integration stops before the end.
 * What it gives depends on its factors alone, not on the starts before.
 */
export function manyStarts(
  request: RehearseRequest,
  portions: readonly Portion[],
  facts: RehearsalFacts,
): Outcome<(factors: Readonly<Record<string, number>>) => StartFound | null> {
  const { mechanism, vessel, solutions, lengthS } = request
  const mixed = mix(vessel, solutions, facts)
  if (!mixed.ok) return mixed
  const base = mixed.value
  const ready = readyLiquid(base, base, mechanism, facts.matter, facts.equilibria)
  if (!ready.ok) return ready
  const rig = rigFor(ready.value.inventory, request, facts)
  const { network, integrator } = rig
  const substances = new Map(facts.matter.substances.map((s) => [s.id, s]))
  const pouredPortions = portions.map((p): PouredPortion => {
    const made = solutions.find((s) => s.id === p.solution)
    const pouredL = vessel.pours.filter((x) => x.solution === p.solution).reduce((sum, x) => sum + x.volumeL, 0)
    const share = made ? pouredL / made.volumeL : 0
    const enters = (substances.get(p.substanceId)?.entersWater ?? []).filter((e) => e.species !== 'H2O')
    return { key: portionKey(p), molPerFactor: enters.map((e) => [e.species, p.amountMol * e.count * share] as const) }
  })
  const dyes = absorbing(request, network.stateNames, facts)
  const tolerances = tolerancesFor(network, request.relativeTolerance)
  const samples = Math.max(2, request.samples)
  const timesS = Array.from({ length: samples }, (_, k) => (lengthS * k) / (samples - 1))
  const absorbance = new Float64Array(samples)
  const n = network.size
  return done((factors) => {
    const liquid = scaled(base, pouredPortions, factors)
    const settled = readyLiquid(liquid, liquid, mechanism, facts.matter, facts.equilibria)
    if (!settled.ok) return null
    setFor(rig, settled.value.inventory, settled.value, request, facts)
    const run = integrator.run({
      fromS: 0,
      toS: lengthS,
      y0: startState(network, settled.value.start, settled.value.inventory),
      tolerances,
      sample: timesS,
      keep: 'samples',
      invariants: network.conserved,
      ...(request.shouldStop ? { shouldStop: request.shouldStop } : {}),
    })
    if (run.ending.how === 'stopped-short') return null
    for (let k = 0; k < run.sampledCount; k++) {
      let sum = 0
      for (const [place, perMol] of dyes) sum += perMol * Math.max(0, run.sampled[k * n + place]!)
      absorbance[k] = sum
    }
    return swingsOf(timesS, absorbance, run.sampledCount)
  })
}

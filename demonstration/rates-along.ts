/** The rate of every step along a rehearsal: what a drawn network shows while time is moved. */
import { createDenseLu } from '@beakertide/basis/numerics'
import { done, type Outcome } from '@beakertide/basis/problems'
import { type VesselCourse, vesselCourse } from '@beakertide/core/rehearsal'
import { bandRehearsal, type DayFacts, type Prepared, requestFor } from './day.ts'

/** Plain data; the arrays hold one row a sample time. */
export interface RatesAlong {
  readonly vessel: string
  /** The pour that sets it off, s on the document's clock. */
  readonly startS: number
  /** From `startS` on, ascending. */
  readonly timesS: readonly number[]
  readonly steps: readonly RatedStep[]
  readonly species: readonly string[]
  /** Net rate (forward minus back) of each step, mol L^-1 s^-1; of steps in balance what the books give. Row k begins at k * steps.length. */
  readonly netMolPerLS: Float32Array
  /** Concentration of each species, mol/L: row k begins at k * species.length. */
  readonly molPerL: Float32Array
}

/** One step, or one process of the vessel, with what it changes. */
export interface RatedStep {
  /** Id of the step; name of the process. */
  readonly id: string
  readonly kind: 'step' | 'process'
  /** Net stoichiometric numbers of the species followed: negative for use. */
  readonly changes: readonly { readonly species: string; readonly coefficient: number }[]
}

/** Rates at the samples of a rehearsal of band accuracy. Problems: whatever prevents the rehearsal. */
export function ratesAlong(prepared: Prepared, vessel: string, facts: DayFacts): Outcome<RatesAlong> {
  const run = vesselCourse(requestFor(prepared, vessel, bandRehearsal), facts)
  return run.ok ? done({ vessel, ...ratesOfCourse(run.value) }, run.value.remarks) : run
}

/** Rates at the samples of a course, from the complete mixture on: before it the network was set for another liquid. */
export function ratesOfCourse(course: VesselCourse): Omit<RatesAlong, 'vessel'> {
  const { network, timesS, startSample, states, names, startS } = course
  const species = names.filter((name) => name !== 'temperature')
  const indices = species.map((name) => names.indexOf(name))
  const ids = network.rateNames.map((name, r) => network.stepNames[network.stepOfRate[r]!] ?? name)
  const steps = [...new Set(ids)].map(
    (id): RatedStep & { readonly rates: readonly { readonly index: number; readonly sign: 1 | -1 }[] } => {
      const own = ids.flatMap((x, r) => (x === id ? [r] : []))
      const first = own[0]!
      const changes = species.flatMap((name, i) => {
        const coefficient = network.stoichiometry(indices[i]!, first)
        return coefficient === 0 ? [] : [{ species: name, coefficient }]
      })
      return {
        id,
        kind: network.stepOfRate[first]! >= 0 ? 'step' : 'process',
        changes,
        rates: own.map((index, i) => ({ index, sign: i === 0 ? 1 : -1 })),
      }
    },
  )
  const samples = timesS.length - startSample
  const net = new Float64Array(samples * steps.length)
  const exchange = new Float64Array(samples * steps.length)
  const molPerL = new Float32Array(samples * species.length)
  const rates = new Float64Array(network.rateNames.length)
  for (let k = 0; k < samples; k++) {
    const at = (startSample + k) * names.length
    network.stepRates(timesS[startSample + k]!, states.subarray(at, at + names.length), rates)
    steps.forEach((s, i) => {
      net[k * steps.length + i] = s.rates.reduce((sum, r) => sum + r.sign * rates[r.index]!, 0)
      exchange[k * steps.length + i] = s.rates.reduce((sum, r) => sum + rates[r.index]!, 0)
    })
    indices.forEach((index, i) => {
      molPerL[k * species.length + i] = states[at + index]!
    })
  }
  const along = {
    timesS: timesS.slice(startSample),
    steps: steps.map(({ id, kind, changes }) => ({ id, kind, changes })),
    species,
    molPerL,
  }
  fromTheBooks(along, net, exchange)
  return { startS, ...along, netMolPerLS: Float32Array.from(net) }
}

/** A step whose two directions differ by less than this share of their sum at most samples is in balance. */
const IN_BALANCE = 0.02
const MOST_SAMPLES = 0.8
const TOLD_APART = 1e-9

/**
 * The net rate of a step in balance is the small difference of two large numbers, each known only to the accuracy of the integration:
 * as computed it is noise. What it delivers follows from the books instead: the change of the concentrations that the other steps do not
 * explain, shared out over the steps in balance by least squares (each species counted by its own largest concentration).
 */
function fromTheBooks(
  along: Pick<RatesAlong, 'timesS' | 'steps' | 'species' | 'molPerL'>,
  net: Float64Array,
  exchange: Float64Array,
): void {
  const { timesS, steps, species, molPerL } = along
  const [n, m, samples] = [steps.length, species.length, timesS.length]
  const fast = steps.flatMap((_, j) => {
    let balanced = 0
    for (let k = 0; k < samples; k++) if (Math.abs(net[k * n + j]!) < IN_BALANCE * exchange[k * n + j]!) balanced++
    return balanced > MOST_SAMPLES * samples ? [j] : []
  })
  if (fast.length === 0 || samples < 3) return
  const number = (j: number, i: number): number => steps[j]!.changes.find((c) => c.species === species[i])?.coefficient ?? 0
  const weights = species.map((_, i) => {
    let most = 0
    for (let k = 0; k < samples; k++) most = Math.max(most, Math.abs(molPerL[k * m + i]!))
    return most > 0 ? 1 / most ** 2 : 0
  })
  const lu = createDenseLu(fast.length)
  lu.matrix.set(fast.flatMap((a) => fast.map((b) => weights.reduce((sum, w, i) => sum + w * number(a, i) * number(b, i), 0))))
  // Steps that the books cannot tell apart stay as they were computed.
  if (!lu.decompose(TOLD_APART)) return
  const rest = new Float64Array(m)
  for (let k = 0; k < samples; k++) {
    const [before, after] = [Math.max(0, k - 1), Math.min(samples - 1, k + 1)]
    const dt = timesS[after]! - timesS[before]!
    if (!(dt > 0)) continue
    for (let i = 0; i < m; i++) rest[i] = (molPerL[after * m + i]! - molPerL[before * m + i]!) / dt
    steps.forEach((s, j) => {
      if (fast.includes(j)) return
      for (const c of s.changes) {
        const i = species.indexOf(c.species)
        rest[i] = rest[i]! - c.coefficient * net[k * n + j]!
      }
    })
    const found = Float64Array.from(fast, (a) => weights.reduce((sum, w, i) => sum + w * number(a, i) * rest[i]!, 0))
    lu.solve(found)
    fast.forEach((j, a) => {
      net[k * n + j] = found[a]!
    })
  }
}

/** The rate of every step along a rehearsal: what a drawn network shows while time is moved. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { vesselCourse } from '@beakertide/core/rehearsal'
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
  /** Net rate (forward minus back) of each step, mol L^-1 s^-1: row k begins at k * steps.length. */
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
  if (!run.ok) return run
  const { network, timesS, startSample, states, names, startS } = run.value
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
  const netMolPerLS = new Float32Array(samples * steps.length)
  const molPerL = new Float32Array(samples * species.length)
  const rates = new Float64Array(network.rateNames.length)
  for (let k = 0; k < samples; k++) {
    const at = (startSample + k) * names.length
    network.stepRates(timesS[startSample + k]!, states.subarray(at, at + names.length), rates)
    steps.forEach((s, i) => {
      netMolPerLS[k * steps.length + i] = s.rates.reduce((sum, r) => sum + r.sign * rates[r.index]!, 0)
    })
    indices.forEach((index, i) => {
      molPerL[k * species.length + i] = states[at + index]!
    })
  }
  return done(
    {
      vessel,
      startS,
      timesS: timesS.slice(startSample),
      steps: steps.map(({ id, kind, changes }) => ({ id, kind, changes })),
      species,
      netMolPerLS,
      molPerL,
    },
    run.value.remarks,
  )
}

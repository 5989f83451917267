/** Runs a mechanism of the catalogue from stated concentrations, closed, isothermal and stirred: what the checks of mechanisms ask. */
import { compileNetwork, findMechanism, type Mechanism, type Network, placeStart } from '@beakertide/core/mechanism'
import { createIntegrator, type EventFunction, type MethodName, type Solution } from '@beakertide/basis/numerics'
import { facts } from '@beakertide/data'
import { found, valueOf } from './ledger.ts'

export interface Batch {
  readonly mechanism: string
  /** mol/L; species not named start at none, whatever trace the file would give them. */
  readonly molPerL: Readonly<Record<string, number>>
  /** Species kept at their start value though the file lets them change. */
  readonly held?: readonly string[]
  /** Only these steps. */
  readonly steps?: readonly string[]
  readonly constants?: Readonly<Record<string, number>>
  readonly temperatureK?: number
  readonly toS: number
  readonly relative?: number
  readonly absolute?: number
  readonly method?: MethodName
  readonly sample?: ArrayLike<number>
}

export interface BatchRun {
  readonly network: Network
  readonly solution: Solution
  /** mol/L of the sum of these species at a time. */
  at(timeS: number, ...species: readonly string[]): number
  /** mol/L of one species at the end. */
  end(species: string): number
}

function prepared(batch: Batch): Mechanism {
  const whole = valueOf(findMechanism(batch.mechanism, facts.mechanisms(), facts.mechanismDefaults()))
  return {
    ...whole,
    species: whole.species.map((s) => (batch.held?.includes(s.id) ? { ...s, role: 'held' as const } : s)),
    steps: batch.steps ? whole.steps.filter((s) => batch.steps?.includes(s.id)) : whole.steps,
  }
}

export function runBatch(batch: Batch, events: (network: Network) => readonly EventFunction[] = () => []): BatchRun {
  const mechanism = prepared(batch)
  const network = compileNetwork(mechanism, { kind: 'held', temperatureK: batch.temperatureK ?? mechanism.referenceK })
  const known = new Set([...network.stateNames, ...network.heldNames])
  const strange = Object.keys(batch.molPerL).filter((id) => !known.has(id))
  if (strange.length > 0) throw new Error(`${batch.mechanism} has no ${strange.join(', ')}`)
  for (const [name, value] of Object.entries(batch.constants ?? {})) network.setConstant(name, value)
  const y0 = new Float64Array(network.size)
  placeStart(network, { dynamic: batch.molPerL, held: batch.molPerL, raised: [] }, y0)
  const solution = createIntegrator(network, batch.method ?? 'rodas5p').run({
    fromS: 0,
    toS: batch.toS,
    y0,
    tolerances: { relative: batch.relative ?? 1e-8, absolute: batch.absolute ?? 1e-15 },
    events: events(network),
    invariants: network.conserved,
    ...(batch.sample ? { sample: batch.sample, keep: 'samples' as const } : {}),
  })
  if (solution.ending.how === 'stopped-short') throw new Error(`the run stopped at ${solution.ending.timeS} s: ${solution.ending.why}`)
  const state = new Float64Array(network.size)
  const indices = (species: readonly string[]): readonly number[] =>
    species.map((id) => {
      const i = network.indexOf(id)
      if (i < 0) throw new Error(`${batch.mechanism} has no state ${id}`)
      return i
    })
  return {
    network,
    solution,
    at(timeS, ...species) {
      solution.at(timeS, state)
      return indices(species).reduce((sum, i) => sum + (state[i] ?? 0), 0)
    },
    end: (species) => found(solution.end[found(indices([species])[0], species)], species),
  }
}

/** When the sum of these species first rises over (or falls under) a value, s. */
export function firstPassing(
  batch: Batch,
  species: readonly string[],
  molPerL: number,
  direction: 'rising' | 'falling' = 'rising',
): number {
  const run = runBatch(batch, (network) => [
    {
      name: 'passing',
      direction,
      stops: true,
      value: (_t, y) => species.reduce((sum, id) => sum + (y[network.indexOf(id)] ?? 0), -molPerL),
    },
  ])
  return found(run.solution.events[0], `passing of ${molPerL} mol/L`).timeS
}

/** Where the greatest of three neighbours stands: golden section on the dense output between its neighbours. */
function peakBetween(run: BatchRun, species: string, from: number, to: number): number {
  const share = (Math.sqrt(5) - 1) / 2
  let [low, high] = [from, to]
  for (let i = 0; i < 40; i++) {
    const a = high - share * (high - low)
    const b = low + share * (high - low)
    if (run.at(a, species) < run.at(b, species)) low = a
    else high = b
  }
  return (low + high) / 2
}

/**
 * Times of the maxima of a species. A maximum counts when the species rises to it by `contrast` times from the lowest value
 * before and falls from it by as much after (so that ripples and the end of the run do not count).
 */
export function maximaOf(batch: Batch, species: string, contrast = 1.5): readonly number[] {
  const run = runBatch(batch)
  const starts = run.solution.stepTimesS
  const times: number[] = []
  // Three points a step: a step of the integrator may hold a whole summit.
  for (let k = 0; k + 1 < starts.length; k++) {
    const [from, to] = [starts[k] ?? 0, starts[k + 1] ?? 0]
    for (const share of [0, 1 / 3, 2 / 3]) times.push(from + share * (to - from))
  }
  const values = times.map((t) => run.at(t, species))
  const maxima: number[] = []
  let lowest = values[0] ?? 0
  let best: number | null = null
  for (const [k, value] of values.entries()) {
    if (best === null) {
      lowest = Math.min(lowest, value)
      if (value > contrast * lowest && value > LEAST) best = k
    } else if (value > (values[best] ?? 0)) best = k
    else if (value * contrast < (values[best] ?? 0)) {
      maxima.push(peakBetween(run, species, times[best - 1] ?? 0, times[best + 1] ?? 0))
      best = null
      lowest = value
    }
  }
  return maxima
}
/** A species under this, mol/L, has no maxima: it is rounding. */
const LEAST = 1e-12

/** Differences of neighbours. */
export const periodsOf = (timesS: readonly number[]): readonly number[] => timesS.slice(1).map((t, i) => t - (timesS[i] ?? 0))

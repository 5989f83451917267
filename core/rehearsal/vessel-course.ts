/** The course of one vessel: every pour, and the reaction between pours, as sampled states. */
import { createIntegrator, type Ending, type Integrator, type Statistics } from '@beakertide/basis/numerics'
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { kelvinToCelsius } from '@beakertide/basis/units'
import type { MadeSolution } from '../makeup/index.ts'
import { formationEnthalpy, type MatterFacts, type SpeciesId } from '../matter/index.ts'
import { compileNetwork, type Mechanism, type Network, stepEnthalpies } from '../mechanism/index.ts'
import { type Equilibrium, type EquilibriumFacts, type Inventory, mix, type Vessel } from '../mixture/index.ts'
import { inventoryAfter, readyLiquid } from './state-of-liquid.ts'
import { heatLoss, vesselProcesses } from './vessel-facts.ts'

export interface CourseRequest {
  readonly mechanism: Mechanism
  readonly vessel: Vessel
  readonly solutions: readonly MadeSolution[]
  readonly roomK: number
  /** Rehearsed time after the first pour, s. */
  readonly lengthS: number
  /** Relative tolerance of the integration; absolute is this times `absoluteShare`. */
  readonly relativeTolerance: number
  /** Samples along the whole time. */
  readonly samples: number
  /** Factors on rate constants, by the network's names. */
  readonly constants?: Readonly<Record<string, number>>
  readonly shouldStop?: () => boolean
}

export interface CourseFacts {
  readonly matter: MatterFacts
  readonly equilibria: EquilibriumFacts
}

export interface VesselCourse {
  readonly network: Network
  readonly names: readonly string[]
  readonly timesS: readonly number[]
  /** Rows of `names.length`, one a sample. */
  readonly states: Float64Array
  /** Things that do not react but are seen (starch, Mn2+ …), mol/L, one value a sample index range: by stretch. */
  readonly spectators: readonly {
    readonly fromSample: number
    readonly molPerL: Readonly<Record<SpeciesId, number>>
    readonly volumeL: number
  }[]
  /** When the reacting mixture is complete enough to react: the pour after which the clock runs, s. */
  readonly startS: number
  readonly start: Inventory
  readonly startEquilibrium: Equilibrium
  readonly end: Inventory
  /** Inventory at a sample. */
  inventoryAt(sample: number): Inventory
  readonly ending: Ending
  readonly statistics: Statistics
  readonly elementDriftMax: number
  readonly chargeDriftMax: number
  /** Steps whose heat is not known. */
  readonly stepsWithoutHeat: readonly string[]
  readonly remarks: readonly Problem[]
}

/** Absolute tolerance as a share of the relative one, mol/L: radicals of 1e-12 mol/L still switch oscillators. */
const ABSOLUTE_SHARE = 1e-9
/** The temperature needs no such care, K. */
const ABSOLUTE_TEMPERATURE_SHARE = 1

const noStatistics: Statistics = {
  steps: 0,
  rejected: 0,
  rejectedForSign: 0,
  rateCalls: 0,
  jacobianCalls: 0,
  decompositions: 0,
  solves: 0,
  pivoted: 0,
}

function addStatistics(a: Statistics, b: Statistics): Statistics {
  return {
    steps: a.steps + b.steps,
    rejected: a.rejected + b.rejected,
    rejectedForSign: a.rejectedForSign + b.rejectedForSign,
    rateCalls: a.rateCalls + b.rateCalls,
    jacobianCalls: a.jacobianCalls + b.jacobianCalls,
    decompositions: a.decompositions + b.decompositions,
    solves: a.solves + b.solves,
    pivoted: a.pivoted + b.pivoted,
  }
}

/** Times of pours that are met, each once, ascending. */
function pourTimes(vessel: Vessel): readonly number[] {
  return [...new Set(vessel.pours.map((p) => p.atS))].sort((a, b) => a - b)
}

/** Runs the vessel from its first pour for `lengthS`. Problems: nothing poured, a mixture that cannot be settled. */
export function vesselCourse(request: CourseRequest, facts: CourseFacts): Outcome<VesselCourse> {
  const { mechanism, vessel, lengthS } = request
  const pours = pourTimes(vessel)
  const firstS = pours[0]
  if (firstS === undefined) {
    return refuse({
      code: 'rehearsal/nothing-poured',
      where: `vessel ${vessel.id}`,
      what: 'nothing is poured into it',
      todo: 'list at least one pour',
    })
  }
  const untilS = Math.max(firstS + lengthS, (pours.at(-1) ?? firstS) + lengthS)
  const remarks: Problem[] = []
  const sampleEvery = (untilS - firstS) / Math.max(1, request.samples - 1)
  const timesS: number[] = []
  const stateRows: Float64Array[] = []
  const spectators: { fromSample: number; molPerL: Readonly<Record<SpeciesId, number>>; volumeL: number }[] = []
  const stretches: { fromSample: number; before: Inventory; from: Float64Array }[] = []
  let network: Network | null = null
  let stepsWithoutHeat: readonly string[] = []
  let integrator: Integrator | null = null
  let current: Inventory | null = null
  let start: Inventory | null = null
  let startEquilibrium: Equilibrium | null = null
  let ending: Ending = { how: 'reached-end', timeS: firstS }
  let statistics = noStatistics
  let elementDriftMax = 0
  let chargeDriftMax = 0

  for (let k = 0; k < pours.length; k++) {
    const fromS = pours[k]!
    const toS = pours[k + 1] ?? untilS
    const mixed = pourInto(current, { ...vessel, pours: vessel.pours.filter((p) => p.atS === fromS) }, request.solutions, facts)
    if (!mixed.ok) return mixed
    remarks.push(...mixed.warnings)
    const ready = readyLiquid(mixed.value, mechanism, facts.matter, facts.equilibria)
    if (!ready.ok) return ready
    remarks.push(...ready.value.remarks)
    const liquid = ready.value.inventory
    if (network === null || integrator === null) {
      const processes = vesselProcesses(mechanism, vessel, liquid.temperatureK, facts.equilibria)
      const heats = stepEnthalpies(mechanism, (id) => formationEnthalpy(id, facts.matter)?.value ?? null, processes)
      stepsWithoutHeat = heats.unknown.map((u) => u.step)
      const heatCapacityJPerLK = liquid.heatCapacityJPerK / liquid.volumeL
      network = compileNetwork(
        mechanism,
        { kind: 'free', roomK: request.roomK, heatCapacityJPerLK, lossPerS: heatLoss.value },
        processes,
        heats.byStep,
      )
      integrator = createIntegrator(network)
      for (const [name, factor] of Object.entries(request.constants ?? {})) network.scaleConstant(name, factor)
    }
    const y0 = startState(network, mechanism, ready.value.startMolPerL, liquid)
    for (const c of network.constantsSetBy) {
      const { ionicStrengthMolPerL, concentrationsMolPerL } = ready.value.equilibrium
      network.setConstant(c.name, c.setBy === 'ionic-strength' ? ionicStrengthMolPerL : (concentrationsMolPerL['H+'] ?? 0))
    }
    const wanted: number[] = []
    for (let t = timesS.length; firstS + t * sampleEvery < toS - 1e-9; t++) wanted.push(Math.max(fromS, firstS + t * sampleEvery))
    if (wanted[0] !== fromS) wanted.unshift(fromS)
    if (k === pours.length - 1) wanted.push(toS)
    const solution = integrator.run({
      fromS,
      toS,
      y0,
      tolerances: tolerancesFor(network, request.relativeTolerance),
      sample: wanted,
      keep: 'samples',
      invariants: network.conserved,
      ...(request.shouldStop ? { shouldStop: request.shouldStop } : {}),
    })
    spectators.push({ fromSample: timesS.length, molPerL: spectatorsOf(liquid, network), volumeL: liquid.volumeL })
    stretches.push({ fromSample: timesS.length, before: liquid, from: y0 })
    for (let i = 0; i < solution.sampledCount; i++) {
      timesS.push(wanted[i]!)
      stateRows.push(solution.sampled.subarray(i * network.size, (i + 1) * network.size))
    }
    statistics = addStatistics(statistics, solution.statistics)
    for (const d of solution.drift) {
      if (d.name === 'charge') chargeDriftMax = Math.max(chargeDriftMax, d.maxRelative)
      else elementDriftMax = Math.max(elementDriftMax, d.maxRelative)
    }
    ending = solution.ending
    if (k === pours.length - 1 || start === null) {
      start = liquid
      startEquilibrium = ready.value.equilibrium
    }
    current = inventoryAfter(liquid, network, mechanism, y0, solution.end, solution.toS)
    if (ending.how === 'stopped-short') {
      remarks.push({
        code: `rehearsal/${ending.why}`,
        where: `vessel ${vessel.id}, at ${Math.round(ending.timeS)} s`,
        what: 'the integration stopped before the end of the rehearsed time',
        todo: ending.advice,
      })
      break
    }
  }
  const n = network!.size
  const states = new Float64Array(timesS.length * n)
  stateRows.forEach((row, i) => states.set(row, i * n))
  const theNetwork = network!
  return done(
    {
      network: theNetwork,
      names: theNetwork.stateNames,
      timesS,
      states,
      spectators,
      startS: pours.at(-1)!,
      start: start!,
      startEquilibrium: startEquilibrium!,
      end: current!,
      inventoryAt(sample) {
        let stretch = stretches[0]!
        for (const s of stretches) if (s.fromSample <= sample) stretch = s
        return inventoryAfter(
          stretch.before,
          theNetwork,
          mechanism,
          stretch.from,
          states.subarray(sample * n, (sample + 1) * n),
          timesS[sample]!,
        )
      },
      ending,
      statistics,
      elementDriftMax,
      chargeDriftMax,
      stepsWithoutHeat,
      remarks,
    },
    remarks,
  )
}

/** The vessel's content as something that can be poured: the same amounts, mass, volume and temperature. */
const IN_VESSEL = '(in the vessel)'

/** What stands in the vessel together with the pours of one moment. */
function pourInto(current: Inventory | null, vessel: Vessel, solutions: readonly MadeSolution[], facts: CourseFacts): Outcome<Inventory> {
  if (current === null) return mix(vessel, solutions, facts)
  const standing: MadeSolution = {
    id: IN_VESSEL,
    volumeL: current.volumeL,
    massG: current.massG,
    densityGPerMl: current.massG / (1000 * current.volumeL),
    densityFrom: 'the vessel before this pour',
    amountsMol: { ...current.amountsMol, ...current.solidsMol },
    relativeUncertainty: current.relativeUncertainty,
    temperatureC: kelvinToCelsius(current.temperatureK),
    heatCapacityJPerGK: current.heatCapacityJPerK / current.massG,
    heatOfMakingK: null,
  }
  const first = { solution: IN_VESSEL, volumeL: current.volumeL, atS: vessel.pours[0]?.atS ?? current.atS }
  const mixed = mix({ ...vessel, pours: [first, ...vessel.pours] }, [standing, ...solutions], facts)
  return mixed.ok ? done({ ...mixed.value, gasesMol: current.gasesMol }, mixed.warnings) : mixed
}

/** Start values in the network's order; counters continue from the inventory, held species are set on the network. */
function startState(
  network: Network,
  mechanism: Mechanism,
  startMolPerL: Readonly<Record<SpeciesId, number>>,
  liquid: Inventory,
): Float64Array {
  const y0 = new Float64Array(network.size)
  network.stateNames.forEach((name, i) => {
    if (name === 'temperature') y0[i] = liquid.temperatureK
    else if (name.endsWith('(g)')) y0[i] = (liquid.gasesMol[name] ?? 0) / liquid.volumeL
    else if (name.endsWith('(s)')) y0[i] = (liquid.solidsMol[name] ?? 0) / liquid.volumeL
    else y0[i] = startMolPerL[name] ?? 0
  })
  for (const s of mechanism.species) if (s.role === 'held') network.hold(s.id, startMolPerL[s.id] ?? 0)
  return y0
}

function tolerancesFor(network: Network, relative: number): { readonly relative: number; readonly absolute: Float64Array } {
  const absolute = new Float64Array(network.size).fill(relative * ABSOLUTE_SHARE)
  const temperature = network.indexOf('temperature')
  if (temperature >= 0) absolute[temperature] = relative * ABSOLUTE_TEMPERATURE_SHARE
  return { relative, absolute }
}

/** Concentrations of everything in the liquid that the network does not follow, mol/L. */
function spectatorsOf(liquid: Inventory, network: Network): Readonly<Record<SpeciesId, number>> {
  const out: Record<SpeciesId, number> = {}
  for (const [id, n] of Object.entries(liquid.amountsMol)) if (id !== 'H2O' && network.indexOf(id) < 0) out[id] = n / liquid.volumeL
  return out
}

/** The course of one vessel: every pour, and the reaction between pours, as sampled states. */
import {
  createIntegrator,
  methodFor,
  type Ending,
  type Integrator,
  type IntegratorName,
  type Solution,
  type Statistics,
} from '@beakertide/basis/numerics'
import { done, invariant, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { formatTime, kelvinToCelsius } from '@beakertide/basis/units'
import type { MadeSolution } from '../makeup/index.ts'
import { formationEnthalpy, type MatterFacts, type SpeciesId } from '../matter/index.ts'
import { compileNetwork, type HeatModel, type Mechanism, type Network, stepEnthalpies, type VesselProcess } from '../mechanism/index.ts'
import { type Equilibrium, type EquilibriumFacts, type Inventory, mix, type Vessel } from '../mixture/index.ts'
import { chargesOf, type Compositions, compositionsOf, inventoryTotals, largestDrift } from './books.ts'
import { canShow, type FreshLiquid, inventoryAfter, isLumped, type ReadyLiquid, readyLiquid, startState } from './state-of-liquid.ts'
import { heatLoss, limitOf, vesselProcesses } from './vessel-facts.ts'

export interface CourseRequest {
  readonly mechanism: Mechanism
  readonly vessel: Vessel
  readonly solutions: readonly MadeSolution[]
  readonly roomK: number
  /** Rehearsed time after the last pour, s. */
  readonly lengthS: number
  /** Relative tolerance of the integration; the absolute ones follow from it (see `tolerancesFor`). */
  readonly relativeTolerance: number
  /** Samples along the whole time, evenly; those just before and after every pour come in addition. */
  readonly samples: number
  /** Factors on rate constants, by the network's names. */
  readonly constants?: Readonly<Record<string, number>>
  /** Loss of heat to the room, 1/s; default: that of an open beaker (`heatLoss`). 0: none. */
  readonly heatLossPerS?: number
  readonly shouldStop?: () => boolean
  /**
   * Networks of courses before, to be used again by this one. What comes out is the same; but the `network` of a course is then good only
   * until the next course that shares the store.
   */
  readonly rigs?: RigStore
}

export interface CourseFacts {
  readonly matter: MatterFacts
  readonly equilibria: EquilibriumFacts
}

/** From one pour to the next, or to the end. */
export interface Stretch {
  /** Time of the pour that begins it, s. */
  readonly fromS: number
  /** Index of its first sample: the liquid just after the pour. */
  readonly fromSample: number
  readonly volumeL: number
  /** What is there and does not react (starch, potassium …), mol/L. */
  readonly spectatorsMolPerL: Readonly<Record<SpeciesId, number>>
}

export interface VesselCourse {
  readonly network: Network
  readonly names: readonly string[]
  /** Ascending; a pour has two samples of equal time, the liquid before it and after it. */
  readonly timesS: readonly number[]
  /** Rows of `names.length`, one a sample. */
  readonly states: Float64Array
  /** In order of time; one a moment of pouring. */
  readonly stretches: readonly Stretch[]
  /** Time of the last pour that was reached, s: from then on the mixture is complete. */
  readonly startS: number
  /** Sample just after that pour. */
  readonly startSample: number
  /** The complete mixture, its fast equilibria settled, before it reacts. */
  readonly start: Inventory
  readonly startEquilibrium: Equilibrium
  readonly end: Inventory
  /** Inventory at a sample. */
  inventoryAt(sample: number): Inventory
  readonly ending: Ending
  /** Of all stretches together. */
  readonly statistics: Statistics
  /** Largest relative drift of a conserved total along the integration, or of an element from pour to pour in the inventory. */
  readonly elementDriftMax: number
  /** The same for charge, against the sum of all charges. */
  readonly chargeDriftMax: number
  /** Steps whose heat is not known. */
  readonly stepsWithoutHeat: readonly string[]
  /** What the reaction heats rest on. */
  readonly heatSources: readonly Source[]
  readonly remarks: readonly Problem[]
}

/** Absolute tolerance as a share of the relative one, mol/L: radicals of 1e-12 mol/L still switch oscillators. */
const ABSOLUTE_SHARE = 1e-9
/** The temperature needs no such care, K. */
const ABSOLUTE_TEMPERATURE_SHARE = 1
/** Samples nearer to a pour than this are the pour's own, s. */
const SAME_TIME_S = 1e-9

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

/** Moments of pouring, each once, ascending. */
function pourTimes(vessel: Vessel): readonly number[] {
  return [...new Set(vessel.pours.map((p) => p.atS))].sort((a, b) => a - b)
}

interface CompiledRig {
  readonly network: Network
  readonly integrator: Integrator
}

/** Everything compiled once for a vessel; temperature, volume and limits are set anew at each pour. */
export interface Rig extends CompiledRig {
  readonly processes: readonly VesselProcess[]
  readonly stepsWithoutHeat: readonly string[]
  readonly heatSources: readonly Source[]
}

/** Compiled networks by mechanism, and by the processes and heats of the vessel that they were compiled for. */
export interface RigStore {
  readonly kept: WeakMap<Mechanism, Map<string, CompiledRig>>
}
export const createRigStore = (): RigStore => ({ kept: new WeakMap() })
/** Kinds of vessels of one demonstration, at most. */
const MOST_RIGS = 8

function heatModel(liquid: Inventory, request: CourseRequest): HeatModel {
  return {
    kind: 'free',
    roomK: request.roomK,
    heatCapacityJPerLK: liquid.heatCapacityJPerK / liquid.volumeL,
    lossPerS: request.heatLossPerS ?? heatLoss.value,
  }
}

/** Compiles for this liquid: its processes, its heat, the factors on constants that the request wants. */
export function rigFor(liquid: Inventory, request: CourseRequest, facts: CourseFacts): Rig {
  const { mechanism, vessel } = request
  const processes = vesselProcesses(mechanism, vessel, liquid.temperatureK, facts.equilibria)
  const sources: Source[] = []
  const formation = (id: SpeciesId): number | null => {
    const found = formationEnthalpy(id, facts.matter)
    if (found) sources.push({ source: found.source, seen: found.seen })
    return found?.value ?? null
  }
  const heats = stepEnthalpies(mechanism, formation, processes)
  const method = methodFor(request.relativeTolerance)
  const rig = rigOf(mechanism, processes, heats.byStep, heatModel(liquid, request), method, request.rigs)
  const { network, integrator } = rig
  for (const name of network.constantNames) network.scaleConstant(name, request.constants?.[name] ?? 1)
  processes.forEach((p, i) => network.setProcess(i, p.kind === 'gas-leaves' ? p.saturationMolPerL : p.solubilityMolPerL, p.ratePerS))
  return { network, integrator, processes, stepsWithoutHeat: heats.unknown.map((u) => u.step), heatSources: distinctSources(sources) }
}

/** The network and its integrator, compiled or from the store; every number of it that a request decides is still to be set. */
function rigOf(
  mechanism: Mechanism,
  processes: readonly VesselProcess[],
  heats: Readonly<Record<string, number>>,
  heat: HeatModel,
  method: IntegratorName,
  store: RigStore | undefined,
): CompiledRig {
  const compiled = (): CompiledRig => {
    const network = compileNetwork(mechanism, heat, processes, heats)
    return { network, integrator: createIntegrator(network, method) }
  }
  if (store === undefined) return compiled()
  const key = JSON.stringify([method, processes.map((p) => [p.kind, p.species]), heats])
  const kept = store.kept.get(mechanism) ?? new Map<string, CompiledRig>()
  store.kept.set(mechanism, kept)
  const rig = kept.get(key) ?? compiled()
  if (!kept.has(key) && kept.size >= MOST_RIGS) kept.clear()
  kept.set(key, rig)
  return rig
}

/** Sets what a pour has changed: heat capacity, saturations, and the constants that the mixture decides. */
export function setFor(rig: Rig, liquid: Inventory, ready: ReadyLiquid, request: CourseRequest, facts: CourseFacts): void {
  const { network, processes } = rig
  network.setHeat(heatModel(liquid, request))
  processes.forEach((p, i) => {
    const limit = limitOf(p, request.vessel, liquid.temperatureK, facts.equilibria)
    if (limit !== null) network.setProcess(i, limit, p.ratePerS)
  })
  const { ionicStrengthMolPerL, concentrationsMolPerL } = ready.equilibrium
  for (const c of network.constantsSetBy) {
    network.setConstant(c.name, c.setBy === 'ionic-strength' ? ionicStrengthMolPerL : (concentrationsMolPerL['H+'] ?? 0))
  }
}

/** What a stretch began with, for booking. */
interface Begun extends Stretch {
  readonly before: Inventory
  readonly from: Float64Array
}

/** The run while it grows. */
class Growing {
  readonly timesS: number[] = []
  readonly rows: Float64Array[] = []
  readonly stretches: Begun[] = []
  statistics = noStatistics
  elementDriftMax = 0
  chargeDriftMax = 0

  add(begun: Omit<Begun, 'fromSample'>, wanted: readonly number[], solution: Solution, size: number): void {
    this.stretches.push({ ...begun, fromSample: this.timesS.length })
    for (let i = 0; i < solution.sampledCount; i++) {
      this.timesS.push(wanted[i]!)
      this.rows.push(solution.sampled.subarray(i * size, (i + 1) * size))
    }
    this.statistics = addStatistics(this.statistics, solution.statistics)
    for (const d of solution.drift) {
      if (d.name === 'charge') this.chargeDriftMax = Math.max(this.chargeDriftMax, d.maxRelative)
      else this.elementDriftMax = Math.max(this.elementDriftMax, d.maxRelative)
    }
  }

  /** The books of a stretch, water and held acid included, which the integrator does not see. */
  audit(before: Inventory, after: Inventory, of: Compositions): void {
    const drift = largestDrift(inventoryTotals(before, of), inventoryTotals(after, of), chargesOf(before.amountsMol, of))
    this.elementDriftMax = Math.max(this.elementDriftMax, drift.elements)
    this.chargeDriftMax = Math.max(this.chargeDriftMax, drift.charge)
  }
}

/**
 * Runs the vessel from its first pour until `lengthS` after the last one. Problems: nothing poured, a pour that cannot be
 * made, a mixture that cannot be settled. An integration that stops early ends the course there; `ending` and a remark say so.
 */
export function vesselCourse(request: CourseRequest, facts: CourseFacts): Outcome<VesselCourse> {
  const { mechanism, vessel } = request
  const pours = pourTimes(vessel)
  const firstS = pours[0]
  const lastS = pours.at(-1)
  if (firstS === undefined || lastS === undefined) {
    return refuse({
      code: 'rehearsal/nothing-poured',
      where: `vessel ${vessel.id}`,
      what: 'nothing is poured into it',
      todo: 'list at least one pour',
    })
  }
  const untilS = lastS + request.lengthS
  const everyS = (untilS - firstS) / Math.max(1, request.samples - 1)
  const growing = new Growing()
  const compositions = compositionsOf(mechanism, facts.matter)
  const remarks: Problem[] = []
  let rig: Rig | null = null
  let current: Inventory | null = null
  let startEquilibrium: Equilibrium | null = null
  let ending: Ending = { how: 'reached-end', timeS: firstS }
  // A lumped mechanism cannot book what becomes of its atoms; what its states have gained is carried from pour to pour, mol.
  let gained: Float64Array | null = null

  for (let k = 0; k < pours.length; k++) {
    const fromS = pours[k]!
    const toS = pours[k + 1] ?? untilS
    const mixed = pourInto(current, { ...vessel, pours: vessel.pours.filter((p) => p.atS === fromS) }, request.solutions, facts)
    if (!mixed.ok) return mixed
    const ready = readyLiquid(mixed.value, freshPart(current, mixed.value), mechanism, facts.matter, facts.equilibria)
    if (!ready.ok) return ready
    remarks.push(...mixed.warnings, ...ready.value.remarks)
    const liquid = ready.value.inventory
    rig ??= rigFor(liquid, request, facts)
    const { network } = rig
    setFor(rig, liquid, ready.value, request, facts)
    const y0 = startState(network, ready.value.start, liquid)
    if (gained) addGained(y0, gained, network, liquid.volumeL)
    const wanted = sampleTimes(fromS, toS, firstS, everyS)
    const solution = rig.integrator.run({
      fromS,
      toS,
      y0,
      tolerances: tolerancesFor(network, request.relativeTolerance),
      sample: wanted,
      keep: 'samples',
      invariants: network.conserved,
      ...(request.shouldStop ? { shouldStop: request.shouldStop } : {}),
    })
    const spectatorsMolPerL = spectatorsOf(liquid, network)
    growing.add({ fromS, volumeL: liquid.volumeL, spectatorsMolPerL, before: liquid, from: y0 }, wanted, solution, network.size)
    ending = solution.ending
    startEquilibrium = ready.value.equilibrium
    current = inventoryAfter(liquid, network, mechanism, facts.matter, y0, solution.end, solution.toS)
    growing.audit(liquid, current, compositions)
    if (isLumped(mechanism) && canShow(mechanism, liquid)) {
      const before: Float64Array = gained ?? new Float64Array(network.size)
      gained = before.map((mol, i) => mol + (solution.end[i]! - y0[i]!) * liquid.volumeL)
    }
    if (ending.how === 'stopped-short') {
      remarks.push(stoppedShort(vessel, ending))
      break
    }
  }
  invariant(rig !== null && current !== null && startEquilibrium !== null, 'at least one stretch was run')
  const { network } = rig
  const n = network.size
  const { timesS, stretches } = growing
  const last = stretches.at(-1)!
  const states = new Float64Array(timesS.length * n)
  growing.rows.forEach((row, i) => states.set(row, i * n))
  return done(
    {
      network,
      names: network.stateNames,
      timesS,
      states,
      stretches,
      startS: last.fromS,
      startSample: last.fromSample,
      start: last.before,
      startEquilibrium,
      end: current,
      inventoryAt(sample) {
        const { before, from } = stretches.findLast((s) => s.fromSample <= sample) ?? stretches[0]!
        return inventoryAfter(
          before,
          network,
          mechanism,
          facts.matter,
          from,
          states.subarray(sample * n, (sample + 1) * n),
          timesS[sample]!,
        )
      },
      ending,
      statistics: growing.statistics,
      elementDriftMax: growing.elementDriftMax,
      chargeDriftMax: growing.chargeDriftMax,
      stepsWithoutHeat: rig.stepsWithoutHeat,
      heatSources: rig.heatSources,
      remarks,
    },
    remarks,
  )
}

function stoppedShort(vessel: Vessel, ending: Extract<Ending, { how: 'stopped-short' }>): Problem {
  return {
    code: `rehearsal/${ending.why}`,
    where: `vessel ${vessel.id}, at ${formatTime(ending.timeS)}`,
    what: 'the integration stopped before the end of the rehearsed time',
    todo: ending.advice,
  }
}

/** The start of a stretch, the even grid within it, and its end. */
function sampleTimes(fromS: number, toS: number, gridFromS: number, everyS: number): readonly number[] {
  const times = [fromS]
  if (everyS > 0) {
    for (let m = Math.ceil((fromS - gridFromS) / everyS); gridFromS + m * everyS < toS - SAME_TIME_S; m++) {
      const t = gridFromS + m * everyS
      if (t > fromS + SAME_TIME_S) times.push(t)
    }
  }
  if (toS > fromS) times.push(toS)
  return times
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

/** What the pours of this moment have brought: the mixture less what stood in the vessel. */
function freshPart(before: Inventory | null, mixed: Inventory): FreshLiquid {
  if (before === null) return mixed
  const amountsMol: Record<SpeciesId, number> = {}
  for (const [id, mol] of Object.entries(mixed.amountsMol)) amountsMol[id] = mol - (before.amountsMol[id] ?? 0)
  return { volumeL: mixed.volumeL - before.volumeL, amountsMol }
}

/** Puts what a lumped mechanism's states have gained before this pour into the new volume; nothing falls below zero. */
function addGained(y: Float64Array, gainedMol: Float64Array, network: Network, volumeL: number): void {
  const temperature = network.indexOf('temperature')
  for (let i = 0; i < y.length; i++) if (i !== temperature) y[i] = Math.max(0, y[i]! + gainedMol[i]! / volumeL)
}

/** Relative and absolute tolerances of an integration of concentrations and temperature. */
export function tolerancesFor(network: Network, relative: number): { readonly relative: number; readonly absolute: Float64Array } {
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

/** The reaction network as a drawing knows it: species and steps as two kinds of nodes, and how much flows at a moment. No framework. */
import type { Mechanism, Reign } from '@beakertide/core/mechanism'
import type { RatesAlong } from '@beakertide/demonstration'
import { indexAt } from './colour-at.ts'

export interface SpeciesNode {
  readonly kind: 'species'
  readonly id: string
  readonly name: string
  /** It colours the liquid. */
  readonly coloured: boolean
}
export interface StepNode {
  readonly kind: 'step'
  readonly id: string
  readonly equation: string
  readonly process: boolean
  readonly reversible: boolean
}
export type GraphNode = SpeciesNode | StepNode

/** A species goes into a step or comes out of it; with a negative net rate the flow runs the other way. */
export interface GraphLine {
  readonly species: string
  readonly step: string
  /** Net stoichiometric number: negative for use, positive for making; 0 for what is used and given back. */
  readonly coefficient: number
  readonly side: 'into' | 'outOf'
}

export interface NetworkGraph {
  readonly nodes: readonly GraphNode[]
  readonly lines: readonly GraphLine[]
}

/** Everybody's partners: they would tie every step to every other one. */
const EVERYWHERE: ReadonlySet<string> = new Set(['H2O', 'H+', 'OH-'])

/** Node ids in one name space: a step may be called like a species ("I2"). */
export const nodeKey = (node: Pick<GraphNode, 'kind' | 'id'>): string => `${node.kind}:${node.id}`

/**
 * The graph of the steps that were rehearsed. Water, hydrogen and hydroxide ion are left out unless nothing else is left of a step.
 * Species that are held or not followed come from the equations.
 */
export function networkGraph(mechanism: Mechanism, along: Pick<RatesAlong, 'steps'>): NetworkGraph {
  const coloured = new Set(Object.keys(mechanism.absorbers))
  const names = new Map(mechanism.species.map((s) => [s.id, s.name]))
  const lines: GraphLine[] = []
  const steps: StepNode[] = []
  for (const rated of along.steps) {
    const step = mechanism.steps.find((s) => s.id === rated.id)
    const into = step ? step.reactants.map((x) => x.species) : rated.changes.filter((c) => c.coefficient < 0).map((c) => c.species)
    const outOf = step ? step.products.map((x) => x.species) : rated.changes.filter((c) => c.coefficient > 0).map((c) => c.species)
    const net = (species: string): number => {
      const followed = rated.changes.find((c) => c.species === species)?.coefficient
      if (followed !== undefined || !step) return followed ?? 0
      const sum = (terms: typeof step.reactants): number => terms.reduce((n, x) => n + (x.species === species ? x.coefficient : 0), 0)
      return sum(step.products) - sum(step.reactants)
    }
    const kept = (list: readonly string[]): readonly string[] => [...new Set(list)].filter((s) => !EVERYWHERE.has(s))
    const [usedKept, madeKept] = [kept(into), kept(outOf)]
    if (usedKept.length + madeKept.length === 0) continue
    steps.push({
      kind: 'step',
      id: rated.id,
      equation: step?.equation ?? rated.id,
      process: rated.kind === 'process',
      reversible: step?.reversible ?? false,
    })
    for (const species of usedKept) lines.push({ species, step: rated.id, coefficient: net(species), side: 'into' })
    for (const species of madeKept) {
      // What stands on both sides is drawn once, where it goes in.
      if (usedKept.includes(species)) continue
      lines.push({ species, step: rated.id, coefficient: net(species), side: 'outOf' })
    }
  }
  const ids = [...new Set(lines.map((l) => l.species))]
  const species = ids.map((id): SpeciesNode => ({ kind: 'species', id, name: names.get(id) ?? id, coloured: coloured.has(id) }))
  return { nodes: [...species, ...steps], lines }
}

/** Net rate of every step at a time, mol L^-1 s^-1, between samples straight. */
export function ratesAt(along: RatesAlong, timeS: number): Readonly<Record<string, number>> {
  const { timesS, steps, netMolPerLS } = along
  const n = steps.length
  const k = indexAt(timesS.length, (i) => timesS[i]!, timeS)
  const next = Math.min(timesS.length - 1, k + 1)
  const dt = timesS[next]! - timesS[k]!
  const share = dt > 0 ? Math.min(1, Math.max(0, (timeS - timesS[k]!) / dt)) : 0
  return Object.fromEntries(
    steps.map((s, j) => [s.id, (1 - share) * netMolPerLS[k * n + j]! + share * netMolPerLS[next * n + j]!] as const),
  )
}

/** A rate that a step exceeds only in this share of the samples is its large one: the first moment of a fast equilibrium is no scale. */
const RARE_SHARE = 0.05

/** The large rate of the busiest step: the scale of the widths, mol L^-1 s^-1. */
export function largestRate(along: RatesAlong): number {
  const n = along.steps.length
  const samples = along.timesS.length
  let largest = 0
  for (let j = 0; j < n; j++) {
    const sizes = Float32Array.from({ length: samples }, (_, k) => Math.abs(along.netMolPerLS[k * n + j]!)).sort()
    largest = Math.max(largest, sizes[Math.floor((1 - RARE_SHARE) * (samples - 1))] ?? 0)
  }
  return largest
}

export const THINNEST_PX = 0.75
export const THICKEST_PX = 9
/** Rates this many powers of ten below the largest are drawn thinnest. */
const DECADES = 5

/** Line width for a rate: by powers of ten below the largest, because rates of one network span many. */
export function lineWidth(rate: number, largest: number): number {
  const size = Math.abs(rate)
  if (!(size > 0) || !(largest > 0)) return THINNEST_PX
  const share = 1 + Math.log10(size / largest) / DECADES
  return THINNEST_PX + (THICKEST_PX - THINNEST_PX) * Math.min(1, Math.max(0, share))
}

/**
 * Steps that rule at a time: the one that makes and the one that uses each coloured species there, from the run's reigns. Their lines to
 * these species are the ruling path.
 */
export function rulingSteps(reigns: readonly Reign[], timeS: number): ReadonlyMap<string, readonly Reign[]> {
  const out = new Map<string, Reign[]>()
  for (const reign of reigns) {
    if (reign.step === null || timeS < reign.fromS || timeS >= reign.toS) continue
    out.set(reign.step, [...(out.get(reign.step) ?? []), reign])
  }
  return out
}

/** Stretches of one ruler for one species and role, in order: the band along the time axis. */
export function bandOfReigns(reigns: readonly Reign[], species: string, role: Reign['role']): readonly Reign[] {
  return reigns.filter((r) => r.species === species && r.role === role).sort((a, b) => a.fromS - b.fromS)
}

/** From the mixture's free concentrations to the start of a mechanism, and into a network. */
import { invariant } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import { TEMPERATURE_STATE } from './compile-network.ts'
import type { Mechanism } from './mechanism.ts'
import type { Network } from './network.ts'
import { amountFor } from './starts-from.ts'

export interface StartConcentrations {
  /** mol/L */
  readonly dynamic: Readonly<Record<SpeciesId, number>>
  /** mol/L */
  readonly held: Readonly<Record<SpeciesId, number>>
  /** Species that the mixture has less of than the trace the mechanism starts with. */
  readonly raised: readonly { readonly species: SpeciesId; readonly molPerL: number; readonly why: string }[]
}

/**
 * Start concentrations of every dynamic and held species from the settled mixture's free concentrations (mol/L).
 * A species with a stated trace starts at the trace at least; which ones that raised is returned beside.
 */
export function startConcentrations(mechanism: Mechanism, concentrations: Readonly<Record<SpeciesId, number>>): StartConcentrations {
  const dynamic: Record<SpeciesId, number> = {}
  const held: Record<SpeciesId, number> = {}
  const raised: { species: SpeciesId; molPerL: number; why: string }[] = []
  for (const s of mechanism.species) {
    if (s.role === 'solvent') continue
    const given = amountFor(s, concentrations)
    const start = Math.max(given, s.traceMolPerL ?? 0)
    if (start > given) raised.push({ species: s.id, molPerL: start, why: s.traceWhy ?? '' })
    ;(s.role === 'held' ? held : dynamic)[s.id] = start
  }
  return { dynamic, held, raised }
}

/** Fills the state `y` (counters zero) and sets the held species of `network`. `temperatureK` is needed when temperature is free. */
export function placeStart(network: Network, start: StartConcentrations, y: Float64Array, temperatureK?: number): void {
  network.stateNames.forEach((name, i) => {
    y[i] = Object.hasOwn(start.dynamic, name) ? start.dynamic[name]! : 0
  })
  for (const species of network.heldNames) network.hold(species, start.held[species] ?? 0)
  const temperature = network.indexOf(TEMPERATURE_STATE)
  if (temperature < 0) return
  invariant(temperatureK !== undefined, 'a network with free temperature needs a start temperature')
  y[temperature] = temperatureK
}

/**
 * Forward sensitivities of a network: how every state and every event time answers to an ingredient, a constant, a held species or the
 * temperature. One variation is a direction: whatever moves together when one number of the recipe is changed.
 */
import { invariant } from '@beakertide/basis/problems'
import {
  type Break,
  type IntegratorName,
  runSensitivities,
  type SensitivityRequest,
  type SensitivitySolution,
  type VariedBreak,
  type VariedEvent,
  type VariedSystem,
} from '@beakertide/basis/numerics'
import type { SpeciesId } from '../matter/index.ts'
import { TEMPERATURE_STATE } from './compile-network.ts'
import type { Network } from './network.ts'
import { networkTangent, type SlotChange } from './network-tangent.ts'
import { operations } from './slot-expression.ts'

/**
 * One parameter p, as the rates at which it moves what a run begins with. An ingredient of a pour moves several starts at once; a
 * constant moves its own logarithm.
 */
export interface Variation {
  readonly name: string
  /** ∂(start)/∂p of states: mol/L (K for "temperature") per unit of p. */
  readonly start?: Readonly<Record<string, number>>
  /** ∂[species]/∂p of held species, mol/L per unit of p. */
  readonly held?: Readonly<Record<SpeciesId, number>>
  /** ∂ ln k/∂p: 1 makes p the natural logarithm of the constant, so that s is the change for a factor e. */
  readonly constants?: Readonly<Record<string, number>>
  /** ∂T/∂p of a held temperature. A free one is a state: give it in `start`. */
  readonly temperatureK?: number
  /** ∂T/∂p of the room, where the temperature is free. */
  readonly roomK?: number
  /** A change of p that matters, in its unit; see SensitivityRequest.scales. Default: the largest start or held value it moves, 10 K, or 1 for constants. */
  readonly scale?: number
}

/** p is the start of one state, mol/L (K for "temperature"). */
export const varyStart = (state: string): Variation => ({ name: state, start: { [state]: 1 } })
/** p is the natural logarithm of a rate constant ("X1.k"). */
export const varyConstant = (name: string): Variation => ({ name, constants: { [name]: 1 } })
/** p is the concentration of a held species, mol/L. */
export const varyHeld = (species: SpeciesId): Variation => ({ name: species, held: { [species]: 1 } })
/** p is the temperature, K: of the whole run where it is held, of its start where it is free. */
export function varyTemperature(network: Network): Variation {
  return network.indexOf(TEMPERATURE_STATE) >= 0
    ? { name: TEMPERATURE_STATE, start: { [TEMPERATURE_STATE]: 1 } }
    : { name: TEMPERATURE_STATE, temperatureK: 1 }
}

/** A change of temperature that matters: d ln k/dT is about 0.06 to 0.1 a kelvin. */
const TEMPERATURE_SCALE_K = 10

function changesOf(network: Network, variation: Variation): readonly SlotChange[] {
  const t = network.tables
  const { heldSlots, roomSlot } = network.live
  const changes: SlotChange[] = []
  for (const [species, amount] of Object.entries(variation.held ?? {})) {
    const slot = heldSlots.get(species)
    invariant(slot !== undefined, `"${species}" is not a held species of this network`)
    changes.push({ slot, amount, relative: false })
  }
  for (const [name, amount] of Object.entries(variation.constants ?? {})) {
    const at = network.constantNames.indexOf(name)
    invariant(at >= 0, `there is no constant "${name}" in this network`)
    changes.push({ slot: t.constantSlot[at]!, amount, relative: true })
  }
  if (variation.temperatureK !== undefined) {
    invariant(!t.temperatureIsFree, 'a free temperature is a state: vary its start')
    changes.push({ slot: t.temperatureSlot, amount: variation.temperatureK, relative: false })
  }
  if (variation.roomK !== undefined) changes.push({ slot: roomSlot, amount: variation.roomK, relative: false })
  return changes
}

/** ∂(product of slots in a rate)/∂p: scale times the slots; a change of a logarithm leaves the product as it is. */
interface MovedProduct {
  readonly scale: number
  readonly slots: Int32Array
  /** States that the rate changes, and the places of its coefficients. */
  readonly states: Int32Array
  readonly terms: Int32Array
}

/** Products that these changes move; null where one reaches a rate through an auxiliary or moves many constants (temperature): all must be gone through. */
function productsMoved(network: Network, changes: readonly SlotChange[]): readonly MovedProduct[] | null {
  const t = network.tables
  const bySlot = new Map(changes.map((c) => [c.slot, c]))
  if (bySlot.has(t.temperatureSlot)) return null
  for (let i = 0; i < t.code.length; i += 2) if (t.code[i] === operations.load && bySlot.has(t.code[i + 1]!)) return null
  const found: MovedProduct[] = []
  const placesOf = (rate: number): { readonly states: Int32Array; readonly terms: Int32Array } => {
    const places = network.stateNames.flatMap((_, state) =>
      Array.from({ length: t.rowStart[state + 1]! - t.rowStart[state]! }, (__, i) => ({ state, term: t.rowStart[state]! + i })),
    )
    const own = places.filter(({ term }) => t.rowRate[term] === rate)
    return { states: Int32Array.from(own, (x) => x.state), terms: Int32Array.from(own, (x) => x.term) }
  }
  for (let rate = 0; rate < t.rateCount; rate++) {
    for (let m = t.monomialStart[rate]!; m < t.monomialStart[rate + 1]!; m++) {
      const slots = t.factors.slice(t.factorStart[m], t.factorStart[m + 1])
      for (const [place, slot] of slots.entries()) {
        const change = bySlot.get(slot)
        if (change === undefined) continue
        found.push({
          scale: t.monomialCoefficient[m]! * change.amount,
          slots: change.relative ? slots : slots.filter((_, f) => f !== place),
          ...placesOf(rate),
        })
      }
    }
  }
  return found
}

/** The network with exact derivatives in the directions of these variations; it stays usable, and what is set on it counts at once. */
export function varyNetwork(network: Network, variations: readonly Variation[]): VariedSystem {
  const tangent = networkTangent(network)
  const changes = variations.map((v) => changesOf(network, v))
  const products = changes.map((c) => productsMoved(network, c))
  const { rowStart, columns } = network.pattern
  const { slots, rowCoefficient } = network.live
  /** The Jacobian at `at`, and the numbers of the network then: all parameters ask for the same state in turn. */
  const jacobian = new Float64Array(columns.length)
  const at = new Float64Array(network.size).fill(Number.NaN)
  const still = new Float64Array(network.size)
  const one = new Float64Array(network.size)
  const numbers = new Float64Array(slots.length)
  const setting = network.emittable?.changes
  const settingAt = Int32Array.of(0)

  function settle(timeS: number, y: Float64Array): void {
    let isSame = setting !== undefined && setting[0] === settingAt[0]
    for (let i = 0; isSame && i < y.length; i++) isSame = at[i] === y[i]
    if (isSame) return
    network.jacobian(timeS, y, jacobian)
    numbers.set(slots)
    at.set(y)
    settingAt[0] = setting?.[0] ?? 0
  }

  /** ∂f/∂p from the products that p moves, added to out[state · stride + at]. */
  function addMoved(moved: readonly MovedProduct[], numbers: Float64Array, out: Float64Array, stride: number, at: number): void {
    for (const { scale, slots: list, states, terms } of moved) {
      let rate = scale
      for (let f = 0; f < list.length; f++) rate *= numbers[list[f]!]!
      for (let q = 0; q < states.length; q++) {
        const place = states[q]! * stride + at
        out[place] = out[place]! + rowCoefficient[terms[q]!]! * rate
      }
    }
  }

  return {
    // Its functions as they are, so that the network's generated code stands for them.
    ...network,
    parameterCount: variations.length,
    addSources(timeS, y, width, out) {
      if (products.some((moved) => moved !== null && moved.length > 0)) network.live.settle(y)
      for (const [k, moved] of products.entries()) {
        if (moved !== null) {
          addMoved(moved, slots, out, width, k)
          continue
        }
        tangent.rates(timeS, y, still, changes[k]!, one)
        for (let i = 0; i < one.length; i++) out[i * width + k] = out[i * width + k]! + one[i]!
      }
    },
    ratesAlong(timeS, y, parameter, s, out) {
      const moved = products[parameter]!
      if (moved === null) {
        tangent.rates(timeS, y, s, changes[parameter]!, out)
        return
      }
      settle(timeS, y)
      for (let i = 0; i < out.length; i++) {
        let sum = 0
        for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) sum += jacobian[p]! * s[columns[p]!]!
        out[i] = sum
      }
      addMoved(moved, numbers, out, 1, 0)
    },
    jacobianAlong: (timeS, y, parameter, s, values) => {
      tangent.jacobian(timeS, y, s, changes[parameter]!, values)
    },
  }
}

/** Rows ∂y0/∂p_k that the variations ask for. */
export function startRows(network: Network, variations: readonly Variation[]): Float64Array {
  const rows = new Float64Array(network.size * variations.length)
  variations.forEach((v, k) => {
    for (const [name, amount] of Object.entries(v.start ?? {})) {
      const at = network.indexOf(name)
      invariant(at >= 0, `"${name}" is no state of this network`)
      rows[k * network.size + at] = amount
    }
  })
  return rows
}

function scaleOf(network: Network, v: Variation, y0: ArrayLike<number>): number {
  if (v.scale !== undefined) return v.scale
  const temperature = network.indexOf(TEMPERATURE_STATE)
  let largest = 0
  for (let i = 0; i < network.size; i++) if (i !== temperature) largest = Math.max(largest, y0[i]!)
  const wanted: number[] = []
  const want = (value: number, rate: number): void => {
    if (value > 0 && rate !== 0) wanted.push(value / Math.abs(rate))
  }
  for (const [name, rate] of Object.entries(v.start ?? {})) {
    const at = network.indexOf(name)
    if (at === temperature) want(TEMPERATURE_SCALE_K, rate)
    // An absent species may come to matter as much as the most abundant one.
    else want(y0[at]! > 0 ? y0[at]! : largest, rate)
  }
  for (const [species, rate] of Object.entries(v.held ?? {})) want(network.live.slots[network.live.heldSlots.get(species) ?? -1] ?? 0, rate)
  for (const rate of Object.values(v.constants ?? {})) want(1, rate)
  want(TEMPERATURE_SCALE_K, v.temperatureK ?? 0)
  want(TEMPERATURE_SCALE_K, v.roomK ?? 0)
  return wanted.length > 0 ? Math.max(...wanted) : 1
}

export interface NetworkSensitivityRequest extends Omit<SensitivityRequest, 'start' | 'scales' | 'breaks'> {
  readonly variations: readonly Variation[]
  /** `vary` receives the place of a variation. A pour y ← a y + b: see `pourBreak`. */
  readonly breaks?: readonly VariedBreak[]
}

/**
 * A run of the network with the sensitivities of all states, and the derivatives of all event times, by the variations in their order.
 * Totals that the network conserves are held.
 */
export function networkSensitivities(
  network: Network,
  request: NetworkSensitivityRequest,
  method: IntegratorName = 'rodas5p',
): SensitivitySolution {
  const { variations, ...rest } = request
  return runSensitivities(
    varyNetwork(network, variations),
    {
      invariants: network.conserved,
      ...rest,
      start: startRows(network, variations),
      scales: variations.map((v) => scaleOf(network, v, request.y0)),
    },
    method,
  )
}

/**
 * A pour into a vessel of held temperature at a fixed time that mixes y ← keep · y + added (concentrations; keep = volume before over volume after), with its own
 * variation: rows ∂(added)/∂p_k, and ∂(keep)/∂p_k where an amount poured changes the volume. Whatever else the pour changes
 * (held species, volume of the vessel) is done by `also`.
 */
export function pourBreak(
  pour: {
    readonly timeS: number
    readonly keep: number
    readonly added: Float64Array
    readonly addedBy?: readonly Float64Array[]
    readonly keepBy?: ArrayLike<number>
  },
  also?: Break['change'],
): VariedBreak {
  const { timeS, keep, added, addedBy, keepBy } = pour
  return {
    timeS,
    change(t, y) {
      for (let i = 0; i < y.length; i++) y[i] = keep * y[i]! + added[i]!
      also?.(t, y)
    },
    vary(_t, before, parameter, s) {
      const more = addedBy?.[parameter]
      const thinner = keepBy?.[parameter] ?? 0
      for (let i = 0; i < s.length; i++) s[i] = keep * s[i]! + thinner * before[i]! + (more?.[i] ?? 0)
    },
  }
}

/** g = Σ weight [species] − level: a colour that appears or fades, as an event whose time can be differentiated. */
export function passage(
  network: Network,
  name: string,
  weights: Readonly<Record<SpeciesId, number>>,
  level: number,
  direction: VariedEvent['direction'] = 'both',
): VariedEvent {
  const terms = Object.entries(weights).map(([species, weight]) => {
    const at = network.indexOf(species)
    invariant(at >= 0, `"${species}" is no state of this network`)
    return { at, weight }
  })
  return {
    name,
    direction,
    value: (_t, y) => terms.reduce((sum, { at, weight }) => sum + weight * y[at]!, -level),
    slope(_t, _y, out) {
      out.fill(0)
      for (const { at, weight } of terms) out[at] = out[at]! + weight
    },
  }
}

/**
 * g = d[species]/dt: its maxima (`falling`), minima (`rising`) or both. `variations` must be those of the run, because the rate itself depends on
 * constants, held species and temperature.
 */
export function turning(
  network: Network,
  name: string,
  species: SpeciesId,
  variations: readonly Variation[],
  direction: VariedEvent['direction'] = 'both',
): VariedEvent {
  const at = network.indexOf(species)
  invariant(at >= 0, `"${species}" is no state of this network`)
  const varied = varyNetwork(network, variations)
  const { rowStart, columns } = network.pattern
  const rates = new Float64Array(network.size)
  const still = new Float64Array(network.size)
  const jacobian = new Float64Array(columns.length)
  return {
    name,
    direction,
    value(timeS, y) {
      network.rates(timeS, y, rates)
      return rates[at]!
    },
    slope(timeS, y, out) {
      network.jacobian(timeS, y, jacobian)
      out.fill(0)
      for (let p = rowStart[at]!; p < rowStart[at + 1]!; p++) out[columns[p]!] = jacobian[p]!
    },
    byParameter(timeS, y, parameter) {
      varied.ratesAlong(timeS, y, parameter, still, rates)
      return rates[at]!
    },
  }
}

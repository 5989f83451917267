/** Steady states of a network, their stability, and the border at which they give way to oscillation. */
import { invariant } from '@beakertide/basis/problems'
import {
  type AdjustableSystem,
  type Axis,
  type Branch,
  type BranchRequest,
  entryOf,
  findSteadyState,
  followBranch,
  followHopfLine,
  type HopfLine,
  leftNullSpace,
  type OdeSystem,
  patternOf,
  type Stability,
  stabilityOf,
  type SteadyRequest,
  type SteadyState,
} from '@beakertide/basis/numerics'
import type { SpeciesId } from '../matter/index.ts'
import { TEMPERATURE_STATE } from './compile-network.ts'
import type { Network } from './network.ts'

/**
 * All linear totals that no rate of the network can change, as weights of the states: elements and charge (`network.conserved`), and those
 * that only this set of steps keeps (a catalyst, a spectator). Independent of one another; the temperature has no part in them.
 */
export function conservationLaws(network: Network): readonly Float64Array[] {
  return lawsOf(
    network,
    network.stateNames.map((_, i) => i),
  )
}

/** Laws of some of the states among themselves. */
function lawsOf(network: Network, states: readonly number[]): readonly Float64Array[] {
  const rates = network.rateNames.length
  // One more column moves the temperature alone, so that no law can hold it.
  const columns = rates + 1
  const matrix = new Float64Array(states.length * columns)
  states.forEach((state, i) => {
    for (let r = 0; r < rates; r++) matrix[i * columns + r] = network.stoichiometry(state, r)
    if (network.stateNames[state] === TEMPERATURE_STATE) matrix[i * columns + rates] = 1
  })
  return leftNullSpace(matrix, states.length, columns)
}

/** A network, or what is left of it without the states that nothing reads: those may pile up for ever, and change nothing else. */
interface Core {
  readonly system: OdeSystem
  readonly laws: readonly Float64Array[]
  shrink(whole: ArrayLike<number>): Float64Array
  /** The whole state; sinks as in `rest`. */
  expand(part: Float64Array, rest: ArrayLike<number>): Float64Array
}

/** Places of the states that some state's rate reads, directly or through others. */
function withoutSinks(network: Network): readonly number[] {
  const { rowStart, columns, size } = network.pattern
  const { entryStart } = network.tables
  const isKept = new Uint8Array(size).fill(1)
  for (let changed = true; changed; ) {
    changed = false
    const isRead = new Uint8Array(size)
    for (let i = 0; i < size; i++) {
      if (isKept[i] === 0) continue
      // The diagonal stands in every pattern; an entry without terms is always zero.
      for (let p = rowStart[i]!; p < rowStart[i + 1]!; p++) if (entryStart[p + 1]! > entryStart[p]!) isRead[columns[p]!] = 1
    }
    for (let i = 0; i < size; i++) {
      if (isKept[i] === 0 || isRead[i] === 1) continue
      isKept[i] = 0
      changed = true
    }
  }
  return network.stateNames.map((_, i) => i).filter((i) => isKept[i] === 1)
}

function coreOf(network: Network, sinksAside: boolean): Core {
  const states = sinksAside ? withoutSinks(network) : network.stateNames.map((_, i) => i)
  const laws = lawsOf(network, states)
  if (states.length === network.size) {
    return { system: network, laws, shrink: (whole) => Float64Array.from(whole), expand: (part) => part }
  }
  const { rowStart, columns } = network.pattern
  const placeOf = new Map(states.map((state, i) => [state, i]))
  const taken: { readonly from: number; readonly row: number; readonly column: number }[] = []
  states.forEach((state, row) => {
    for (let p = rowStart[state]!; p < rowStart[state + 1]!; p++) {
      const column = placeOf.get(columns[p]!)
      if (column !== undefined) taken.push({ from: p, row, column })
    }
  })
  const pattern = patternOf(
    states.length,
    taken.map((e) => [e.row, e.column] as const),
  )
  const places = taken.map((e) => entryOf(pattern, e.row, e.column))
  const whole = new Float64Array(network.size)
  const rates = new Float64Array(network.size)
  const jacobian = new Float64Array(columns.length)
  const place = (y: Float64Array): void => {
    for (let i = 0; i < states.length; i++) whole[states[i]!] = y[i]!
  }
  return {
    laws,
    shrink: (y) => Float64Array.from(states, (state) => y[state]!),
    expand(part, rest) {
      const out = Float64Array.from(rest)
      states.forEach((state, i) => (out[state] = part[i]!))
      return out
    },
    system: {
      size: states.length,
      pattern,
      rates(timeS, y, out) {
        place(y)
        network.rates(timeS, whole, rates)
        for (let i = 0; i < states.length; i++) out[i] = rates[states[i]!]!
      },
      jacobian(timeS, y, values) {
        place(y)
        network.jacobian(timeS, whole, jacobian)
        for (let e = 0; e < taken.length; e++) values[places[e]!] = jacobian[taken[e]!.from]!
      },
    },
  }
}

export interface NetworkSteadyRequest extends Omit<SteadyRequest, 'laws' | 'signed' | 'absolute'> {
  readonly absolute?: number
  /** States that no rate reads (products) may go on growing: they stay as in y0. Default false: everything must stand still. */
  readonly sinksAside?: boolean
}

/** A steady state of the network at the totals of y0, as it is set now; never negative. In a closed vessel this is the end of all reactions. */
export function steadyNetwork(network: Network, request: NetworkSteadyRequest): SteadyState {
  const core = coreOf(network, request.sinksAside ?? false)
  const found = findSteadyState(core.system, { ...request, y0: core.shrink(request.y0), laws: core.laws })
  return { ...found, y: core.expand(found.y, request.y0) }
}

/** Stability of a steady state of the network on the plane of its totals; null when the Jacobian is not finite. `sinksAside` as for the state. */
export function networkStability(network: Network, y: Float64Array, sinksAside = false): Stability | null {
  const core = coreOf(network, sinksAside)
  return stabilityOf(core.system, core.shrink(y), core.laws)
}

/** A number of the network that can be moved: a constant in its unit, a held species in mol/L, a held temperature in K. */
export type Knob =
  | { readonly kind: 'constant'; readonly name: string }
  | { readonly kind: 'held'; readonly species: SpeciesId }
  | { readonly kind: 'temperature' }

/** A knob and the span it is moved over. */
export interface KnobSpan {
  readonly knob: Knob
  readonly from: number
  readonly to: number
  /** Equal factors count as equal lengths. */
  readonly logarithmic?: boolean
}

function knobOf(network: Network, knob: Knob): { readonly value: number; set(value: number): void } {
  switch (knob.kind) {
    case 'constant': {
      const at = network.constantNames.indexOf(knob.name)
      invariant(at >= 0, `there is no constant "${knob.name}" in this network`)
      return {
        value: network.live.values[at]!,
        set: (value) => {
          network.setConstant(knob.name, value)
        },
      }
    }
    case 'held': {
      const slot = network.live.heldSlots.get(knob.species)
      invariant(slot !== undefined, `"${knob.species}" is not a held species of this network`)
      return {
        value: network.live.slots[slot]!,
        set: (value) => {
          network.hold(knob.species, value)
        },
      }
    }
    case 'temperature': {
      invariant(!network.tables.temperatureIsFree, 'a free temperature cannot be set: compile with a held one')
      return {
        value: network.live.slots[network.tables.temperatureSlot]!,
        set: (value) => {
          network.setHeat({ kind: 'held', temperatureK: value })
        },
      }
    }
  }
}

/** Runs `work` with the knobs as parameters 0, 1 … and puts them back as they were. */
function withKnobs<T>(network: Network, core: Core, knobs: readonly Knob[], work: (adjustable: AdjustableSystem) => T): T {
  const settings = knobs.map((knob) => knobOf(network, knob))
  const before = settings.map((s) => s.value)
  try {
    return work({
      system: core.system,
      laws: core.laws,
      set(parameter, value) {
        settings[parameter]!.set(value)
      },
    })
  } finally {
    settings.forEach((s, k) => {
      s.set(before[k]!)
    })
  }
}

const axisOf = (span: KnobSpan, parameter: number): Axis => ({
  parameter,
  from: span.from,
  to: span.to,
  ...(span.logarithmic === undefined ? {} : { logarithmic: span.logarithmic }),
})

/**
 * Steady states along one knob with their stability, folds and Hopf points: at a Hopf point the oscillation begins or ends, with the
 * period 2π/ω. States that nothing reads stay as in y0 and take no part. The network is left as it was.
 */
export function borderOfOscillation(network: Network, span: KnobSpan, request: Omit<BranchRequest, 'axis' | 'signed'>): Branch {
  const core = coreOf(network, true)
  return withKnobs(network, core, [span.knob], (adjustable) => branchOf(adjustable, core, span, request))
}

function branchOf(adjustable: AdjustableSystem, core: Core, span: KnobSpan, request: Omit<BranchRequest, 'axis' | 'signed'>): Branch {
  const branch = followBranch(adjustable, { ...request, y0: core.shrink(request.y0), axis: axisOf(span, 0) })
  const whole = <P extends { readonly y: Float64Array }>(p: P): P => ({ ...p, y: core.expand(p.y, request.y0) })
  return { ...branch, points: branch.points.map(whole), special: branch.special.map(whole) }
}

/** Hopf lines over two knobs. */
export interface OscillationMap {
  readonly lines: readonly HopfLine[]
  /** The branches along the first knob on which the lines were picked up. */
  readonly branches: readonly { readonly second: number; readonly branch: Branch }[]
}

/** Places along the second knob at which Hopf points are looked for: its ends and the quarters between. */
const CUTS = [0, 0.25, 0.5, 0.75, 1]
/** Two Hopf points nearer than this share of the spans lie on the same line. */
const SAME_LINE = 0.01

/**
 * The borders of oscillation over two knobs: Hopf points on five cuts along the first knob, and the line through each that lies on none found
 * before. A closed line between two cuts is not seen. The network is left as it was.
 */
export function mapOfOscillation(
  network: Network,
  spans: readonly [KnobSpan, KnobSpan],
  request: Omit<BranchRequest, 'axis' | 'signed'>,
): OscillationMap {
  const [first, second] = spans
  const measure = (span: KnobSpan, value: number): number =>
    span.logarithmic === true ? Math.log(value / span.from) / Math.log(span.to / span.from) : (value - span.from) / (span.to - span.from)
  const cutAt = (share: number): number =>
    second.logarithmic === true ? second.from * (second.to / second.from) ** share : second.from + share * (second.to - second.from)
  const core = coreOf(network, true)
  return withKnobs(network, core, [first.knob, second.knob], (adjustable) => {
    const lines: HopfLine[] = []
    const branches: { readonly second: number; readonly branch: Branch }[] = []
    const isKnown = (a: number, b: number): boolean =>
      lines.some((line) =>
        line.points.some((p, i) => {
          const next = line.points[i + 1] ?? p
          return (
            distanceToSegment(
              [a, b],
              [measure(first, p.values[0]), measure(second, p.values[1])],
              [measure(first, next.values[0]), measure(second, next.values[1])],
            ) < SAME_LINE
          )
        }),
      )
    for (const share of CUTS) {
      const at = cutAt(share)
      adjustable.set(1, at)
      const branch = branchOf(adjustable, core, first, request)
      branches.push({ second: at, branch })
      for (const hopf of branch.special) {
        if (hopf.kind !== 'hopf' || hopf.omegaPerS === null || isKnown(measure(first, hopf.value), share)) continue
        const line = followHopfLine(adjustable, {
          axes: [axisOf(first, 0), axisOf(second, 1)],
          values: [hopf.value, at],
          y: core.shrink(hopf.y),
          omegaPerS: hopf.omegaPerS,
          ...(request.absolute === undefined ? {} : { absolute: request.absolute }),
        })
        if (line.started) lines.push({ ...line, points: line.points.map((p) => ({ ...p, y: core.expand(p.y, request.y0) })) })
        adjustable.set(1, at)
      }
    }
    return { lines, branches }
  })
}

type Place = readonly [number, number]
function distanceToSegment(p: Place, a: Place, b: Place): number {
  const along: Place = [b[0] - a[0], b[1] - a[1]]
  const length = along[0] ** 2 + along[1] ** 2
  const share = length > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / length)) : 0
  return Math.hypot(p[0] - a[0] - share * along[0], p[1] - a[1] - share * along[1])
}

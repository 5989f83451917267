/**
 * Random mechanisms, balanced by construction, with random settings and starts, for fuzzing: whatever comes, a run must end by name, in
 * finite numbers, not below zero, with its totals. For tests and `npm run fuzz`; not part of the public face.
 */
import { createIntegrator, type Ending, grossTotal, type IntegratorName, randomStream, type RandomStream } from '@beakertide/basis/numerics'
import { compileNetwork, TEMPERATURE_STATE } from './compile-network.ts'
import type { Expression, Mechanism, MechanismSpecies, RateConstant, Step, Term } from './mechanism.ts'
import type { HeatModel, VesselProcess } from './network.ts'

/**
 * `plain`: mass action over a closed vessel at one temperature, constants over six decades; `wide`: twenty decades, every kind of law, held
 * species, heat, gas; `extreme`: constants from 1e-20 to 1e20; `absurd`: starts over the same range too.
 */
export type Wildness = 'plain' | 'wide' | 'extreme' | 'absurd'

export interface FuzzCase {
  readonly seed: number
  readonly wildness: Wildness
  readonly mechanism: Mechanism
  readonly heat: HeatModel
  readonly processes: readonly VesselProcess[]
  readonly enthalpies: Readonly<Record<string, number>>
  /** mol/L of dynamic and held species. */
  readonly start: Readonly<Record<string, number>>
  readonly toS: number
  readonly relative: number
  readonly absolute: number
  readonly method: IntegratorName
}

const ELEMENTS = ['C', 'H', 'N', 'O'] as const
const EMPTY = { sources: {}, absorbers: {}, faults: [], bands: [], netReactions: [], notes: [] } as const
const decadesOf: Readonly<Record<Wildness, readonly [constant: number, start: number]>> = {
  plain: [3, 3],
  wide: [10, 6],
  extreme: [20, 6],
  absurd: [20, 20],
}

interface Draw {
  readonly random: RandomStream
  below(limit: number): number
  chance(share: number): boolean
  /** 10^u, u uniform in ±decades. */
  decades(decades: number): number
}

function drawFrom(random: RandomStream): Draw {
  return {
    random,
    below: (limit) => Math.min(limit - 1, Math.floor(random.uniform() * limit)),
    chance: (share) => random.uniform() < share,
    decades: (decades) => 10 ** (decades * (2 * random.uniform() - 1)),
  }
}

/** Atoms of a species or a side of an equation, and its charge. */
interface Matter {
  readonly atoms: readonly number[]
  readonly charge: number
}
const sum = (a: Matter, b: Matter, times: number): Matter => ({
  atoms: a.atoms.map((n, e) => n + times * b.atoms[e]!),
  charge: a.charge + times * b.charge,
})

/** Species as they come up; the same matter may stand for two species (isomers). */
class Cast {
  readonly list: Matter[] = []
  private readonly draw: Draw
  private readonly most: number
  constructor(draw: Draw, most: number) {
    this.draw = draw
    this.most = most
    const elements = 1 + draw.below(ELEMENTS.length)
    for (let i = 0; i < 2 + draw.below(3); i++) {
      const atoms: number[] = ELEMENTS.map((_, e) => (e < elements ? draw.below(4) : 0))
      if (!atoms.some((n) => n > 0)) atoms[0] = 1
      this.list.push({ atoms, charge: draw.chance(0.6) ? 0 : draw.below(5) - 2 })
    }
  }
  /** A species of this matter; null when it would be nothing, or the cast is full. */
  of(matter: Matter): number | null {
    if (matter.atoms.some((n) => n < 0) || matter.atoms.every((n) => n === 0)) return null
    const same = this.list.flatMap((m, i) => (m.charge === matter.charge && m.atoms.every((n, e) => n === matter.atoms[e]) ? [i] : []))
    if (same.length > 0 && (this.list.length >= this.most || this.draw.chance(0.7))) return same[this.draw.below(same.length)]!
    return this.list.length >= this.most ? null : this.list.push(matter) - 1
  }
  any(): number {
    return this.draw.below(this.list.length)
  }
}

type Side = ReadonlyMap<number, number>
const count = (places: readonly number[]): Side => {
  const side = new Map<number, number>()
  for (const i of places) side.set(i, (side.get(i) ?? 0) + 1)
  return side
}

/** Reactants at random, products from what they are made of; null when nothing came of it. */
function reaction(cast: Cast, draw: Draw): { readonly from: Side; readonly to: Side } | null {
  const used = Array.from({ length: 1 + draw.below(3) }, () => cast.any())
  const whole = used.reduce<Matter>((m, i) => sum(m, cast.list[i]!, 1), { atoms: ELEMENTS.map(() => 0), charge: 0 })
  const made: number[] = []
  let rest = whole
  for (let k = draw.below(3); k > 0; k--) {
    const i = cast.any()
    const left = sum(rest, cast.list[i]!, -1)
    if (left.atoms.some((n) => n < 0)) continue
    made.push(i)
    rest = left
  }
  if (rest.atoms.some((n) => n > 0)) {
    const last = cast.of(rest)
    if (last === null) return null
    made.push(last)
  } else if (rest.charge !== 0) return null
  return made.length === 0 ? null : { from: count(used), to: count(made) }
}

const name = (i: number): string => `S${i + 1}`
const terms = (side: Side): readonly Term[] => [...side].map(([i, coefficient]) => ({ species: name(i), coefficient }))

function constantOf(id: string, value: number, activationKJPerMol: number | null): RateConstant {
  return { name: id, value, unit: '1', activationKJPerMol, status: 'assumed', seen: 'assumed', sources: [] }
}

/** k c/(s + c) of the first reactant, times the others; vanishes with each. */
function saturating(from: Side): Expression {
  const [first, ...others] = [...from.keys()].map((i): Expression => ({ op: 'concentration', species: name(i) }))
  const share: Expression = { op: 'div', a: first!, b: { op: 'add', a: { op: 'constant', name: 's' }, b: first! } }
  const product = others.reduce<Expression>((a, b) => ({ op: 'mul', a, b }), share)
  return { op: 'mul', a: { op: 'constant', name: 'k' }, b: product }
}

/** The case of a seed: the same on every machine. */
export function randomCase(seed: number, wildness: Wildness = WILDNESS[seed % WILDNESS.length]!): FuzzCase {
  const draw = drawFrom(randomStream(seed, `network ${wildness}`))
  const isPlain = wildness === 'plain'
  const cast = new Cast(draw, 4 + draw.below(10))
  const [constantDecades, startDecades] = decadesOf[wildness]
  const steps: Step[] = []
  const wanted = 1 + draw.below(12)
  for (let tries = 0; tries < 200 && steps.length < wanted; tries++) {
    const found = reaction(cast, draw)
    if (found === null) continue
    const id = `r${steps.length + 1}`
    const activation = isPlain || draw.chance(0.5) ? null : 20 + 80 * draw.random.uniform()
    const k = (): number => draw.decades(constantDecades)
    const reversible = draw.chance(0.4)
    const isExpression = !isPlain && !reversible && draw.chance(0.2)
    const expression = saturating(found.from)
    steps.push({
      id,
      equation: id,
      reactants: terms(found.from),
      products: terms(found.to),
      reversible,
      law: isExpression ? { kind: 'expression', text: id, expression } : { kind: 'mass-action' },
      constants: isExpression
        ? [constantOf('k', k(), activation), constantOf('s', draw.decades(startDecades), null)]
        : reversible
          ? [constantOf('kf', k(), activation), constantOf('kr', k(), activation)]
          : [constantOf('k', k(), activation)],
    })
  }
  const species = cast.list.map(
    (m, i): MechanismSpecies => ({
      id: name(i),
      name: name(i),
      composition: Object.fromEntries(ELEMENTS.map((e, k) => [e, m.atoms[k]!] as const).filter(([, n]) => n > 0)),
      charge: m.charge,
      role: !isPlain && i > 0 && draw.chance(0.1) ? 'held' : 'dynamic',
    }),
  )
  const start = Object.fromEntries(species.map((s) => [s.id, draw.chance(0.3) ? 0 : draw.decades(startDecades)]))
  const isFree = !isPlain && draw.chance(0.25)
  const temperatureK = isPlain ? 298.15 : 270 + 80 * draw.random.uniform()
  const largest = Math.max(1e-6, ...Object.values(start))
  const relative = 10 ** -(3 + 5 * draw.random.uniform())
  return {
    seed,
    wildness,
    mechanism: {
      ...EMPTY,
      name: `random/${seed}`,
      title: '',
      overall: '',
      referenceK: 298.15,
      grade: 'placeholder',
      validK: [200, 500],
      species,
      steps,
    },
    heat: isFree
      ? { kind: 'free', roomK: 295, heatCapacityJPerLK: 4000 * Math.max(1, largest), lossPerS: draw.decades(2) }
      : { kind: 'held', temperatureK },
    processes:
      !isPlain && draw.chance(0.25)
        ? [
            draw.chance(0.5)
              ? { kind: 'gas-leaves', species: name(0), saturationMolPerL: draw.decades(startDecades), ratePerS: draw.decades(3) }
              : { kind: 'solid-forms', species: name(0), solubilityMolPerL: draw.decades(startDecades), ratePerS: draw.decades(3) },
          ]
        : [],
    enthalpies: isFree ? Object.fromEntries(steps.map((s) => [s.id, draw.random.normal(-30, 30)])) : {},
    start,
    toS: isPlain ? draw.decades(3) : draw.decades(6),
    relative,
    absolute: largest * relative * 10 ** -(2 + 6 * draw.random.uniform()),
    method: METHODS[draw.below(METHODS.length)]!,
  }
}

/** Each takes a third of the networks. */
const METHODS: readonly IntegratorName[] = ['rodas4', 'rodas5p', 'radau']
/** Wildness of successive seeds. */
const WILDNESS: readonly Wildness[] = ['extreme', 'wide', 'extreme', 'absurd', 'plain']

export interface FuzzVerdict {
  readonly ending: Ending
  readonly steps: number
  readonly rejected: number
  readonly size: number
  readonly rates: number
  /**
   * Largest drift of a conserved total, relative to the largest gross amount Σ |w y| of any total during the run: the amounts whose
   * rounding it is.
   */
  readonly drift: number
  /** The same relative to the total's own largest gross amount: more, where a trace (ions among much neutral matter) makes up a total alone. */
  readonly ownDrift: number
  /** How far below zero any state came, in absolute tolerances. */
  readonly below: number
  /** What must not be; empty when all is well. */
  readonly faults: readonly string[]
}

const MOST_STEPS = 20_000
const LOOKS = 40
/** The floor of the integrator is 0.01 absolute tolerances; interpolation and the correction of totals may add rounding. */
const LOWEST = 0.0101
const LARGEST_DRIFT = 1e-12

/** Runs a case and looks at everything that is promised of any run. `shouldStop` guards against hanging: `cancelled` counts as a fault. */
export function runCase(fuzz: FuzzCase, shouldStop: () => boolean = () => false): FuzzVerdict {
  const network = compileNetwork(fuzz.mechanism, fuzz.heat, fuzz.processes, fuzz.enthalpies)
  for (const id of network.heldNames) network.hold(id, fuzz.start[id] ?? 0)
  const roomK = fuzz.heat.kind === 'free' ? fuzz.heat.roomK : 0
  const y0 = Float64Array.from(network.stateNames, (id) => (id === TEMPERATURE_STATE ? roomK : (fuzz.start[id] ?? 0)))
  const run = createIntegrator(network, fuzz.method).run({
    fromS: 0,
    toS: fuzz.toS,
    y0,
    tolerances: { relative: fuzz.relative, absolute: fuzz.absolute },
    invariants: network.conserved,
    mostSteps: MOST_STEPS,
    shouldStop,
  })
  const faults: string[] = []
  const { ending } = run
  if (!['reached-end', 'event', 'stopped-short'].includes(ending.how)) faults.push(`no named ending: ${JSON.stringify(ending)}`)
  if (ending.how === 'event') faults.push('ended by an event that was not asked for')
  if (ending.how === 'stopped-short' && ending.why === 'cancelled') faults.push('took too long')
  if (ending.how === 'stopped-short' && ending.advice === '') faults.push('stopped without advice')
  if (!(run.toS >= 0 && run.toS <= fuzz.toS)) faults.push(`ended at ${run.toS} s`)
  let below = 0
  const gross = network.conserved.map(() => 0)
  const state = new Float64Array(network.size)
  // The steps as well as even times: what happens at first is over before the second of these.
  const looks = [...Array.from({ length: LOOKS }, (_, look) => (run.toS * look) / LOOKS), ...run.stepTimesS, run.toS]
  for (const [look, timeS] of looks.entries()) {
    run.at(timeS, state)
    if (look === looks.length - 1) state.set(run.end)
    network.conserved.forEach(({ weights }, t) => {
      gross[t] = Math.max(gross[t]!, grossTotal(weights, state))
    })
    state.forEach((v, i) => {
      if (!Number.isFinite(v)) faults.push(`${network.stateNames[i]} is ${v} at ${timeS} s`)
      below = Math.max(below, -v / fuzz.absolute)
    })
  }
  if (below > LOWEST) faults.push(`a state is ${below.toPrecision(3)} tolerances below zero`)
  let drift = 0
  let ownDrift = 0
  const atStart = network.conserved.map(({ weights }) => grossTotal(weights, y0) || grossTotal(weights, run.end))
  const vessel = Math.max(0, ...gross, ...atStart)
  network.conserved.forEach((_, t) => {
    const amount = run.drift[t]!.maxRelative * atStart[t]!
    const own = Math.max(atStart[t]!, gross[t]!)
    if (own > 0) ownDrift = Math.max(ownDrift, amount / own)
    if (vessel > 0) drift = Math.max(drift, amount / vessel)
  })
  if (!(drift <= LARGEST_DRIFT)) faults.push(`a conserved total drifts by ${drift.toExponential(2)}`)
  return {
    ending,
    steps: run.statistics.steps,
    rejected: run.statistics.rejected,
    size: network.size,
    rates: network.rateNames.length,
    drift,
    ownDrift,
    below,
    faults: [...new Set(faults)].slice(0, 5),
  }
}

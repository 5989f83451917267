/** From a checked mechanism to a network that an integrator can run without allocating. */
import { invariant } from '@beakertide/basis/problems'
import { entryOf, patternOf, type SparsePattern } from '@beakertide/basis/numerics'
import { GAS_CONSTANT } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import { conservedTotals } from './conserved.ts'
import type { Expression, Mechanism, MechanismSpecies, RateConstant, Step, Term } from './mechanism.ts'
import type { HeatModel, Network, VesselProcess } from './network.ts'
import type { NetworkTables } from './network-tables.ts'
import { Auxiliaries } from './auxiliaries.ts'
import { OutputTables, SparseSums } from './build-tables.ts'
import { type HeatTerm, runNetwork } from './run-network.ts'
import { add, div, mul, numberNode, placeInSlots, type SlotNode, slotNode, sub } from './slot-expression.ts'

/** Solid below this (mol/L) dissolves ever more slowly, so that it ends at zero instead of below. */
const LAST_SOLID_MOL_PER_L = 1e-6
/** The state that holds the temperature, K. */
export const TEMPERATURE_STATE = 'temperature'

/** One one-way rate before it becomes tables. */
interface Rate {
  readonly name: string
  /** Index of its step; -1 for a vessel process. */
  readonly step: number
  readonly law: SlotNode
  /** State -> stoichiometric number (negative for use). */
  readonly numbers: ReadonlyMap<number, number>
  /** kJ a mole of turnover; null when not known. */
  readonly enthalpyKJPerMol: number | null
}

/** Places in the working vector while it grows. */
class Slots {
  readonly values: number[] = []
  private readonly named = new Map<string, number>()
  put(name: string, value: number): number {
    const slot = this.values.length
    this.values.push(value)
    this.named.set(name, slot)
    return slot
  }
  of(name: string): number {
    const slot = this.named.get(name)
    invariant(slot !== undefined, `no slot for ${name}`)
    return slot
  }
  has(name: string): boolean {
    return this.named.has(name)
  }
  readonly ofNumber = (value: number): number => {
    const name = `number ${value}`
    return this.has(name) ? this.of(name) : this.put(name, value)
  }
}

const stateSlot = (name: string): string => `state ${name}`
const constantSlot = (name: string): string => `constant ${name}`
const heldSlot = (species: SpeciesId): string => `held ${species}`

interface Constant {
  readonly name: string
  readonly value: number
  readonly eaOverRK: number
  readonly referenceK: number
  readonly setBy: RateConstant['setBy'] | undefined
}

/** Net change of each state when the step runs once forward. */
function numbersOf(step: Step, slots: Slots): Map<number, number> {
  const numbers = new Map<number, number>()
  const count = (terms: readonly Term[], sign: 1 | -1): void => {
    for (const { species, coefficient } of terms) {
      if (!slots.has(stateSlot(species))) continue
      const state = slots.of(stateSlot(species))
      numbers.set(state, (numbers.get(state) ?? 0) + sign * coefficient)
    }
  }
  count(step.reactants, -1)
  count(step.products, 1)
  for (const [state, n] of numbers) if (Math.abs(n) < 1e-12) numbers.delete(state)
  return numbers
}

const reversed = (numbers: ReadonlyMap<number, number>): Map<number, number> => new Map([...numbers].map(([state, n]) => [state, -n]))

/** k * product of concentrations to their coefficients; the solvent is left out. */
function massAction(constant: number, terms: readonly Term[], slotOfSpecies: (id: SpeciesId) => number | null): SlotNode {
  let law = slotNode(constant)
  for (const { species, coefficient } of terms) {
    const slot = slotOfSpecies(species)
    if (slot === null) continue
    law = mul(law, coefficient === 1 ? slotNode(slot) : { op: 'pow', a: slotNode(slot), b: numberNode(coefficient) })
  }
  return law
}

/** Rates of all steps, reversible ones as two. */
function stepRates(mechanism: Mechanism, slots: Slots, enthalpies: Readonly<Record<string, number>>): readonly Rate[] {
  const roles = new Map(mechanism.species.map((s) => [s.id, s.role]))
  const slotOfSpecies = (id: SpeciesId): number | null => {
    if (roles.get(id) === 'solvent') return null
    return slots.of(roles.get(id) === 'held' ? heldSlot(id) : stateSlot(id))
  }
  return mechanism.steps.flatMap((step, index): readonly Rate[] => {
    const numbers = numbersOf(step, slots)
    const own = step.enthalpyKJPerMol ?? (Object.hasOwn(enthalpies, step.id) ? enthalpies[step.id] : undefined) ?? null
    const forward = { step: index, numbers, enthalpyKJPerMol: own }
    const { law } = step
    if (law.kind === 'expression') {
      const slotOf = (leaf: Expression): number => {
        if (leaf.op === 'temperature') return slots.of(TEMPERATURE_STATE)
        invariant(leaf.op === 'concentration' || leaf.op === 'constant', 'only leaves have slots')
        if (leaf.op === 'constant') return slots.of(constantSlot(`${step.id}.${leaf.name}`))
        const slot = slotOfSpecies(leaf.species)
        invariant(slot !== null, `the rate of ${step.id} reads the solvent`)
        return slot
      }
      return [{ ...forward, name: step.id, law: placeInSlots(law.expression, slotOf) }]
    }
    const action = (name: string, terms: readonly Term[]): SlotNode =>
      massAction(slots.of(constantSlot(`${step.id}.${name}`)), terms, slotOfSpecies)
    if (!step.reversible) return [{ ...forward, name: step.id, law: action('k', step.reactants) }]
    return [
      { ...forward, name: `${step.id} forward`, law: action('kf', step.reactants) },
      {
        step: index,
        name: `${step.id} back`,
        law: action('kr', step.products),
        numbers: reversed(numbers),
        enthalpyKJPerMol: own === null ? null : -own,
      },
    ]
  })
}

/** Counter of a vessel process: "O2(g)", "I2(s)". */
const counterOf = (process: VesselProcess): string => `${process.species}${process.kind === 'gas-leaves' ? '(g)' : '(s)'}`

function processRate(process: VesselProcess, slots: Slots, enthalpies: Readonly<Record<string, number>>): Rate {
  const counter = counterOf(process)
  const state = slots.of(stateSlot(process.species))
  const counted = slots.of(stateSlot(counter))
  const excess = sub(slotNode(state), slotNode(slots.of(`limit ${counter}`)))
  const speed = slotNode(slots.of(`speed ${counter}`))
  const solid: SlotNode = { op: 'max', a: slotNode(counted), b: numberNode(0) }
  const law: SlotNode =
    process.kind === 'gas-leaves'
      ? mul(speed, { op: 'max', a: excess, b: numberNode(0) })
      : {
          op: 'if-at-most',
          a: excess,
          b: numberNode(0),
          ifSo: mul(mul(speed, excess), div(solid, add(solid, numberNode(LAST_SOLID_MOL_PER_L)))),
          ifNot: mul(speed, excess),
        }
  return {
    name: process.kind === 'gas-leaves' ? `${process.species} leaves as gas` : `${process.species} forms solid`,
    step: -1,
    law,
    numbers: new Map([
      [state, -1],
      [counted, 1],
    ]),
    enthalpyKJPerMol: enthalpies[counter] ?? 0,
  }
}

/**
 * Compiles a mechanism.
 *
 * @param heat temperature held, or free with a heat capacity (J a K and litre) and a loss to the room (1/s)
 * @param processes gas leaving and solid forming; those of species that the mechanism does not carry are left out
 * @param enthalpies kJ/mol a step id, from `stepEnthalpies`; a step's own `enthalpy` goes first; "O2(g)", "I2(s)" for processes
 */
export function compileNetwork(
  mechanism: Mechanism,
  heat: HeatModel,
  processes: readonly VesselProcess[] = [],
  enthalpies: Readonly<Record<string, number>> = {},
): Network {
  const isFree = heat.kind === 'free'
  const dynamic = mechanism.species.filter((s) => s.role === 'dynamic')
  const held = mechanism.species.filter((s) => s.role === 'held')
  const taken = processes.map((p) => (dynamic.some((s) => s.id === p.species) ? p : null))
  const slots = new Slots()
  const stateSpecies: (MechanismSpecies | null)[] = [...dynamic]
  for (const s of dynamic) slots.put(stateSlot(s.id), 0)
  for (const p of taken) {
    if (!p) continue
    invariant(!slots.has(stateSlot(counterOf(p))), `the vessel process ${counterOf(p)} stands twice`)
    slots.put(stateSlot(counterOf(p)), 0)
    stateSpecies.push(dynamic.find((s) => s.id === p.species)!)
  }
  const stateNames = [
    ...dynamic.map((s) => s.id),
    ...taken.flatMap((p) => (p ? [counterOf(p)] : [])),
    ...(isFree ? [TEMPERATURE_STATE] : []),
  ]
  slots.put(TEMPERATURE_STATE, heat.kind === 'held' ? heat.temperatureK : heat.roomK)
  if (isFree) stateSpecies.push(null)
  const size = stateNames.length
  for (const s of held) slots.put(heldSlot(s.id), Number.NaN)

  const constants: readonly Constant[] = mechanism.steps.flatMap((step) =>
    step.constants.map((c) => ({
      name: `${step.id}.${c.name}`,
      value: c.value,
      eaOverRK: ((c.activationKJPerMol ?? 0) * 1000) / GAS_CONSTANT,
      referenceK: c.referenceK ?? mechanism.referenceK,
      setBy: c.setBy,
    })),
  )
  for (const c of constants) slots.put(constantSlot(c.name), c.value)
  const slopeSlots = constants.map((c) => (isFree && c.eaOverRK !== 0 ? slots.put(`slope ${c.name}`, 0) : -1))
  for (const p of taken) {
    if (!p) continue
    slots.put(`limit ${counterOf(p)}`, p.kind === 'gas-leaves' ? p.saturationMolPerL : p.solubilityMolPerL)
    slots.put(`speed ${counterOf(p)}`, p.ratePerS)
  }
  const roomSlot = slots.put('room', isFree ? heat.roomK : Number.NaN)
  const lossSlot = slots.put('loss', isFree ? heat.lossPerS : 0)

  const temperature = slots.of(TEMPERATURE_STATE)
  const rates: Rate[] = [
    ...stepRates(mechanism, slots, enthalpies),
    ...taken.flatMap((p) => (p ? [processRate(p, slots, enthalpies)] : [])),
  ]
  const reactionRates = rates.length
  if (isFree) {
    const law = mul(slotNode(lossSlot), sub(slotNode(temperature), slotNode(roomSlot)))
    rates.push({ name: 'loss to the room', step: -1, law, numbers: new Map([[temperature, -1]]), enthalpyKJPerMol: 0 })
  }

  // outputs: rates, then one partial for each state that a rate depends on
  const auxiliaries = new Auxiliaries(() => slots.put(`auxiliary ${slots.values.length}`, 0))
  const outputs = new OutputTables(auxiliaries)
  const laws = rates.map((rate) => auxiliaries.flat(rate.law))
  for (const law of laws) outputs.pushAlways(law)
  const rateAuxiliaryCount = auxiliaries.list.length
  const slopeOfConstant = new Map(constants.map((c, i) => [slots.of(constantSlot(c.name)), slopeSlots[i]!]))
  const byTemperature = (slot: number): SlotNode | undefined => {
    const slope = slopeOfConstant.get(slot) ?? -1
    return slope < 0 ? undefined : mul(slotNode(slot), slotNode(slope))
  }
  const partials: { readonly rate: number; readonly state: number; readonly output: number }[] = []
  laws.forEach((law, rate) => {
    for (let state = 0; state < size; state++) {
      const chain = isFree && state === temperature ? byTemperature : () => undefined
      const output = outputs.push(auxiliaries.slope(law, state, chain))
      if (output >= 0) partials.push({ rate, state, output })
    }
  })

  // dy/dt and the Jacobian as sums of outputs
  const heatPerTurnover = (kJ: number | null): number => (heat.kind === 'free' && kJ ? (-kJ * 1000) / heat.heatCapacityJPerLK : 0)
  const changes = rates.map((rate) => {
    const numbers = new Map(rate.numbers)
    const warmth = heatPerTurnover(rate.enthalpyKJPerMol)
    if (warmth !== 0) numbers.set(temperature, (numbers.get(temperature) ?? 0) + warmth)
    return numbers
  })
  const rows = new SparseSums(size)
  changes.forEach((numbers, r) => numbers.forEach((n, state) => rows.add(state, r, n)))
  const pattern = patternOf(
    size,
    partials.flatMap((p) => [...changes[p.rate]!.keys()].map((row) => [row, p.state] as const)),
  )
  const entries = new SparseSums(pattern.columns.length)
  for (const p of partials) changes[p.rate]!.forEach((n, row) => entries.add(entryOf(pattern, row, p.state), p.output, n))
  const rowSums = rows.build((r) => (rates[r]!.step >= 0 && rates[r + 1]?.step === rates[r]!.step ? r + 1 : -1))
  const entrySums = entries.build()

  const groups: { readonly eaOverRK: number; readonly referenceK: number }[] = []
  const constantGroup = constants.map((c) => {
    if (c.eaOverRK === 0) return -1
    const before = groups.findIndex((g) => g.eaOverRK === c.eaOverRK && g.referenceK === c.referenceK)
    return before >= 0 ? before : groups.push({ eaOverRK: c.eaOverRK, referenceK: c.referenceK }) - 1
  })
  const outputTables = outputs.build(rateAuxiliaryCount, slots.ofNumber)
  const tables: NetworkTables = {
    stateCount: size,
    slots: Float64Array.from(slots.values),
    temperatureSlot: temperature,
    temperatureIsFree: isFree,
    rateCount: rates.length,
    ...outputTables,
    rowStart: rowSums.start,
    rowRate: rowSums.output,
    rowCoefficient: rowSums.coefficient,
    rowOpposed: rowSums.opposed,
    pattern,
    entryStart: entrySums.start,
    entryOutput: entrySums.output,
    entryCoefficient: entrySums.coefficient,
    constantSlot: Int32Array.from(constants, (c) => slots.of(constantSlot(c.name))),
    constantValue: Float64Array.from(constants, (c) => c.value),
    constantScale: new Float64Array(constants.length).fill(1),
    constantGroup: Int32Array.from(constantGroup),
    constantSlopeSlot: Int32Array.from(slopeSlots),
    groupEaOverRK: Float64Array.from(groups, (g) => g.eaOverRK),
    groupReferenceK: Float64Array.from(groups, (g) => g.referenceK),
  }

  const stoichiometry = (state: number, rate: number): number => {
    const n = rates[rate]?.numbers.get(state)
    return n === undefined || rate >= reactionRates ? 0 : n
  }
  const heatless = isFree
    ? mechanism.steps.filter((step, i) => !step.lumped && rates.some((r) => r.step === i && r.enthalpyKJPerMol === null)).map((s) => s.id)
    : []
  return runNetwork({
    tables,
    stateNames,
    stepNames: mechanism.steps.map((s) => s.id),
    rateNames: rates.slice(0, reactionRates).map((r) => r.name),
    stepOfRate: rates.slice(0, reactionRates).map((r) => r.step),
    heldSlots: new Map(held.map((s) => [s.id, slots.of(heldSlot(s.id))])),
    constantNames: constants.map((c) => c.name),
    constantsSetBy: constants.flatMap((c) => (c.setBy ? [{ name: c.name, setBy: c.setBy }] : [])),
    processSlots: taken.map((p) => (p ? { limit: slots.of(`limit ${counterOf(p)}`), speed: slots.of(`speed ${counterOf(p)}`) } : null)),
    heat,
    roomSlot,
    lossSlot,
    heatTerms: isFree ? heatTermsOf(rates, partials, pattern, temperature, tables) : [],
    heatlessSteps: heatless,
    stoichiometry,
    conserved: conservedTotals(mechanism, stateSpecies, reactionRates, stoichiometry),
  })
}

/** Where reaction heats stand in the temperature row, so that another heat capacity can be put in without compiling again. */
function heatTermsOf(
  rates: readonly Rate[],
  partials: readonly { readonly rate: number; readonly state: number; readonly output: number }[],
  pattern: SparsePattern,
  temperature: number,
  tables: NetworkTables,
): readonly HeatTerm[] {
  const terms: HeatTerm[] = []
  for (let i = tables.rowStart[temperature]!; i < tables.rowStart[temperature + 1]!; i++) {
    const kJPerMol = rates[tables.rowRate[i]!]!.enthalpyKJPerMol
    if (kJPerMol) terms.push({ where: 'row', index: i, kJPerMol })
  }
  for (const p of partials) {
    const kJPerMol = rates[p.rate]!.enthalpyKJPerMol
    if (!kJPerMol) continue
    const entry = entryOf(pattern, temperature, p.state)
    for (let i = tables.entryStart[entry]!; i < tables.entryStart[entry + 1]!; i++) {
      if (tables.entryOutput[i] === p.output) terms.push({ where: 'entry', index: i, kJPerMol })
    }
  }
  return terms
}

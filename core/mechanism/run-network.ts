/** The running side of a compiled network: fills slots, outputs, dy/dt and Jacobian from the tables; allocates nothing. */
import { exponential } from '@beakertide/basis/numerics'
import { invariant } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import type { HeatModel, Network } from './network.ts'
import type { NetworkTables } from './network-tables.ts'
import { emitNetwork } from './emit-network.ts'
import { runProgram } from './slot-expression.ts'

/** A coefficient that carries reaction heat into the temperature row; rescaled when the heat capacity changes. */
export interface HeatTerm {
  readonly where: 'row' | 'entry'
  readonly index: number
  readonly kJPerMol: number
}

/** What compiling found besides the tables. */
export interface CompiledParts {
  readonly tables: NetworkTables
  readonly stateNames: readonly string[]
  readonly stepNames: readonly string[]
  readonly rateNames: readonly string[]
  readonly stepOfRate: readonly number[]
  readonly heldSlots: ReadonlyMap<SpeciesId, number>
  readonly constantNames: readonly string[]
  readonly constantsSetBy: Network['constantsSetBy']
  readonly processSlots: readonly ({ readonly limit: number; readonly speed: number } | null)[]
  readonly heat: HeatModel
  readonly roomSlot: number
  readonly lossSlot: number
  readonly heatTerms: readonly HeatTerm[]
  readonly heatlessSteps: readonly string[]
  readonly stoichiometry: (stateIndex: number, rateIndex: number) => number
  readonly conserved: Network['conserved']
}

/** Puts the sums of products of outputs [from, to) into `outputs`. */
function fillProducts(t: NetworkTables, from: number, to: number, slots: Float64Array, outputs: Float64Array): void {
  const { monomialStart, monomialCoefficient, factorStart, factors } = t
  let m = monomialStart[from]!
  let f = factorStart[m]!
  for (let o = from; o < to; o++) {
    const lastMonomial = monomialStart[o + 1]!
    let sum = 0
    for (; m < lastMonomial; m++) {
      const lastFactor = factorStart[m + 1]!
      let product = monomialCoefficient[m]!
      for (; f < lastFactor; f++) product *= slots[factors[f]!]!
      sum += product
    }
    outputs[o] = sum
  }
}

function fillAuxiliaries(t: NetworkTables, count: number, slots: Float64Array, stack: Float64Array): void {
  for (let p = 0; p < count; p++) {
    runProgram(t.code, t.programStart[p]!, t.programStart[p + 1]!, slots, stack)
    slots[t.auxiliarySlot[p]!] = stack[0]!
  }
}

/** dy/dt: row i is the sum of its terms, opposed ones added to each other first; see NetworkTables.rowOpposed. */
export function fillRows(t: NetworkTables, coefficient: Float64Array, outputs: Float64Array, target: Float64Array): void {
  const { rowStart, rowRate, rowOpposed, stateCount } = t
  let k = 0
  for (let i = 0; i < stateCount; i++) {
    const last = rowStart[i + 1]!
    let sum = 0
    while (k < last) {
      const term = coefficient[k]! * outputs[rowRate[k]!]!
      if (rowOpposed[k] === 1) {
        k++
        sum += term + coefficient[k]! * outputs[rowRate[k]!]!
      } else sum += term
      k++
    }
    target[i] = sum
  }
}

/** target[i] = sum of coefficient * outputs[which] over start[i] … start[i+1]. */
function fillSums(
  start: Int32Array,
  which: Int32Array,
  coefficient: Float64Array,
  outputs: Float64Array,
  target: Float64Array,
  count: number,
): void {
  let k = 0
  for (let i = 0; i < count; i++) {
    const last = start[i + 1]!
    let sum = 0
    for (; k < last; k++) sum += coefficient[k]! * outputs[which[k]!]!
    target[i] = sum
  }
}

/** Makes the network that owns one working vector; not to be shared between runs that interleave. */
export function runNetwork(parts: CompiledParts): Network {
  const t = parts.tables
  const slots = Float64Array.from(t.slots)
  const outputs = new Float64Array(t.outputCount)
  const stack = new Float64Array(t.stackDepth)
  const groupFactor = new Float64Array(t.groupEaOverRK.length)
  const values = Float64Array.from(t.constantValue)
  const scales = Float64Array.from(t.constantScale)
  const auxiliaryCount = t.auxiliarySlot.length
  const size = t.stateCount
  const temperature = t.temperatureSlot
  const rowCoefficient = Float64Array.from(t.rowCoefficient)
  const entryCoefficient = Float64Array.from(t.entryCoefficient)
  /** Temperature the constants stand at; in an array, because a captured number would be boxed at every change. */
  const settledK = Float64Array.of(Number.NaN)

  /** Constants at the temperature of its slot. */
  function settleConstants(): void {
    const kelvin = slots[temperature]!
    settledK[0] = kelvin
    for (let g = 0; g < groupFactor.length; g++) {
      groupFactor[g] = exponential(-t.groupEaOverRK[g]! * (1 / kelvin - 1 / t.groupReferenceK[g]!))
    }
    for (let c = 0; c < values.length; c++) {
      const group = t.constantGroup[c]!
      slots[t.constantSlot[c]!] = values[c]! * scales[c]! * (group < 0 ? 1 : groupFactor[group]!)
      const slope = t.constantSlopeSlot[c]!
      if (slope >= 0) slots[slope] = t.groupEaOverRK[group]! / (kelvin * kelvin)
    }
  }
  function take(y: Float64Array): void {
    for (let i = 0; i < size; i++) slots[i] = y[i]!
    if (t.temperatureIsFree && slots[temperature] !== settledK[0]) settleConstants()
  }
  function settle(y: Float64Array): void {
    take(y)
    fillAuxiliaries(t, t.rateAuxiliaryCount, slots, stack)
  }
  function fillRates(y: Float64Array): void {
    settle(y)
    fillProducts(t, 0, t.rateCount, slots, outputs)
  }
  const constantAt = (name: string): number => {
    const at = parts.constantNames.indexOf(name)
    invariant(at >= 0, `there is no constant "${name}" in this network`)
    return at
  }
  /** Counts changes of any number below, for code that keeps a copy. */
  const changes = Int32Array.of(0)
  const changed = (): void => {
    changes[0] = (changes[0]! + 1) | 0
  }
  function rates(_timeS: number, y: Float64Array, out: Float64Array): void {
    fillRates(y)
    fillRows(t, rowCoefficient, outputs, out)
  }
  function jacobian(_timeS: number, y: Float64Array, out: Float64Array): void {
    take(y)
    fillAuxiliaries(t, auxiliaryCount, slots, stack)
    fillProducts(t, t.rateCount, t.outputCount, slots, outputs)
    fillSums(t.entryStart, t.entryOutput, entryCoefficient, outputs, out, t.pattern.columns.length)
  }
  settleConstants()
  const heatPlaces = (where: HeatTerm['where']): readonly number[] => parts.heatTerms.filter((h) => h.where === where).map((h) => h.index)
  const numbers = { slots, values, scales, rowCoefficient, entryCoefficient, heatRows: heatPlaces('row'), heatEntries: heatPlaces('entry') }

  return {
    size,
    emittable: emitNetwork(t, numbers, changes, rates, jacobian),
    pattern: t.pattern,
    tables: t,
    live: { slots, settle, values, scales, rowCoefficient, entryCoefficient, heldSlots: parts.heldSlots, roomSlot: parts.roomSlot },
    stateNames: parts.stateNames,
    stepNames: parts.stepNames,
    rateNames: parts.rateNames,
    stepOfRate: parts.stepOfRate,
    heldNames: [...parts.heldSlots.keys()],
    constantNames: parts.constantNames,
    constantsSetBy: parts.constantsSetBy,
    heatlessSteps: parts.heatlessSteps,
    conserved: parts.conserved,
    stoichiometry: parts.stoichiometry,
    rates,
    jacobian,
    stepRates(_timeS, y, out) {
      fillRates(y)
      for (let r = 0; r < parts.rateNames.length; r++) out[r] = outputs[r]!
    },
    indexOf(name) {
      return parts.stateNames.indexOf(name)
    },
    hold(species, molPerL) {
      const slot = parts.heldSlots.get(species)
      invariant(slot !== undefined, `"${species}" is not a held species of this network`)
      slots[slot] = molPerL
      changed()
    },
    scaleConstant(name, factor) {
      scales[constantAt(name)] = factor
      settleConstants()
      changed()
    },
    setConstant(name, value) {
      values[constantAt(name)] = value
      settleConstants()
      changed()
    },
    setHeat(heat) {
      invariant(heat.kind === parts.heat.kind, 'another kind of heat model needs compiling again')
      changed()
      if (heat.kind === 'held') {
        slots[temperature] = heat.temperatureK
        settleConstants()
        return
      }
      slots[parts.roomSlot] = heat.roomK
      slots[parts.lossSlot] = heat.lossPerS
      for (const term of parts.heatTerms) {
        const target = term.where === 'row' ? rowCoefficient : entryCoefficient
        target[term.index] = (-term.kJPerMol * 1000) / heat.heatCapacityJPerLK
      }
    },
    setProcess(index, limitMolPerL, ratePerS) {
      invariant(index >= 0 && index < parts.processSlots.length, `there is no vessel process ${index}`)
      const found = parts.processSlots[index]
      if (!found) return
      slots[found.limit] = limitMolPerL
      slots[found.speed] = ratePerS
      changed()
    },
  }
}

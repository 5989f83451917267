/**
 * Directional derivatives of a compiled network, exact: the tables run once more with every number carrying its change beside it
 * (forward differentiation). What may change: states, and any slot (a constant, a held species, the temperature).
 */
import { invariant } from '@beakertide/basis/problems'
import type { Network } from './network.ts'
import { FLAT_BELOW, operations } from './slot-expression.ts'

/** A change of a slot with the parameter: `amount` itself, or `amount` times the value of the slot (a change of its logarithm). */
export interface SlotChange {
  readonly slot: number
  readonly amount: number
  readonly relative: boolean
}

export interface NetworkTangent {
  /** Fills `out` with d/dε of the rates at y + ε s and slots changed by ε. */
  rates(timeS: number, y: Float64Array, s: Float64Array, changes: readonly SlotChange[], out: Float64Array): void
  /** The same of the Jacobian, in the order of the pattern. */
  jacobian(timeS: number, y: Float64Array, s: Float64Array, changes: readonly SlotChange[], values: Float64Array): void
}

/** Derivatives of this network as it is set when they are asked for; buffers are reused, nothing is allocated at a call. */
export function networkTangent(network: Network): NetworkTangent {
  const t = network.tables
  const { slots, rowCoefficient, entryCoefficient } = network.live
  const size = t.stateCount
  /** Changes of the slots and of the outputs. */
  const dots = new Float64Array(slots.length)
  const outputDots = new Float64Array(t.outputCount)
  const plain = new Float64Array(size)
  const plainJacobian = new Float64Array(t.pattern.columns.length)
  const stack = new Float64Array(t.stackDepth)
  const stackDots = new Float64Array(t.stackDepth)

  function seed(s: Float64Array, changes: readonly SlotChange[]): void {
    dots.fill(0)
    for (let i = 0; i < size; i++) dots[i] = s[i]!
    for (const { slot, amount, relative } of changes) dots[slot] = dots[slot]! + (relative ? amount * slots[slot]! : amount)
    const warmer = dots[t.temperatureSlot]!
    if (warmer === 0) return
    // k(T): d ln k/dT = Ea/(R T²); where that slope has a slot of its own it changes too
    const kelvin = slots[t.temperatureSlot]!
    for (let c = 0; c < t.constantSlot.length; c++) {
      const group = t.constantGroup[c]!
      if (group < 0) continue
      const slope = t.groupEaOverRK[group]! / (kelvin * kelvin)
      const slot = t.constantSlot[c]!
      dots[slot] = dots[slot]! + slots[slot]! * slope * warmer
      const slopeSlot = t.constantSlopeSlot[c]!
      if (slopeSlot >= 0) dots[slopeSlot] = (-2 * slope * warmer) / kelvin
    }
  }

  function fillAuxiliaries(count: number): void {
    for (let p = 0; p < count; p++) {
      runTangent(t.code, t.programStart[p]!, t.programStart[p + 1]!, slots, dots, stack, stackDots)
      dots[t.auxiliarySlot[p]!] = stackDots[0]!
    }
  }

  function fillProducts(from: number, to: number): void {
    for (let o = from; o < to; o++) {
      let sum = 0
      for (let m = t.monomialStart[o]!; m < t.monomialStart[o + 1]!; m++) {
        let value = t.monomialCoefficient[m]!
        let dot = 0
        for (let f = t.factorStart[m]!; f < t.factorStart[m + 1]!; f++) {
          const slot = t.factors[f]!
          dot = dot * slots[slot]! + value * dots[slot]!
          value *= slots[slot]!
        }
        sum += dot
      }
      outputDots[o] = sum
    }
  }

  function fillSums(start: Int32Array, which: Int32Array, coefficient: Float64Array, target: Float64Array): void {
    for (let i = 0; i < target.length; i++) {
      let sum = 0
      for (let k = start[i]!; k < start[i + 1]!; k++) sum += coefficient[k]! * outputDots[which[k]!]!
      target[i] = sum
    }
  }

  return {
    rates(timeS, y, s, changes, out) {
      network.rates(timeS, y, plain)
      seed(s, changes)
      fillAuxiliaries(t.rateAuxiliaryCount)
      fillProducts(0, t.rateCount)
      fillSums(t.rowStart, t.rowRate, rowCoefficient, out)
    },
    jacobian(timeS, y, s, changes, values) {
      network.jacobian(timeS, y, plainJacobian)
      seed(s, changes)
      fillAuxiliaries(t.auxiliarySlot.length)
      fillProducts(t.rateCount, t.outputCount)
      fillSums(t.entryStart, t.entryOutput, entryCoefficient, values)
    },
  }
}

/**
 * The program code[from, to) with changes: leaves the value in stack[0] and its change in stackDots[0]. Where a law has a corner (min, max, a
 * choice) the side that is taken decides; roots and broken powers are flat at zero, as in slot-expression.
 */
export function runTangent(
  code: Int32Array,
  from: number,
  to: number,
  slots: Float64Array,
  dots: Float64Array,
  stack: Float64Array,
  stackDots: Float64Array,
): void {
  let top = -1
  for (let i = from; i < to; i += 2) {
    const operand = code[i + 1]!
    const operation = code[i]!
    if (operation === operations.load) {
      top++
      stack[top] = slots[operand]!
      stackDots[top] = dots[operand]!
      continue
    }
    if (operation === operations.ifAtMost) {
      top -= 3
      const taken = stack[top]! <= stack[top + 1]! ? top + 2 : top + 3
      stackDots[top] = stackDots[taken]!
      stack[top] = stack[taken]!
      continue
    }
    if (isBinary(operation)) {
      top--
      combine(operation, top, stack, stackDots)
      continue
    }
    apply(operation, operand, top, stack, stackDots)
  }
}

function isBinary(operation: number): boolean {
  switch (operation) {
    case operations.add:
    case operations.sub:
    case operations.mul:
    case operations.div:
    case operations.pow:
    case operations.min:
    case operations.max:
      return true
    default:
      return false
  }
}

/** stack[at] ← stack[at] op stack[at + 1], with changes. */
function combine(operation: number, at: number, stack: Float64Array, dots: Float64Array): void {
  const a = stack[at]!
  const b = stack[at + 1]!
  const da = dots[at]!
  const db = dots[at + 1]!
  switch (operation) {
    case operations.add:
      stack[at] = a + b
      dots[at] = da + db
      return
    case operations.sub:
      stack[at] = a - b
      dots[at] = da - db
      return
    case operations.mul:
      stack[at] = a * b
      dots[at] = da * b + a * db
      return
    case operations.div:
      stack[at] = a / b
      dots[at] = (da - (a / b) * db) / b
      return
    case operations.pow: {
      const base = Math.max(a, 0)
      const safe = Math.max(a, FLAT_BELOW)
      stack[at] = base ** b
      dots[at] = (da === 0 ? 0 : b * safe ** (b - 1) * da) + (db === 0 ? 0 : base ** b * Math.log(safe) * db)
      return
    }
    case operations.min:
    case operations.max: {
      const first = operation === operations.min ? a <= b : a > b
      stack[at] = first ? a : b
      dots[at] = first ? da : db
      return
    }
    default:
      invariant(false, 'a rate program holds an unknown operation')
  }
}

/** stack[at] ← op(stack[at]), with its change. */
function apply(operation: number, operand: number, at: number, stack: Float64Array, dots: Float64Array): void {
  const a = stack[at]!
  switch (operation) {
    case operations.neg:
      stack[at] = -a
      dots[at] = -dots[at]!
      return
    case operations.powWhole: {
      let lower = 1
      for (let power = 1; power < operand; power++) lower *= a
      stack[at] = lower * a
      dots[at] = operand * lower * dots[at]!
      return
    }
    case operations.sqrt: {
      const root = Math.sqrt(Math.max(a, 0))
      stack[at] = root
      dots[at] = (0.5 * dots[at]!) / Math.max(root, Math.sqrt(FLAT_BELOW))
      return
    }
    case operations.exp:
      stack[at] = Math.exp(a)
      dots[at] = Math.exp(a) * dots[at]!
      return
    case operations.ln:
      stack[at] = Math.log(a)
      dots[at] = dots[at]! / a
      return
    case operations.log10:
      stack[at] = Math.log10(a)
      dots[at] = (Math.LOG10E * dots[at]!) / a
      return
    default:
      invariant(false, 'a rate program holds an unknown operation')
  }
}

/**
 * A compiled mechanism as straight-line code: what run-network.ts does with the tables, operation for operation. Everything that a network may change between
 * runs (constants, held species, room temperature, heat capacity, limits of vessel processes) is data.
 */
import { invariant } from '@beakertide/basis/problems'
import {
  type EmitCalls,
  type EmitPlaces,
  type Emittable,
  emitExponential,
  emitExponentialRoom,
  emitProducts,
  emitSum,
  type OdeSystem,
  type Place,
  storeInPairs,
  type WasmBody,
} from '@beakertide/basis/numerics'
import type { NetworkTables } from './network-tables.ts'
import { operations } from './slot-expression.ts'

const DOUBLE = 8

/** The numbers of a running network that the code reads; all are the network's own arrays and change in place. */
export interface NetworkNumbers {
  readonly slots: Float64Array
  /** Published value and multiplier of each constant. */
  readonly values: Float64Array
  readonly scales: Float64Array
  readonly rowCoefficient: Float64Array
  readonly entryCoefficient: Float64Array
  /** Places in the two arrays above that another heat capacity changes. */
  readonly heatRows: readonly number[]
  readonly heatEntries: readonly number[]
}

/** Where everything stands in the data, in doubles: the slots that are not states first. */
interface DataPlan {
  readonly settledK: number
  readonly base: number
  readonly minusEaOverRK: number
  readonly perReferenceK: number
  readonly rowPlace: ReadonlyMap<number, number>
  readonly entryPlace: ReadonlyMap<number, number>
  readonly length: number
}

function planData(t: NetworkTables, numbers: NetworkNumbers): DataPlan {
  let next = t.slots.length - t.stateCount
  const take = (count: number): number => {
    next += count
    return next - count
  }
  // Groups go two at a time: an odd one has a place beside it.
  const groups = 2 * Math.ceil(t.groupEaOverRK.length / 2)
  return {
    settledK: take(1),
    base: take(t.constantSlot.length),
    minusEaOverRK: take(groups),
    perReferenceK: take(groups),
    rowPlace: new Map(numbers.heatRows.map((k) => [k, take(1)])),
    entryPlace: new Map(numbers.heatEntries.map((k) => [k, take(1)])),
    length: next,
  }
}

/** Code for `rates` and `jacobian`, which read and write the same numbers; `changes[0]` must count up at every change of them. */
export function emitNetwork(
  tables: NetworkTables,
  numbers: NetworkNumbers,
  changes: Int32Array,
  rates: OdeSystem['rates'],
  jacobian: OdeSystem['jacobian'],
): Emittable {
  const plan = planData(tables, numbers)
  let key: string | null = null
  return {
    get key() {
      key ??= keyOf(tables, numbers)
      return key
    },
    rates,
    jacobian,
    dataLength: plan.length,
    changes,
    operations:
      tables.factors.length + tables.monomialCoefficient.length + tables.rowRate.length + tables.entryOutput.length + tables.code.length,
    writeData(target) {
      target.set(numbers.slots.subarray(tables.stateCount))
      // Not a number: settled at no temperature yet.
      target[plan.settledK] = Number.NaN
      for (let c = 0; c < numbers.values.length; c++) target[plan.base + c] = numbers.values[c]! * numbers.scales[c]!
      for (let g = 0; g < tables.groupEaOverRK.length; g++) {
        target[plan.minusEaOverRK + g] = -tables.groupEaOverRK[g]!
        target[plan.perReferenceK + g] = 1 / tables.groupReferenceK[g]!
      }
      for (const [k, place] of plan.rowPlace) target[place] = numbers.rowCoefficient[k]!
      for (const [k, place] of plan.entryPlace) target[place] = -numbers.entryCoefficient[k]!
    },
    emitRates: (body, places, calls) => new NetworkWriter(tables, plan, body, places, calls).rates(),
    emitMinusJacobian: (body, places, calls) => new NetworkWriter(tables, plan, body, places, calls).minusJacobian(),
  }
}

/** Everything that shapes the code. Coefficients that are data stand in it only by their place. */
function keyOf(t: NetworkTables, numbers: NetworkNumbers): string {
  const without = (coefficients: Float64Array, data: readonly number[]): Float64Array => {
    const kept = Float64Array.from(coefficients)
    for (const k of data) kept[k] = 0
    return kept
  }
  return [
    [t.stateCount, t.slots.length, t.temperatureSlot, Number(t.temperatureIsFree), t.rateCount, t.outputCount, t.rateAuxiliaryCount],
    t.monomialStart,
    t.monomialCoefficient,
    t.factorStart,
    t.factors,
    t.auxiliarySlot,
    t.programStart,
    t.code,
    t.rowStart,
    t.rowRate,
    t.rowOpposed,
    without(t.rowCoefficient, numbers.heatRows),
    numbers.heatRows,
    t.entryStart,
    t.entryOutput,
    without(t.entryCoefficient, numbers.heatEntries),
    numbers.heatEntries,
    t.constantSlot,
    t.constantGroup,
    t.constantSlopeSlot,
    [t.groupEaOverRK.length],
  ]
    .map((list) => list.join())
    .join(';')
}

/** Writes one of the two bodies. */
class NetworkWriter {
  /** Slots whose value stands in a local of this body. */
  private readonly locals = new Map<number, number>()
  private readonly t: NetworkTables
  private readonly plan: DataPlan
  private readonly body: WasmBody
  private readonly places: EmitPlaces
  private readonly calls: EmitCalls
  constructor(t: NetworkTables, plan: DataPlan, body: WasmBody, places: EmitPlaces, calls: EmitCalls) {
    this.t = t
    this.plan = plan
    this.body = body
    this.places = places
    this.calls = calls
  }

  rates(): void {
    const { t, body, places } = this
    if (t.temperatureIsFree && t.constantGroup.some((g) => g >= 0)) this.settleConstants()
    for (let p = 0; p < t.rateAuxiliaryCount; p++) {
      const local = this.auxiliary(p)
      // The Jacobian at the same state finds it there.
      body.int(0).get(local).store(this.placeOfSlot(t.auxiliarySlot[p]!))
    }
    const outputs = emitProducts(body, t, 0, t.rateCount, this.pushSlot)
    const sums = { start: t.rowStart, which: t.rowRate, coefficient: t.rowCoefficient, opposed: t.rowOpposed }
    storeInPairs(body, t.stateCount, { offset: places.out }, (i) =>
      emitSum(body, sums, i, outputs, false, (k) => this.placeOfData(this.plan.rowPlace.get(k))),
    )
  }

  minusJacobian(): void {
    const { t, body, places } = this
    if (t.temperatureIsFree) this.slopesOfConstants()
    for (let p = t.rateAuxiliaryCount; p < t.auxiliarySlot.length; p++) this.auxiliary(p)
    const outputs = emitProducts(body, t, t.rateCount, t.outputCount, this.pushSlot)
    const sums = { start: t.entryStart, which: t.entryOutput, coefficient: t.entryCoefficient }
    storeInPairs(body, t.pattern.columns.length, { offset: places.out }, (e) =>
      emitSum(body, sums, e, outputs, true, (k) => this.placeOfData(this.plan.entryPlace.get(k))),
    )
  }

  private dataPlace(index: number): Place {
    return { offset: this.places.data + DOUBLE * index }
  }
  private placeOfData(index: number | undefined): Place | null {
    return index === undefined ? null : this.dataPlace(index)
  }
  private placeOfSlot(slot: number): Place {
    const { stateCount } = this.t
    return slot < stateCount ? { offset: this.places.state + DOUBLE * slot } : this.dataPlace(slot - stateCount)
  }
  private readonly pushSlot = (slot: number): void => {
    const local = this.locals.get(slot)
    if (local === undefined) this.body.load(this.placeOfSlot(slot))
    else this.body.get(local)
  }

  /** Constants at the temperature of the state, unless they stand at it already: k = base · exp(−(Ea/R) (1/T − 1/Tref)). */
  private settleConstants(): void {
    const { t, plan, body } = this
    const kelvin = body.local('f64')
    const perKelvin = body.local('pair')
    /** One local for two groups. */
    const factors = Array.from({ length: Math.ceil(t.groupEaOverRK.length / 2) }, () => body.local('pair'))
    body.load(this.placeOfSlot(t.temperatureSlot)).tee(kelvin).load(this.dataPlace(plan.settledK)).do('notEqual')
    body.ifSo(() => {
      body.int(0).get(kelvin).store(this.dataPlace(plan.settledK))
      const room = emitExponentialRoom(body)
      body.double(1).get(kelvin).do('div').doPair('splat').set(perKelvin)
      for (const [i, factor] of factors.entries()) {
        body.loadPair(this.dataPlace(plan.minusEaOverRK + 2 * i)).get(perKelvin)
        body.loadPair(this.dataPlace(plan.perReferenceK + 2 * i)).doPair('sub', 'mul')
        emitExponential(body, room)
        body.set(factor)
      }
      for (let c = 0; c < t.constantSlot.length; c++) {
        const group = t.constantGroup[c]!
        if (group < 0) continue
        body
          .int(0)
          .load(this.dataPlace(plan.base + c))
          .get(factors[group >> 1]!)
          .lane((group & 1) as 0 | 1)
          .do('mul')
          .store(this.placeOfSlot(t.constantSlot[c]!))
      }
    })
  }

  /** (Ea/R)/T² of each group, into locals that stand for the slope slots. */
  private slopesOfConstants(): void {
    const { t, plan, body } = this
    const byGroup = new Map<number, number>()
    for (let c = 0; c < t.constantSlot.length; c++) {
      const slot = t.constantSlopeSlot[c]!
      if (slot < 0) continue
      const group = t.constantGroup[c]!
      let local = byGroup.get(group)
      if (local === undefined) {
        local = body.local('f64')
        const kelvin = this.placeOfSlot(t.temperatureSlot)
        body
          .load(this.dataPlace(plan.minusEaOverRK + group))
          .do('neg')
          .load(kelvin)
          .load(kelvin)
          .do('mul', 'div')
          .set(local)
        byGroup.set(group, local)
      }
      this.locals.set(slot, local)
    }
  }

  /** Evaluates the program of an auxiliary slot into a local that stands for it. */
  private auxiliary(p: number): number {
    const { t, body } = this
    for (let i = t.programStart[p]!; i < t.programStart[p + 1]!; i += 2) this.operation(t.code[i]!, t.code[i + 1]!)
    const local = body.local('f64')
    body.set(local)
    this.locals.set(t.auxiliarySlot[p]!, local)
    return local
  }

  private operation(code: number, operand: number): void {
    const { body, calls } = this
    switch (code) {
      case operations.load:
        this.pushSlot(operand)
        break
      case operations.neg:
        body.do('neg')
        break
      case operations.add:
        body.do('add')
        break
      case operations.sub:
        body.do('sub')
        break
      case operations.mul:
        body.do('mul')
        break
      case operations.div:
        body.do('div')
        break
      case operations.powWhole: {
        const base = body.local('f64')
        body.tee(base)
        for (let power = 1; power < operand; power++) body.get(base).do('mul')
        break
      }
      case operations.pow: {
        const exponent = body.local('f64')
        body.set(exponent).double(0).do('max').get(exponent).call(calls.pow)
        break
      }
      case operations.sqrt:
        body.double(0).do('max', 'sqrt')
        break
      case operations.exp:
        body.call(calls.exp)
        break
      case operations.ln:
        body.call(calls.ln)
        break
      case operations.log10:
        body.call(calls.log10)
        break
      case operations.min:
        body.do('min')
        break
      case operations.max:
        body.do('max')
        break
      case operations.ifAtMost: {
        const [ifNot, ifSo, right] = [body.local('f64'), body.local('f64'), body.local('f64')]
        body.set(ifNot).set(ifSo).set(right)
        const left = body.local('f64')
        body.set(left).get(ifSo).get(ifNot).get(left).get(right).do('atMost', 'select')
        break
      }
      default:
        invariant(false, 'a rate program holds an unknown operation')
    }
  }
}

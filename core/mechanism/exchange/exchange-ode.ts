/**
 * An assembled model as an `OdeSystem`: rates from the tape, the exact Jacobian by forward differentiation, one pass a
 * column over the part of the tape that the column's state moves.
 */
import { entryOf, type OdeSystem, patternOf } from '@beakertide/basis/numerics'
import type { Assembled } from './assemble.ts'
import type { Program, Tape } from './tape.ts'

/** A system with as many components as the model has states, or one that stands still when it has none. */
export interface ExchangeOde extends OdeSystem {
  /** Writes time and states to the tape's inputs. */
  place(time: number, y: ArrayLike<number>): void
  /**
   * Looks for states that are no finite number, or whose rate reads something that is not a number: they are taken out
   * of the integration (rate zero) and shown as what they are. What was never given a value has none, and so has all
   * that depends on it. Call it at the start of every stretch.
   */
  settle(time: number, y: Float64Array): void
  /** Whether a state is integrated. */
  isAlive(state: number): boolean
}

export function exchangeOde(model: Assembled): ExchangeOde {
  const { tape, states, stateRates, timeInput } = model
  const count = states.length
  const size = Math.max(1, count)
  const rateProgram = tape.programFor(stateRates)
  const columns = states.map((state) => tape.movedBy(state.input, rateProgram))
  const byTime = tape.movedBy(timeInput, rateProgram)
  const entries: (readonly [number, number])[] = []
  states.forEach((state, column) => {
    const moved = new Set<number>(columns[column])
    moved.add(state.input)
    stateRates.forEach((rate, row) => {
      if (moved.has(rate)) entries.push([row, column])
    })
  })
  const pattern = patternOf(size, entries)
  const columnEntries = states.map((_state, column) =>
    entries.filter(([, c]) => c === column).map(([row]) => ({ row, entry: entryOf(pattern, row, column) })),
  )
  const ratesInputs = stateRates.map((rate) => tape.inputsOf([rate]))
  const alive = new Uint8Array(size).fill(1)
  const dead = new Float64Array(size)
  const dependsOnTime = byTime.length > 0 || stateRates.includes(timeInput)

  function place(time: number, y: ArrayLike<number>): void {
    tape.values[timeInput] = time
    for (let i = 0; i < count; i++) tape.values[states[i]!.input] = alive[i] === 1 ? y[i]! : dead[i]!
  }
  function slopesAlong(input: number, program: Program): void {
    tape.dots[input] = 1
    tape.slopes(program)
  }
  function clear(input: number, program: Program): void {
    tape.dots[input] = 0
    tape.clearSlopes(program)
  }
  function settle(time: number, y: Float64Array): void {
    for (let i = 0; i < count; i++) {
      alive[i] = Number.isFinite(y[i]) ? 1 : 0
      dead[i] = y[i]!
    }
    for (let changed = true; changed; ) {
      changed = false
      place(time, y)
      tape.run(rateProgram)
      for (let i = 0; i < count; i++) {
        if (alive[i] === 0 || Number.isFinite(tape.values[stateRates[i]!])) continue
        if (!readsNothing(tape, ratesInputs[i]!)) continue
        alive[i] = 0
        dead[i] = Number.NaN
        y[i] = Number.NaN
        changed = true
      }
    }
  }

  const system: ExchangeOde = {
    size,
    pattern,
    place,
    settle,
    isAlive: (state) => alive[state] === 1,
    rates(time, y, out) {
      place(time, y)
      tape.run(rateProgram)
      if (count === 0) out[0] = 0
      for (let i = 0; i < count; i++) out[i] = alive[i] === 1 ? tape.values[stateRates[i]!]! : 0
    },
    jacobian(time, y, values) {
      place(time, y)
      tape.run(rateProgram)
      values.fill(0)
      for (let column = 0; column < count; column++) {
        if (alive[column] === 0) continue
        const { input } = states[column]!
        slopesAlong(input, columns[column]!)
        for (const { row, entry } of columnEntries[column]!) if (alive[row] === 1) values[entry] = tape.dots[stateRates[row]!]!
        clear(input, columns[column]!)
      }
    },
  }
  if (!dependsOnTime) return system
  return {
    ...system,
    timeDerivative(time, y, out) {
      place(time, y)
      tape.run(rateProgram)
      slopesAlong(timeInput, byTime)
      for (let i = 0; i < count; i++) out[i] = alive[i] === 1 ? tape.dots[stateRates[i]!]! : 0
      clear(timeInput, byTime)
    },
  }
}

function readsNothing(tape: Tape, inputs: readonly number[]): boolean {
  return inputs.some((input) => Number.isNaN(tape.values[input]))
}

import { describe, expect, it } from 'vitest'
import { emitExponential, emitExponentialRoom, exponential } from './exponential.ts'
import { compileModule, instantiate } from './wasm-host.ts'
import { encodeModule, WasmBody } from './wasm-encoder.ts'

/** A module that takes the pair at 16 and leaves e to the power of each at 32. */
function generated(): (a: number, b: number) => readonly [number, number] {
  const body = new WasmBody()
  const room = emitExponentialRoom(body)
  body.at({ offset: 32 }).loadPair({ offset: 16 })
  emitExponential(body, room)
  body.storePair({ offset: 32 })
  const module = compileModule(encodeModule([], [{ exported: 'run', parameters: [], results: [], body }], 64))!
  const { memory, run } = instantiate(module, {})!.exports as { memory: { buffer: ArrayBuffer }; run: () => void }
  const doubles = new Float64Array(memory.buffer)
  return (a, b) => {
    doubles[2] = a
    doubles[3] = b
    run()
    return [doubles[4]!, doubles[5]!]
  }
}

const between = (from: number, to: number, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * (i + 0.37)) / count)

describe('e to a power', () => {
  it('has the published digits', () => {
    expect(exponential(0)).toBe(1)
    // e, ln 2 and ln 10 as ECMA-262 gives them (21.3.1); 1/e and e^3: OEIS A068985, A091933 (memory).
    expect(exponential(1) / Math.E - 1).toBeCloseTo(0, 15)
    expect(exponential(-1)).toBeCloseTo(0.36787944117144233, 16)
    expect(exponential(3) / 20.085536923187668 - 1).toBeCloseTo(0, 15)
    expect(exponential(Math.LN2) / 2 - 1).toBeCloseTo(0, 15)
    expect(exponential(Math.LN10) / 10 - 1).toBeCloseTo(0, 15)
  })
  it('is within two units in the last place of the engine’s own', () => {
    for (const x of [...between(-700, 700, 2000), ...between(-2, 2, 2000), ...between(-1e-6, 1e-6, 50)]) {
      expect(Math.abs(exponential(x) / Math.exp(x) - 1), `at ${x}`).toBeLessThanOrEqual(4 * Number.EPSILON)
    }
  })
  it('is held beyond what a double can show, and NaN for NaN', () => {
    expect(exponential(1e6)).toBe(exponential(709))
    expect(exponential(Infinity)).toBe(exponential(709))
    expect(exponential(-1e6)).toBe(exponential(-708))
    expect(exponential(-708)).toBeGreaterThan(0)
    expect(exponential(Number.NaN)).toBeNaN()
  })
  it('is the same to the last bit in generated code', () => {
    const run = generated()
    const places = [...between(-750, 750, 1500), ...between(-3, 3, 1500), 0, 709, -708, Infinity, -Infinity]
    places.forEach((x, i) => {
      const other = places[places.length - 1 - i]!
      expect(run(x, other), `at ${x} and ${other}`).toEqual([exponential(x), exponential(other)])
    })
    expect(run(Number.NaN, 1)).toEqual([Number.NaN, exponential(1)])
  })
})

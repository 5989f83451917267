import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { encodeModule, WasmBody, type WasmFunction, type WasmType } from './wasm-encoder.ts'
import { compileModule, instantiate } from './wasm-host.ts'

/** Runs one function of a module of its own. */
function run(
  parameters: readonly WasmType[],
  results: readonly WasmType[],
  write: (body: WasmBody) => void,
  bytes = 64,
): { readonly call: (...values: number[]) => number; readonly memory: Float64Array } {
  const body = new WasmBody(parameters)
  write(body)
  const functions: readonly WasmFunction[] = [{ exported: 'f', parameters, results, body }]
  const imports = [{ module: 'math', name: 'ln', parameters: ['f64'], results: ['f64'] }] as const
  const module = compileModule(encodeModule(imports, functions, bytes))
  expect(module).not.toBe(null)
  const instance = instantiate(module!, { math: { ln: Math.log } })
  expect(instance).not.toBe(null)
  const { f, memory } = instance!.exports as unknown as { f: (...values: number[]) => number; memory: { buffer: ArrayBuffer } }
  return { call: f, memory: new Float64Array(memory.buffer) }
}

const double = fc.double({ noDefaultInfinity: false, noNaN: false })

describe('the encoder', () => {
  it('writes whole numbers of every length, of both signs', () => {
    for (const power of [0, 5, 6, 7, 12, 13, 14, 19, 20, 21, 26, 27, 28, 30]) {
      for (const value of [2 ** power - 1, 2 ** power, -(2 ** power), -(2 ** power) - 1]) {
        expect(run([], ['i32'], (body) => body.int(value)).call()).toBe(value | 0)
      }
    }
    expect(run([], ['i32'], (body) => body.int(2 ** 31 - 1)).call()).toBe(2 ** 31 - 1)
    expect(run([], ['i32'], (body) => body.int(-(2 ** 31))).call()).toBe(-(2 ** 31))
  })
  it('writes any double', () => {
    fc.assert(
      fc.property(double, (x) => {
        expect(run([], ['f64'], (body) => body.double(x)).call()).toBe(x)
      }),
    )
  })
  it('arithmetic is that of the language, bit for bit', () => {
    const binary = { add: (a: number, b: number) => a + b, sub: (a: number, b: number) => a - b, mul: (a: number, b: number) => a * b }
    const more = { div: (a: number, b: number) => a / b, min: Math.min, max: Math.max }
    for (const [name, wanted] of Object.entries({ ...binary, ...more })) {
      const { call } = run(['f64', 'f64'], ['f64'], (body) =>
        body
          .get(0)
          .get(1)
          .do(name as 'add'),
      )
      fc.assert(
        fc.property(double, double, (a, b) => {
          expect(call(a, b)).toBe(wanted(a, b))
        }),
      )
    }
    for (const [name, wanted] of Object.entries({ abs: Math.abs, sqrt: Math.sqrt, neg: (a: number) => -a })) {
      const { call } = run(['f64'], ['f64'], (body) => body.get(0).do(name as 'abs'))
      fc.assert(
        fc.property(double, (a) => {
          expect(call(a)).toBe(wanted(a))
        }),
      )
    }
  })
  it('comparisons treat NaN as the language does', () => {
    const wanted = {
      equal: (a: number, b: number) => a === b,
      notEqual: (a: number, b: number) => a !== b,
      less: (a: number, b: number) => a < b,
      greater: (a: number, b: number) => a > b,
      atMost: (a: number, b: number) => a <= b,
      atLeast: (a: number, b: number) => a >= b,
    }
    const values = [Number.NaN, -Infinity, -1, -0, 0, 1, Infinity]
    for (const [name, compare] of Object.entries(wanted)) {
      const { call } = run(['f64', 'f64'], ['i32'], (body) =>
        body
          .get(0)
          .get(1)
          .do(name as 'equal'),
      )
      for (const a of values) for (const b of values) expect(call(a, b), `${a} ${name} ${b}`).toBe(compare(a, b) ? 1 : 0)
    }
  })
  it('pairs are two doubles side by side; largerOf passes a NaN in its second operand over', () => {
    const { call, memory } = run(['f64', 'f64'], ['i32'], (body) => {
      const pair = body.local('pair')
      body.at({ offset: 16 }).loadPair({ offset: 0 }).get(0).doPair('splat', 'mul').tee(pair).storePair({ offset: 16 })
      body.at({ offset: 32 }).get(pair).get(1).doPair('splat', 'largerOf').storePair({ offset: 32 })
      body.get(pair).get(1).doPair('splat', 'less', 'any')
    })
    memory.set([3, -4])
    expect(call(2, 1)).toBe(1)
    expect([...memory.subarray(2, 6)]).toEqual([6, -8, 6, 1])
    expect(call(2, Number.NaN)).toBe(0)
    expect([...memory.subarray(4, 6)]).toEqual([6, -8])
    expect(call(2, -9)).toBe(0)
  })
  it('loops, branches, calls out and addresses from a local work together: Σ ln over a row', () => {
    const { call, memory } = run(['f64'], ['f64'], (body) => {
      const [counter, sum] = [body.local('i32'), body.local('f64')]
      body.get(0).double(0).do('equal')
      body.ifSo(() => body.double(-1).do('return'))
      body.loop(counter, 40, 8, () => body.load({ from: counter, offset: 8 }).call(0).get(sum).do('add').set(sum))
      body.get(sum)
    })
    memory.set([1, 2, 3, 4, 5, 6], 1)
    expect(call(0)).toBe(-1)
    expect(call(1)).toBe([1, 2, 3, 4, 5].reduce((sum, x) => Math.log(x) + sum, 0))
  })
  it('memory is rounded up to pages and cannot grow', () => {
    expect(run([], ['i32'], (body) => body.int(0), 65537).memory.length).toBe((2 * 65536) / 8)
    expect(() => encodeModule([], [], 0)).toThrow(/pages/)
  })
})

describe('the host', () => {
  it('bytes that are no module give null, not an exception', () => {
    expect(compileModule(Uint8Array.of(0, 1, 2))).toBe(null)
  })
  it('without WebAssembly there is none', () => {
    const host = globalThis as { WebAssembly?: unknown }
    const kept = host.WebAssembly
    const bytes = encodeModule([], [], 8)
    try {
      delete host.WebAssembly
      expect(compileModule(bytes)).toBe(null)
    } finally {
      host.WebAssembly = kept
    }
    expect(compileModule(bytes)).not.toBe(null)
  })
})

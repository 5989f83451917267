/**
 * e^x by operations that every host rounds alike, so that rate constants have the same bits on every machine and in generated code: `Math.exp` may
 * differ from engine to engine, and generated code would have to call it once for every constant, while here it takes two at a time.
 */
import type { WasmBody } from './wasm-encoder.ts'

/** Beyond these the result is held: e^709 is just below the largest double, e^-708 just above the least normal one. */
const MOST = 709
const LEAST = -708
/** Adding and taking off 1.5 · 2^52 rounds to a whole number, which then stands in the lowest bits of the sum. */
const ROUNDER = 1.5 * 2 ** 52
/** ln 2 = 0.693147180559945309417232121458… (OEIS A002162) in two parts: the first has 32 binary places, so that its product with a whole number below 2^20 is exact. */
const LN2_HIGH = 2977044472 / 2 ** 32
const LN2_LOW = -4.2009150726810846e-11
/** 1/n! for n = 2 … 13: for |r| ≤ ln 2 / 2 what is left out, r^14/14!, is below 5e-18 (Taylor's theorem). */
const SERIES = inverseFactorials(13).slice(2)

function inverseFactorials(last: number): readonly number[] {
  const out = [1]
  let factorial = 1
  for (let n = 1; n <= last; n++) out.push(1 / (factorial *= n))
  return out
}

/** 2^k for k = -1023 … 1023, exact. */
const EXPONENT_BIAS = 1023
const powersOfTwo = Float64Array.from({ length: 2 * EXPONENT_BIAS + 1 }, () => 1)
for (let k = 1; k <= EXPONENT_BIAS; k++) {
  powersOfTwo[EXPONENT_BIAS + k] = 2 * powersOfTwo[EXPONENT_BIAS + k - 1]!
  powersOfTwo[EXPONENT_BIAS - k] = powersOfTwo[EXPONENT_BIAS - k + 1]! / 2
}

/** e^x within two units in the last place; held at e^-708 and e^709 outside of that range; NaN for NaN. */
export function exponential(x: number): number {
  const within = Math.min(MOST, Math.max(LEAST, x))
  const k = within * Math.LOG2E + ROUNDER - ROUNDER
  const r = within - k * LN2_HIGH - k * LN2_LOW
  const r2 = r * r
  const r4 = r2 * r2
  const [c2, c3, c4, c5, c6, c7, c8, c9, c10, c11, c12, c13] = SERIES
  const low = c2! + c3! * r + r2 * (c4! + c5! * r)
  const middle = c6! + c7! * r + r2 * (c8! + c9! * r)
  const high = c10! + c11! * r + r2 * (c12! + c13! * r)
  const rest = low + r4 * (middle + r4 * high)
  return (1 + (r + r2 * rest)) * powersOfTwo[k + EXPONENT_BIAS]!
}

/** Locals of one body in which `emitExponential` works, its numbers among them: writing them into the code at every use would take longer than the arithmetic. */
export interface ExponentialRoom {
  readonly numbers: ReadonlyMap<number, number>
  readonly within: number
  readonly shifted: number
  readonly r: number
  readonly r2: number
  readonly r4: number
}

/** Fills the locals; to be written where the body passes before its first `emitExponential`. */
export function emitExponentialRoom(body: WasmBody): ExponentialRoom {
  const numbers = new Map<number, number>()
  for (const value of [LEAST, MOST, Math.LOG2E, ROUNDER, LN2_HIGH, LN2_LOW, 1, ...SERIES]) {
    const local = body.local('pair')
    body.double(value).doPair('splat').set(local)
    numbers.set(value, local)
  }
  const pair = (): number => body.local('pair')
  return { numbers, within: pair(), shifted: pair(), r: pair(), r2: pair(), r4: pair() }
}

/** Replaces the pair on the stack by e to the power of each, with the operations of `exponential` in the same order. */
export function emitExponential(body: WasmBody, { numbers, within, shifted, r, r2, r4 }: ExponentialRoom): void {
  const number = (value: number): WasmBody => body.get(numbers.get(value)!)
  number(LEAST).doPair('largerOf')
  number(MOST).doPair('smallerOf').set(within)
  body.get(within)
  number(Math.LOG2E).doPair('mul')
  number(ROUNDER).doPair('add').tee(shifted)
  number(ROUNDER).doPair('sub').set(r2)
  body.get(within).get(r2)
  number(LN2_HIGH).doPair('mul', 'sub').get(r2)
  number(LN2_LOW).doPair('mul', 'sub').tee(r).get(r).doPair('mul').tee(r2).get(r2).doPair('mul').set(r4)
  const two = (n: number): void => {
    number(SERIES[n]!)
    number(SERIES[n + 1]!)
      .get(r)
      .doPair('mul', 'add')
  }
  const four = (n: number): void => {
    two(n)
    body.get(r2)
    two(n + 2)
    body.doPair('mul', 'add')
  }
  number(1).get(r).get(r2)
  four(0)
  body.get(r4)
  four(4)
  body.get(r4)
  four(8)
  body.doPair('mul', 'add', 'mul', 'add', 'mul', 'add', 'add')
  // The whole number in the lowest bits becomes the exponent of a power of two.
  body.get(shifted).int(52).doPair('shiftBits')
  number(1).doPair('addBits', 'mul')
}

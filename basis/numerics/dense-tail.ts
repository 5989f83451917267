/**
 * The end of a sparse elimination. Fill gathers there: of a network of 5000 species, 97 in 100 multiplications belong to the last 220 unknowns, whose block is
 * all but full. Kept as a dense matrix it needs no indices, lies in one piece, and is taken two numbers at a time by generated code.
 */
import { LEAST_PIVOT_LEFT, type SparsePlan } from './sparse-plan.ts'
import { compileModule, createModuleStore, instantiate, type WasmModule } from './wasm-host.ts'
import { CANCELLED, encodeTail, PANEL, type Parts, tailLayout } from './wasm-tail.ts'

/**
 * The block of the last unknowns, of real or of complex numbers. Columns lie one behind the other: the entry (i, j) stands at j · stride + i. Complex numbers
 * have their real parts in the first array of each kind and their imaginary parts in the second.
 */
export interface DenseTail {
  readonly size: number
  /** `size` rounded up to whole panels; what is beyond `size` must be zero, with ones on the diagonal. */
  readonly stride: number
  readonly matrix: readonly Float64Array[]
  /** Absolute values of the diagonal before anything was taken off it, to tell a pivot that has cancelled; of complex numbers their squares. Ones beyond `size`. */
  readonly before: Float64Array
  /** Right side and solution, `stride` long. */
  readonly right: readonly Float64Array[]
  /**
   * Makes factors of the matrix in place: L without its unit diagonal, U with reciprocal pivots. The absolute value of the largest multiplier (of complex
   * numbers its square), or `CANCELLED` when a pivot is zero, not finite, or has lost its digits.
   */
  eliminate(): number
  /** right ← L⁻¹ right */
  forward(): void
  /** right ← U⁻¹ right */
  backward(): void
}

/** A multiplication in the dense block costs this share of one with indices: measured 0.06 to 0.15 on blocks of 40 to 300. */
const DENSE_SHARE = 0.1
/** A smaller block is not worth the calls. */
const LEAST_TAIL = 24
/** The matrix of a larger one would take more than 18 MB. */
const LARGEST_TAIL = 1500

/** How many of the last unknowns are best taken as a dense block; 0: none. */
export function tailOf({ rowStart, diagonal, place }: SparsePlan): number {
  const n = diagonal.length
  /** Multiplications with each pivot. */
  const byPivot = new Float64Array(n)
  for (let p = 0; p < n; p++) {
    for (let e = rowStart[p]!; e < diagonal[p]!; e++) {
      const k = place[e]!
      byPivot[k] = byPivot[k]! + rowStart[k + 1]! - diagonal[k]! - 1
    }
  }
  let sparse = 0
  let best = 0
  let mostSaved = 0
  for (let size = 1; size <= Math.min(n, LARGEST_TAIL); size++) {
    sparse += byPivot[n - size]!
    const saved = sparse - (DENSE_SHARE * size * size * size) / 3
    if (size >= LEAST_TAIL && saved > mostSaved) {
      best = size
      mostSaved = saved
    }
  }
  return best
}

const strideOf = (size: number): number => PANEL * Math.ceil(size / PANEL)

/** By plain loops: the reference, and what runs where the host has no WebAssembly. */
export function createPlainTail(size: number, parts: Parts): DenseTail {
  const stride = strideOf(size)
  const matrix = Array.from({ length: parts }, () => new Float64Array(stride * stride))
  const right = Array.from({ length: parts }, () => new Float64Array(stride))
  const before = new Float64Array(stride)
  const loops = parts === 1 ? realLoops(matrix[0]!, before, right[0]!) : complexLoops(matrix[0]!, matrix[1]!, before, right[0]!, right[1]!)
  return { size, stride, matrix, before, right, ...loops }
}

type Loops = Pick<DenseTail, 'eliminate' | 'forward' | 'backward'>

function realLoops(matrix: Float64Array, before: Float64Array, right: Float64Array): Loops {
  const stride = before.length
  return {
    eliminate() {
      let largest = 0
      for (let k = 0; k < stride; k++) {
        const pivots = k * stride
        const pivot = matrix[pivots + k]!
        const reciprocal = 1 / pivot
        if (Math.abs(pivot) < LEAST_PIVOT_LEFT * before[k]! || reciprocal === 0 || !Number.isFinite(reciprocal)) return CANCELLED
        matrix[pivots + k] = reciprocal
        for (let i = k + 1; i < stride; i++) {
          const multiplier = matrix[pivots + i]! * reciprocal
          matrix[pivots + i] = multiplier
          if (Math.abs(multiplier) > largest) largest = Math.abs(multiplier)
        }
        for (let j = k + 1; j < stride; j++) {
          const column = j * stride
          const top = matrix[column + k]!
          for (let i = k + 1; i < stride; i++) matrix[column + i] = matrix[column + i]! - matrix[pivots + i]! * top
        }
      }
      return largest
    },
    forward() {
      for (let k = 0; k < stride; k++) {
        for (let i = k + 1; i < stride; i++) right[i] = right[i]! - matrix[k * stride + i]! * right[k]!
      }
    },
    backward() {
      for (let k = stride - 1; k >= 0; k--) {
        right[k] = right[k]! * matrix[k * stride + k]!
        for (let i = 0; i < k; i++) right[i] = right[i]! - matrix[k * stride + i]! * right[k]!
      }
    },
  }
}

function complexLoops(re: Float64Array, im: Float64Array, before: Float64Array, rightRe: Float64Array, rightIm: Float64Array): Loops {
  const stride = before.length
  /** Entries `to` … less the entries `from` … times a + bi. */
  const takeOff = (toRe: Float64Array, toIm: Float64Array, to: number, from: number, count: number, a: number, b: number): void => {
    for (let i = 0; i < count; i++) {
      const [c, d] = [re[from + i]!, im[from + i]!]
      toRe[to + i] = toRe[to + i]! - (c * a - d * b)
      toIm[to + i] = toIm[to + i]! - (c * b + d * a)
    }
  }
  return {
    eliminate() {
      let largest = 0
      for (let k = 0; k < stride; k++) {
        const d = k * stride + k
        const [a, b] = [re[d]!, im[d]!]
        const square = a * a + b * b
        const reciprocal = 1 / square
        if (square < LEAST_PIVOT_LEFT ** 2 * before[k]! || reciprocal === 0 || !Number.isFinite(reciprocal)) return CANCELLED
        re[d] = a * reciprocal
        im[d] = -b * reciprocal
        for (let i = d + 1; i < (k + 1) * stride; i++) {
          const [x, y] = [re[i]!, im[i]!]
          re[i] = x * re[d]! - y * im[d]!
          im[i] = x * im[d]! + y * re[d]!
          const size = re[i]! * re[i]! + im[i]! * im[i]!
          if (size > largest) largest = size
        }
        for (let j = k + 1; j < stride; j++) {
          const top = j * stride + k
          takeOff(re, im, top + 1, d + 1, stride - k - 1, re[top]!, im[top]!)
        }
      }
      return largest
    },
    forward() {
      for (let k = 0; k < stride; k++) takeOff(rightRe, rightIm, k + 1, k * stride + k + 1, stride - k - 1, rightRe[k]!, rightIm[k]!)
    },
    backward() {
      for (let k = stride - 1; k >= 0; k--) {
        const d = k * stride + k
        const [x, y] = [rightRe[k]!, rightIm[k]!]
        rightRe[k] = x * re[d]! - y * im[d]!
        rightIm[k] = x * im[d]! + y * re[d]!
        takeOff(rightRe, rightIm, 0, k * stride, k, rightRe[k]!, rightIm[k]!)
      }
    },
  }
}

interface TailExports {
  readonly memory: { readonly buffer: ArrayBuffer }
  eliminate(): number
  forward(): void
  backward(): void
}

/** Compiled modules that are kept; one a stride and kind of number. */
const MOST_MODULES = 16
const modules = createModuleStore<WasmModule | null>(MOST_MODULES)

/** The same arithmetic to the last bit (but for the sign of zero) as generated code; null where the host cannot run it. */
export function createGeneratedTail(size: number, parts: Parts): DenseTail | null {
  const stride = strideOf(size)
  const layout = tailLayout(stride, parts)
  const module = modules(`${stride} ${parts}`, () => compileModule(encodeTail(stride, parts)))
  const instance = module === null ? null : instantiate(module, {})
  if (instance === null) return null
  const code = instance.exports as unknown as TailExports
  const view = (at: number, length: number): Float64Array => new Float64Array(code.memory.buffer, at, length)
  return {
    size,
    stride,
    matrix: Array.from({ length: parts }, (_, i) => view(layout.matrix + i * layout.matrixPart, stride * stride)),
    before: view(layout.before, stride),
    right: Array.from({ length: parts }, (_, i) => view(layout.right + i * layout.rightPart, stride)),
    eliminate: () => code.eliminate(),
    forward: () => code.forward(),
    backward: () => code.backward(),
  }
}

/** A block for the last `size` unknowns; with none of them it does nothing. */
export const createDenseTail = (size: number, parts: Parts): DenseTail =>
  (size > 0 ? createGeneratedTail(size, parts) : null) ?? createPlainTail(size, parts)

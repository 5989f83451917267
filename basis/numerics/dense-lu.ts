/** Dense factors with partial pivoting; buffers are reused. */
export interface DenseLu {
  readonly size: number
  /** Row-major matrix: fill it, then call `decompose`, which overwrites it. */
  readonly matrix: Float64Array
  /**
   * PA = LU in place; false when a pivot is not finite, zero, or smaller than `leastLeft` (default 0) times the largest
   * entry that its column had: then elimination has cancelled that many digits.
   */
  decompose(leastLeft?: number): boolean
  /** Overwrites b with the solution of A x = b. */
  solve(b: Float64Array): void
}

/** Gaussian elimination with the largest pivot of each column (Golub & Van Loan, Matrix Computations, section 3.4). */
export function createDenseLu(size: number): DenseLu {
  const n = size
  const m = new Float64Array(n * n)
  const swaps = new Int32Array(n)

  const columnSize = new Float64Array(n)

  function measureColumns(): void {
    columnSize.fill(0)
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const size = Math.abs(m[i * n + j]!)
        if (size > columnSize[j]!) columnSize[j] = size
      }
    }
  }

  function decompose(leastLeft = 0): boolean {
    if (leastLeft > 0) measureColumns()
    for (let k = 0; k < n; k++) {
      let pivot = k
      let largest = Math.abs(m[k * n + k]!)
      for (let i = k + 1; i < n; i++) {
        const size = Math.abs(m[i * n + k]!)
        if (size > largest) {
          largest = size
          pivot = i
        }
      }
      if (!(largest > 0 && largest < Infinity && largest >= leastLeft * columnSize[k]!)) return false
      swaps[k] = pivot
      if (pivot !== k) {
        for (let j = 0; j < n; j++) {
          const kept = m[k * n + j]!
          m[k * n + j] = m[pivot * n + j]!
          m[pivot * n + j] = kept
        }
      }
      const reciprocal = 1 / m[k * n + k]!
      for (let i = k + 1; i < n; i++) {
        const multiplier = m[i * n + k]! * reciprocal
        m[i * n + k] = multiplier
        if (multiplier === 0) continue
        for (let j = k + 1; j < n; j++) m[i * n + j] = m[i * n + j]! - multiplier * m[k * n + j]!
      }
    }
    return true
  }

  function solve(b: Float64Array): void {
    for (let k = 0; k < n; k++) {
      const pivot = swaps[k]!
      if (pivot === k) continue
      const kept = b[k]!
      b[k] = b[pivot]!
      b[pivot] = kept
    }
    for (let i = 1; i < n; i++) {
      let sum = b[i]!
      for (let j = 0; j < i; j++) sum -= m[i * n + j]! * b[j]!
      b[i] = sum
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = b[i]!
      for (let j = i + 1; j < n; j++) sum -= m[i * n + j]! * b[j]!
      b[i] = sum / m[i * n + i]!
    }
  }

  return { size, matrix: m, decompose, solve }
}

/** Solution of A x = b for one small dense system (A row-major, left unchanged); null when A is singular. */
export function solveDense(a: ArrayLike<number>, b: ArrayLike<number>): Float64Array | null {
  const lu = createDenseLu(b.length)
  lu.matrix.set(a)
  if (!lu.decompose()) return null
  const x = Float64Array.from(b)
  lu.solve(x)
  return x.every(Number.isFinite) ? x : null
}

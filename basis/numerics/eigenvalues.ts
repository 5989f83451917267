/** Eigenvalues λ_i = re_i + i im_i, by falling real part; a complex pair stands together, the positive imaginary part first. */
export interface Eigenvalues {
  readonly re: Float64Array
  readonly im: Float64Array
  /**
   * Absolute error to be expected, 10 n ε ‖A‖ with the norm of the balanced matrix: a real part below it has no certain sign. Fast
   * equilibria make it large; 1e9 per second leaves the slow eigenvalues about six decimals.
   */
  readonly uncertainty: number
}

/** QR sweeps allowed for one eigenvalue; three are usual, thirty are rare. */
const MOST_SWEEPS = 90
/** A sweep that finds nothing is followed by one with made-up shifts every so often. */
const MADE_UP_EVERY = 10
const MOST_BALANCING = 100
const RADIX = 2

/** Scales rows against columns by powers of two until their sizes agree (B. N. Parlett & C. Reinsch 1969, Numer. Math. 13, 293). */
function balance(a: Float64Array, n: number): void {
  for (let round = 0; round < MOST_BALANCING; round++) {
    let changed = false
    for (let i = 0; i < n; i++) {
      let column = 0
      let row = 0
      for (let j = 0; j < n; j++) {
        if (j === i) continue
        column += Math.abs(a[j * n + i]!)
        row += Math.abs(a[i * n + j]!)
      }
      if (column === 0 || row === 0) continue
      const before = column + row
      let factor = 1
      while (column < row / RADIX) {
        factor *= RADIX
        column *= RADIX * RADIX
      }
      while (column >= row * RADIX) {
        factor /= RADIX
        column /= RADIX * RADIX
      }
      if (column + row >= 0.95 * before * factor) continue
      changed = true
      for (let j = 0; j < n; j++) a[i * n + j] = a[i * n + j]! / factor
      for (let j = 0; j < n; j++) a[j * n + i] = a[j * n + i]! * factor
    }
    if (!changed) return
  }
}

/**
 * Reflects rows and columns `at` … `at + count − 1` of a by I − 2 v vᵀ/(vᵀv), v chosen so that `x` becomes a multiple of the first
 * unit vector. Only rows and columns inside the given ranges are touched.
 */
function reflect(
  a: Float64Array,
  n: number,
  at: number,
  x: Float64Array,
  count: number,
  fromColumn: number,
  toColumn: number,
  fromRow: number,
  toRow: number,
): void {
  let largest = 0
  for (let i = 0; i < count; i++) largest = Math.max(largest, Math.abs(x[i]!))
  if (largest === 0) return
  let sum = 0
  for (let i = 0; i < count; i++) {
    x[i] = x[i]! / largest
    sum += x[i]! * x[i]!
  }
  const alpha = x[0]! >= 0 ? Math.sqrt(sum) : -Math.sqrt(sum)
  x[0] = x[0]! + alpha
  const twice = 1 / (alpha * x[0])
  for (let j = fromColumn; j <= toColumn; j++) {
    let dot = 0
    for (let i = 0; i < count; i++) dot += x[i]! * a[(at + i) * n + j]!
    dot *= twice
    for (let i = 0; i < count; i++) a[(at + i) * n + j] = a[(at + i) * n + j]! - dot * x[i]!
  }
  for (let r = fromRow; r <= toRow; r++) {
    let dot = 0
    for (let i = 0; i < count; i++) dot += x[i]! * a[r * n + at + i]!
    dot *= twice
    for (let i = 0; i < count; i++) a[r * n + at + i] = a[r * n + at + i]! - dot * x[i]!
  }
}

/** Householder reduction to Hessenberg form (Golub & Van Loan, Matrix Computations, algorithm 7.4.2). */
function reduceToHessenberg(a: Float64Array, n: number, x: Float64Array): void {
  for (let k = 0; k + 2 < n; k++) {
    const count = n - k - 1
    for (let i = 0; i < count; i++) x[i] = a[(k + 1 + i) * n + k]!
    reflect(a, n, k + 1, x, count, k, n - 1, 0, n - 1)
    for (let i = k + 2; i < n; i++) a[i * n + k] = 0
  }
}

/** One implicit double-shift sweep over the block [low, high], shifts with sum s and product t (Golub & Van Loan, algorithm 7.5.1). */
function sweep(h: Float64Array, n: number, low: number, high: number, s: number, t: number, x: Float64Array): void {
  const at = (i: number, j: number): number => h[i * n + j]!
  x[0] = at(low, low) ** 2 + at(low, low + 1) * at(low + 1, low) - s * at(low, low) + t
  x[1] = at(low + 1, low) * (at(low, low) + at(low + 1, low + 1) - s)
  x[2] = at(low + 1, low) * at(low + 2, low + 1)
  for (let k = low; k < high; k++) {
    const count = Math.min(3, high - k + 1)
    reflect(h, n, k, x, count, Math.max(low, k - 1), high, low, Math.min(high, k + 3))
    if (k > low) for (let i = 1; i < count; i++) h[(k + i) * n + k - 1] = 0
    x[0] = at(k + 1, k)
    x[1] = k + 2 <= high ? at(k + 2, k) : 0
    x[2] = k + 3 <= high ? at(k + 3, k) : 0
  }
}

/** Row of the active block's start: the first subdiagonal entry above `high` that is zero to rounding. */
function blockStart(h: Float64Array, n: number, high: number, norm: number): number {
  for (let i = high; i > 0; i--) {
    const near = Math.abs(h[(i - 1) * n + i - 1]!) + Math.abs(h[i * n + i]!)
    if (Math.abs(h[i * n + i - 1]!) <= Number.EPSILON * (near > 0 ? near : norm)) {
      h[i * n + i - 1] = 0
      return i
    }
  }
  return 0
}

/**
 * Eigenvalues of a real square matrix (row-major, left unchanged) by balancing, Hessenberg reduction and the double-shift QR iteration.
 * Null when an entry is not finite or an eigenvalue takes more than 90 sweeps, so that it always returns. Backward stable: the
 * eigenvalues are those of a matrix within about n ε ‖A‖ of the balanced one.
 */
export function eigenvalues(matrix: ArrayLike<number>, size: number): Eigenvalues | null {
  const n = size
  const h = Float64Array.from(matrix)
  let largest = 0
  for (const entry of h) {
    if (!Number.isFinite(entry)) return null
    largest = Math.max(largest, Math.abs(entry))
  }
  const re = new Float64Array(n)
  const im = new Float64Array(n)
  if (largest === 0) return { re, im, uncertainty: 0 }
  // A power of two, so that scaling is exact and nothing overflows when squared.
  const unit = 2 ** Math.floor(Math.log2(largest))
  for (let p = 0; p < h.length; p++) h[p] = h[p]! / unit
  balance(h, n)
  let norm = 0
  for (const entry of h) norm += entry * entry
  norm = Math.sqrt(norm)
  const x = new Float64Array(Math.max(3, n))
  reduceToHessenberg(h, n, x)

  let high = n - 1
  let sweeps = 0
  while (high >= 0) {
    const low = blockStart(h, n, high, norm)
    const d = h[high * n + high]!
    if (low === high) {
      re[high] = d
      high--
      sweeps = 0
      continue
    }
    const a = h[(high - 1) * n + high - 1]!
    const bc = h[(high - 1) * n + high]! * h[high * n + high - 1]!
    if (low === high - 1) {
      splitPair(a, bc, d, re, im, high)
      high -= 2
      sweeps = 0
      continue
    }
    sweeps++
    if (sweeps > MOST_SWEEPS) return null
    if (sweeps % MADE_UP_EVERY === 0) {
      const size = Math.abs(h[high * n + high - 1]!) + Math.abs(h[(high - 1) * n + high - 2]!)
      sweep(h, n, low, high, 1.5 * size, size * size, x)
    } else sweep(h, n, low, high, a + d, a * d - bc, x)
  }
  for (let i = 0; i < n; i++) {
    re[i] = re[i]! * unit
    im[i] = im[i]! * unit
  }
  const order = Array.from(re, (_, i) => i).sort((i, j) => re[j]! - re[i]! || Math.abs(im[i]!) - Math.abs(im[j]!) || im[j]! - im[i]!)
  return {
    re: Float64Array.from(order, (i) => re[i]!),
    im: Float64Array.from(order, (i) => im[i]!),
    uncertainty: 10 * n * Number.EPSILON * norm * unit,
  }
}

/** Eigenvalues of [a b; c d] into places high − 1 and high; the products are arranged so that nothing cancels. */
function splitPair(a: number, bc: number, d: number, re: Float64Array, im: Float64Array, high: number): void {
  const half = (a - d) / 2
  const square = half * half + bc
  if (square < 0) {
    re[high - 1] = d + half
    re[high] = d + half
    im[high - 1] = Math.sqrt(-square)
    im[high] = -Math.sqrt(-square)
    return
  }
  const far = half + (half >= 0 ? Math.sqrt(square) : -Math.sqrt(square))
  re[high - 1] = d + far
  re[high] = far === 0 ? d : d - bc / far
}

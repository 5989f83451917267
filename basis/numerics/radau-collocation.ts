/**
 * Collocation at the Radau points (Radau IIA), for any odd number of stages s: everything a step needs, worked out from the definitions. Source: E. Hairer &
 * G. Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, sections IV.5 and IV.8, and J. Comput. Appl. Math. 111 (1999) 93–111.
 *
 * The polynomial z of degree s with z(0) = 0 and z′(c_i) = h f(y + z(c_i)) gives y₁ = y + z(1), of order 2s − 1. With z_i = z(c_i), z′ at the nodes is D z,
 * D the inverse of the Runge–Kutta matrix. D = T Λ T⁻¹ has one real eigenvalue and (s−1)/2 complex pairs, so that a Newton step for w = T⁻¹ z falls apart into
 * one real linear system and (s−1)/2 complex ones of the size of y.
 */
import { invariant } from '../problems/index.ts'
import { createDenseLu, solveDense } from './dense-lu.ts'
import { eigenvalues } from './eigenvalues.ts'

export interface Collocation {
  /** s, odd, 3 or more. */
  readonly stages: number
  /** c_1 < … < c_s = 1. */
  readonly nodes: Float64Array
  /** The real eigenvalue of D. */
  readonly gamma: number
  /** Real and imaginary parts of the complex ones, the imaginary parts positive. */
  readonly alpha: Float64Array
  readonly beta: Float64Array
  /** Rows of T and of T⁻¹, s entries each. Columns of T: the real eigenvector, then of each pair u + iv the columns u and −v. */
  readonly t: Float64Array
  readonly tInverse: Float64Array
  /** d_i with error = (γ/h − J)⁻¹ (f(y) + Σ d_i z_i / h): difference to a solution of order s that also uses f(y). */
  readonly error: Float64Array
  /**
   * Rows r_q of StepKernel.dense, s of them, s + 1 entries each: r_q = Σ_i dense[q][i] z_i + dense[q][s] error. The last entry adds to the collocation polynomial
   * one of degree s + 1 that makes its slope at 0 h f(y), and no other change where it was right: one order more. The slope's defect is γ times the error estimate,
   * with what is stiff filtered out.
   */
  readonly dense: Float64Array
  /** b_0 … b_s: the polynomial x Σ b_q x^q that is added, times the error estimate. */
  readonly added: Float64Array
  /** Factors of the Lagrange polynomials of the nodes 0, c_1, …, c_s. */
  readonly basis: Float64Array
}

/** Zeros of P_s − P_{s−1} moved to [0, 1] (Legendre polynomials); the last is 1. Newton's rule on the three-term recurrence. */
function radauNodes(s: number): Float64Array {
  return Float64Array.from({ length: s }, (_, i) => {
    if (i === s - 1) return 1
    let x = -Math.cos(((2 * i + 1) * Math.PI) / (2 * s - 1))
    for (let round = 0; round < 20; round++) {
      let [before, p, slopeBefore, slope] = [1, x, 0, 1]
      for (let k = 2; k <= s; k++) {
        const next = ((2 * k - 1) * x * p - (k - 1) * before) / k
        const slopeNext = slopeBefore + (2 * k - 1) * p
        ;[before, p, slopeBefore, slope] = [p, next, slope, slopeNext]
      }
      x -= (p - before) / (slope - slopeBefore)
    }
    return (1 + x) / 2
  })
}

/** Reciprocals of c_i Π (c_i − c_j): ℓ_i(x) is that times x Π (x − c_j), j ≠ i, and a polynomial z with z(0) = 0 is Σ z_i ℓ_i. */
function basisFactors(nodes: Float64Array): Float64Array {
  return nodes.map((ci, i) => 1 / nodes.reduce((product, cj, j) => (j === i ? product : product * (ci - cj)), ci))
}

/** D_ij = ℓ_j′(c_i); the sum of a row and of ℓ_0′ is zero, which gives the diagonal without cancellation. */
function differentiation(nodes: Float64Array): Float64Array {
  const s = nodes.length
  const all = Float64Array.of(0, ...nodes)
  const weight = all.map((x, i) => all.reduce((product, y, j) => (j === i ? product : product / (x - y)), 1))
  const d = new Float64Array(s * s)
  for (let i = 1; i <= s; i++) {
    let sum = 0
    for (let j = 0; j <= s; j++) {
      if (j === i) continue
      const entry = weight[j]! / (weight[i]! * (all[i]! - all[j]!))
      sum += entry
      if (j > 0) d[(i - 1) * s + j - 1] = entry
    }
    d[(i - 1) * s + i - 1] = -sum
  }
  return d
}

/** Eigenvector u + iv to an approximate eigenvalue, by inverse iteration in real numbers, with u = 1 and v = 0 in the last component; and the eigenvalue again. */
function eigenvector(d: Float64Array, s: number, re: number, im: number): { u: Float64Array; v: Float64Array; re: number; im: number } {
  const lu = createDenseLu(2 * s)
  // Not exactly on the eigenvalue, where the matrix would be singular.
  const [a, b] = [re * (1 + 1e-9), im * (1 + 1e-9)]
  for (let i = 0; i < s; i++) {
    for (let j = 0; j < s; j++) {
      const own = i === j ? 1 : 0
      lu.matrix[2 * i * s + j] = d[i * s + j]! - own * a
      lu.matrix[2 * (s + i) * s + s + j] = d[i * s + j]! - own * a
      lu.matrix[2 * i * s + s + j] = own * b
      lu.matrix[2 * (s + i) * s + j] = -own * b
    }
  }
  invariant(lu.decompose(), 'inverse iteration met a singular matrix')
  const x = new Float64Array(2 * s).fill(1)
  for (let round = 0; round < 4; round++) {
    lu.solve(x)
    const [p, q] = [x[s - 1]!, x[2 * s - 1]!]
    const square = p * p + q * q
    for (let i = 0; i < s; i++) {
      const [xr, xi] = [x[i]!, x[s + i]!]
      x[i] = (xr * p + xi * q) / square
      x[s + i] = (xi * p - xr * q) / square
    }
    ;[x[s - 1], x[2 * s - 1]] = [1, 0]
  }
  const [u, v] = [x.slice(0, s), x.slice(s)]
  // The last row of D x = λ x, where x is 1.
  const last = d.subarray((s - 1) * s)
  return { u, v, re: last.reduce((sum, e, j) => sum + e * u[j]!, 0), im: last.reduce((sum, e, j) => sum + e * v[j]!, 0) }
}

/** Inverse of a small matrix, once improved by Newton's rule X ← X (2I − A X). */
function inverseOf(a: Float64Array, s: number): Float64Array {
  const x = new Float64Array(s * s)
  for (let j = 0; j < s; j++) {
    const unit = new Float64Array(s)
    unit[j] = 1
    const column = solveDense(a, unit)
    invariant(column !== null, 'the eigenvectors of a collocation matrix are independent')
    for (let i = 0; i < s; i++) x[i * s + j] = column[i]!
  }
  const rest = multiply(a, x, s, s, s).map((e, at) => (Math.floor(at / s) === at % s ? 2 - e : -e))
  return multiply(x, rest, s, s, s)
}

/** Product of row-major matrices, m × k and k × n. */
export function multiply(a: Float64Array, b: Float64Array, m: number, k: number, n: number, out = new Float64Array(m * n)): Float64Array {
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < n; j++) {
      let sum = 0
      for (let q = 0; q < k; q++) sum += a[i * k + q]! * b[q * n + j]!
      out[i * n + j] = sum
    }
  }
  return out
}

/**
 * Coefficients b_q of the added polynomial x Σ b_q x^q = γ ∫₀^x Π (t − c_i) dt / Π (−c_i). The slope of the collocation polynomial is right at the nodes, so to first
 * order its defect elsewhere is a multiple of Π (x − c_i); the integral vanishes at 1, because the nodes are those of a quadrature.
 */
function addedPolynomial(nodes: Float64Array, gamma: number): Float64Array {
  let product = Float64Array.of(1)
  for (const c of nodes)
    product = Float64Array.from({ length: product.length + 1 }, (_, q) => (product[q - 1] ?? 0) - c * (product[q] ?? 0))
  return product.map((x, q) => (gamma * x) / ((q + 1) * product[0]!))
}

/**
 * z(θ) = θ z_s + θ(1−θ) R(θ): the coefficients of R from its values (z_i − c_i z_s)/(c_i (1 − c_i)) at the inner nodes; and of
 * the added polynomial, whose sums b_0 + … + b_q are what is left of it when θ(1−θ) is taken out.
 */
function denseRows(nodes: Float64Array, added: Float64Array): Float64Array {
  const s = nodes.length
  const wide = s + 1
  const inner = nodes.subarray(0, s - 1)
  const powers = new Float64Array((s - 1) ** 2)
  inner.forEach((c, i) => {
    for (let q = 0; q < s - 1; q++) powers[i * (s - 1) + q] = c ** q
  })
  const toCoefficients = inverseOf(powers, s - 1)
  const rows = new Float64Array(s * wide)
  for (let q = 0; q < s - 1; q++) {
    inner.forEach((c, i) => {
      const weight = toCoefficients[q * (s - 1) + i]! / (c * (1 - c))
      rows[q * wide + i] = weight
      rows[q * wide + s - 1] = rows[q * wide + s - 1]! - weight * c
    })
  }
  let sum = 0
  for (let q = 0; q < s; q++) {
    sum += added[q]!
    rows[q * wide + s] = sum
  }
  return rows
}

function makeCollocation(s: number): Collocation {
  invariant(Number.isInteger(s) && s >= 3 && s % 2 === 1, `a collocation of ${s} stages is not made here`)
  const nodes = radauNodes(s)
  const d = differentiation(nodes)
  const found = eigenvalues(d, s)
  invariant(found !== null, 'the eigenvalues of a collocation matrix are found')
  const alpha: number[] = []
  const beta: number[] = []
  const columns: Float64Array[] = []
  let gamma = 0
  for (let i = 0; i < s; i++) {
    const [re, im] = [found.re[i]!, found.im[i]!]
    if (im < 0) continue
    const pair = eigenvector(d, s, re, im)
    if (im === 0) {
      gamma = pair.re
      columns.unshift(pair.u)
    } else {
      alpha.push(pair.re)
      beta.push(pair.im)
      columns.push(
        pair.u,
        pair.v.map((x) => -x),
      )
    }
  }
  invariant(columns.length === s && gamma > 0, 'a collocation matrix of odd size has one real eigenvalue')
  const t = new Float64Array(s * s)
  columns.forEach((column, j) => column.forEach((x, i) => (t[i * s + j] = x)))
  // Weights at the nodes whose sum with γ⁻¹ f(y) makes no difference to polynomials of degree s: −γ⁻¹ times the Lagrange polynomials of c_1 … c_s at 0.
  const atZero = nodes.map((ci, i) => nodes.reduce((product, cj, j) => (j === i ? product : (product * -cj) / (ci - cj)), -1))
  const added = addedPolynomial(nodes, gamma)
  return {
    stages: s,
    nodes,
    gamma,
    alpha: Float64Array.from(alpha),
    beta: Float64Array.from(beta),
    t,
    tInverse: inverseOf(t, s),
    error: multiply(atZero, d, 1, s, s),
    dense: denseRows(nodes, added),
    added,
    basis: basisFactors(nodes),
  }
}

const made = new Map<number, Collocation>()

/** Worked out at first use and kept. */
export function collocation(stages: number): Collocation {
  const known = made.get(stages)
  if (known !== undefined) return known
  const fresh = makeCollocation(stages)
  made.set(stages, fresh)
  return fresh
}

/**
 * Fills `out` (a row of s + 1 entries for each of `places`, shares of the new step) with the weights that carry the polynomial of a step, the added one included, on
 * into the one that follows, `ratio` times as long: z there = Σ_j out_ij z_j + out_is error, of the old step, counted from its end.
 */
export function extrapolation(from: Collocation, places: Float64Array, ratio: number, out: Float64Array): void {
  const { nodes, stages: s, basis } = from
  const wide = s + 1
  for (let i = 0; i < places.length; i++) {
    const x = 1 + ratio * places[i]!
    let added = 0
    for (let q = s; q >= 0; q--) added = added * x + from.added[q]!
    for (let j = 0; j < s; j++) {
      let product = x * basis[j]!
      for (let q = 0; q < s; q++) if (q !== j) product *= x - nodes[q]!
      out[i * wide + j] = product
    }
    out[i * wide + s - 1] = out[i * wide + s - 1]! - 1
    out[i * wide + s] = added * x
  }
}

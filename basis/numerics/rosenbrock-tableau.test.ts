import { describe, expect, it } from 'vitest'
import { density, type Tree, treesOf } from './rooted-trees.ts'
import { methods, type RosenbrockTableau } from './rosenbrock-tableau.ts'

/** α_ij and γ_ij recovered from the transformed coefficients: Γ⁻¹ = diag(1/γ) − C, α = A Γ. */
function classical(t: RosenbrockTableau) {
  const s = t.a.length
  const gammaMatrix = Array.from({ length: s }, () => Array.from({ length: s }, () => 0))
  // Column by column, forward substitution of (I/γ − C) Γ = I.
  for (let j = 0; j < s; j++) {
    for (let i = j; i < s; i++) {
      let sum = i === j ? 1 : 0
      for (let k = j; k < i; k++) sum += t.c[i]![k]! * gammaMatrix[k]![j]!
      gammaMatrix[i]![j] = sum * t.gamma
    }
  }
  const times = (row: readonly number[]): number[] =>
    Array.from({ length: s }, (_, j) => row.reduce((sum, a, k) => sum + a * gammaMatrix[k]![j]!, 0))
  const alpha = t.a.map((row) => times(row))
  const m = [...t.a[s - 1]!, 1]
  const weights = times(m)
  const embedded = times([...t.a[s - 1]!, 0])
  return { s, gammaMatrix, alpha, weights, embedded, times }
}

/** Φ_i(t): branches at a node with one branch act through β = α + γ, otherwise each through α (Hairer & Wanner II, IV.7, theorem 7.4). */
function elementary(tree: Tree, alpha: number[][], gammaMatrix: number[][]): number[] {
  const s = alpha.length
  return Array.from({ length: s }, (_, i) =>
    tree.reduce((product, branch) => {
      const inner = elementary(branch, alpha, gammaMatrix)
      let sum = 0
      for (let j = 0; j < s; j++) sum += (alpha[i]![j]! + (tree.length === 1 ? gammaMatrix[i]![j]! : 0)) * inner[j]!
      return product * sum
    }, 1),
  )
}

function residuals(t: RosenbrockTableau, weights: readonly number[], order: number, theta = 1): number[] {
  const { alpha, gammaMatrix } = classical(t)
  return treesOf(order).map((tree) => {
    const phi = elementary(tree, alpha, gammaMatrix)
    return weights.reduce((sum, w, i) => sum + w * phi[i]!, 0) - theta ** order / density(tree)
  })
}
const worst = (values: readonly number[]): number => Math.max(...values.map(Math.abs))

it('the trees are as many as known: 1, 1, 2, 4, 9, 20 (Butcher)', () => {
  expect([1, 2, 3, 4, 5, 6].map((n) => treesOf(n).length)).toEqual([1, 1, 2, 4, 9, 20])
})

describe.each(Object.values(methods))('$name', (t) => {
  const { alpha, gammaMatrix, weights, embedded, times, s } = classical(t)
  // Coefficients are printed to 16 digits and are as large as 150; rounding of that size remains in the sums.
  const rounding = 1e-11

  it('meets every order condition up to its order, and not all of the next', () => {
    for (let p = 1; p <= t.order; p++) expect(worst(residuals(t, weights, p)), `order ${p}`).toBeLessThan(rounding)
    expect(worst(residuals(t, weights, t.order + 1))).toBeGreaterThan(1e-5)
  })

  it('has an embedded solution of the stated lower order, and not higher', () => {
    for (let p = 1; p <= t.embeddedOrder; p++) expect(worst(residuals(t, embedded, p)), `order ${p}`).toBeLessThan(rounding)
    expect(worst(residuals(t, embedded, t.embeddedOrder + 1))).toBeGreaterThan(1e-5)
  })

  it('has dense output of the stated order at every θ, and not higher', () => {
    for (const theta of [0.1, 0.35, 0.5, 0.8, 1]) {
      const last = [...t.a[s - 1]!, 1]
      const row = last.map((m, j) => {
        const bow = t.dense.reduceRight((sum, d) => sum * theta + d[j]!, 0)
        return theta * (m + (1 - theta) * bow)
      })
      for (let p = 1; p <= t.denseOrder; p++)
        expect(worst(residuals(t, times(row), p, theta)), `θ ${theta}, order ${p}`).toBeLessThan(rounding)
      if (theta < 1) expect(worst(residuals(t, times(row), t.denseOrder + 1, theta))).toBeGreaterThan(1e-6)
    }
    expect(t.dense).toHaveLength(t.denseRows)
  })

  it('has stage times and time weights that are the row sums', () => {
    for (let i = 0; i < s; i++) {
      expect(alpha[i]!.reduce((x, y) => x + y, 0)).toBeCloseTo(t.alpha[i]!, 12)
      expect(gammaMatrix[i]!.reduce((x, y) => x + y, 0)).toBeCloseTo(t.gammaSum[i]!, 11)
    }
  })

  it('is stiffly accurate: the weights are the last row of α + Γ, and the last α is 1', () => {
    for (let j = 0; j < s; j++) expect(weights[j]!).toBeCloseTo(alpha[s - 1]![j]! + gammaMatrix[s - 1]![j]!, 12)
    expect(t.alpha[s - 1]).toBe(1)
  })

  it('is L-stable: |R(z)| ≤ 1 along the imaginary axis, and R vanishes far to the left', () => {
    for (let k = -40; k <= 60; k++) expect(stability(t, 0, 10 ** (k / 10))).toBeLessThan(1 + 1e-10)
    expect(stability(t, -1e8, 0)).toBeLessThan(1e-6)
    expect(stability(t, -1e8, 1e8)).toBeLessThan(1e-6)
  })
})

/** |R(z)| for y′ = z y, one step of length 1, in complex arithmetic. */
function stability(t: RosenbrockTableau, re: number, im: number): number {
  const s = t.a.length
  const u: [number, number][] = []
  const dRe = 1 / t.gamma - re
  const dIm = -im
  const d2 = dRe * dRe + dIm * dIm
  let yRe = 1
  let yIm = 0
  for (let i = 0; i < s; i++) {
    yRe = 1
    yIm = 0
    let cRe = 0
    let cIm = 0
    for (let j = 0; j < i; j++) {
      yRe += t.a[i]![j]! * u[j]![0]
      yIm += t.a[i]![j]! * u[j]![1]
      cRe += t.c[i]![j]! * u[j]![0]
      cIm += t.c[i]![j]! * u[j]![1]
    }
    const bRe = re * yRe - im * yIm + cRe
    const bIm = re * yIm + im * yRe + cIm
    u.push([(bRe * dRe + bIm * dIm) / d2, (bIm * dRe - bRe * dIm) / d2])
  }
  return Math.hypot(yRe + u[s - 1]![0], yIm + u[s - 1]![1])
}

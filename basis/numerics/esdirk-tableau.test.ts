import { describe, expect, it } from 'vitest'
import { esdirk5 } from './esdirk-tableau.ts'
import { density, type Tree, treesOf } from './rooted-trees.ts'

const { gamma, nodes, a, error, dense } = esdirk5
const stages = nodes.length
const full = a.map((row, i) => Array.from({ length: stages }, (_, j) => row[j] ?? (i === j && i > 0 ? gamma : 0)))
const weights = full[stages - 1]!
const embedded = weights.map((b, i) => b - error[i]!)

/** Φ_i(t) = Π over the branches of Σ_j a_ij Φ_j(branch). */
function elementary(tree: Tree): number[] {
  const inner = tree.map((branch) => elementary(branch))
  return full.map((row) => inner.reduce((product, phi) => product * row.reduce((sum, x, j) => sum + x * phi[j]!, 0), 1))
}
const worst = (b: readonly number[], order: number, theta = 1): number =>
  Math.max(
    ...treesOf(order).map((tree) => {
      const phi = elementary(tree)
      return Math.abs(b.reduce((sum, x, i) => sum + x * phi[i]!, 0) - theta ** order / density(tree))
    }),
  )

/** Weights of the dense output at θ. */
const inside = (theta: number): number[] =>
  weights.map((b, i) => theta * (b + (1 - theta) * (dense[0]![i]! + theta * (dense[1]![i]! + theta * dense[2]![i]!))))

describe('the diagonally implicit method of the sensitivities', () => {
  it('meets every order condition to order 5, its embedded solution to order 4 and not to 5', () => {
    for (let order = 1; order <= 5; order++) expect(worst(weights, order), `order ${order}`).toBeLessThan(1e-14)
    for (let order = 1; order <= 4; order++) expect(worst(embedded, order), `order ${order}`).toBeLessThan(1e-14)
    expect(worst(embedded, 5)).toBeGreaterThan(1e-4)
    expect(worst(weights, 6)).toBeGreaterThan(1e-5)
  })

  it('has stage order two: Σ a_ij c_j = c_i²/2', () => {
    for (const [i, c] of nodes.entries()) {
      expect(Math.abs(full[i]!.reduce((sum, x) => sum + x, 0) - c)).toBeLessThan(1e-15)
      expect(Math.abs(full[i]!.reduce((sum, x, j) => sum + x * nodes[j]!, 0) - (c * c) / 2)).toBeLessThan(1e-15)
    }
  })

  it('has dense output of order 4 with the slopes of both ends', () => {
    for (const theta of [0.1, 0.35, 0.5, 0.8, 0.97]) {
      for (let order = 1; order <= 4; order++) expect(worst(inside(theta), order, theta), `order ${order} at ${theta}`).toBeLessThan(1e-13)
    }
    const h = 1e-5
    const slope = (theta: number): number[] => inside(theta + h).map((x, i) => (x - inside(theta - h)[i]!) / (2 * h))
    slope(0).forEach((x, i) => expect(x).toBeCloseTo(i === 0 ? 1 : 0, 8))
    slope(1).forEach((x, i) => expect(x).toBeCloseTo(i === stages - 1 ? 1 : 0, 8))
  })

  it('is L-stable: |R(iy)| ≤ 1 on the imaginary axis, R(−∞) = 0', () => {
    // R(z) from its stages: U_i = z s_i, s_i (1 − γ z) = 1 + z Σ a_ij s_j
    const stability = (re: number, im: number): number => {
      const s: (readonly [number, number])[] = []
      for (let i = 0; i < stages; i++) {
        let [sumRe, sumIm] = [0, 0]
        for (let j = 0; j < i; j++) {
          sumRe += full[i]![j]! * s[j]![0]
          sumIm += full[i]![j]! * s[j]![1]
        }
        const [p, q] = [1 + re * sumRe - im * sumIm, re * sumIm + im * sumRe]
        const [u, v] = [1 - full[i]![i]! * re, -full[i]![i]! * im]
        const d = u * u + v * v
        s.push([(p * u + q * v) / d, (q * u - p * v) / d])
      }
      return Math.hypot(...s[stages - 1]!)
    }
    for (let y = 0.01; y < 1e4; y *= 1.05) expect(stability(0, y), `y ${y}`).toBeLessThan(1 + 1e-12)
    expect(stability(-1e8, 0)).toBeLessThan(1e-6)
    // the exponential itself, to the order of the method
    expect(Math.abs(stability(-0.1, 0) - Math.exp(-0.1))).toBeLessThan(1e-8)
  })
})

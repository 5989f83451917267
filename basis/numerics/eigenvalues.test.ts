import { describe, expect, it } from 'vitest'
import { eigenvalues } from './eigenvalues.ts'
import { randomStream } from './random.ts'

function check(rows: readonly (readonly number[])[], expected: readonly (readonly [re: number, im: number])[], within = 1e-12): void {
  const found = eigenvalues(rows.flat(), rows.length)
  expect(found).not.toBeNull()
  if (found === null) return
  expected.forEach(([re, im], i) => {
    const size = Math.max(1, Math.hypot(re, im))
    expect(Math.abs(found.re[i]! - re) / size, `re ${i}: ${found.re[i]} for ${re}`).toBeLessThan(within)
    expect(Math.abs(found.im[i]! - im) / size, `im ${i}: ${found.im[i]} for ${im}`).toBeLessThan(within)
  })
}

describe('eigenvalues', () => {
  it('of small matrices, by hand', () => {
    check([[3]], [[3, 0]])
    check(
      [
        [0, 1],
        [-1, 0],
      ],
      [
        [0, 1],
        [0, -1],
      ],
    )
    check(
      [
        [2, 0],
        [5, -7],
      ],
      [
        [2, 0],
        [-7, 0],
      ],
    )
  })

  it('of a companion matrix are the roots of (x-1)(x-2)(x-3)((x+1)^2+4)', () => {
    // x^5 - 4x^4 + 4x^3 - 14x^2 + 43x - 30, multiplied out by hand
    check(
      [
        [4, -4, 14, -43, 30],
        [1, 0, 0, 0, 0],
        [0, 1, 0, 0, 0],
        [0, 0, 1, 0, 0],
        [0, 0, 0, 1, 0],
      ],
      [
        [3, 0],
        [2, 0],
        [1, 0],
        [-1, 2],
        [-1, -2],
      ],
    )
  })

  it('of a cyclic shift are the roots of one, where plain double shifts stand still', () => {
    for (const n of [3, 4, 7, 12]) {
      const rows = Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (j === (i + 1) % n ? 1 : 0)))
      const found = eigenvalues(rows.flat(), n)!
      // Each root of one is met once: the angles, sorted, stand 2π/n apart.
      const angles = Array.from(found.re, (re, i) => Math.atan2(found.im[i]!, re)).sort((a, b) => a - b)
      for (let i = 0; i < n; i++) expect(Math.hypot(found.re[i]!, found.im[i]!)).toBeCloseTo(1, 12)
      for (let i = 1; i < n; i++) expect(angles[i]! - angles[i - 1]!).toBeCloseTo((2 * Math.PI) / n, 11)
    }
  })

  it('of the second-difference matrix: -2 + 2 cos(i pi/(n+1)) (any text on finite differences)', () => {
    const n = 15
    const rows = Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (i === j ? -2 : Math.abs(i - j) === 1 ? 1 : 0)))
    check(
      rows,
      Array.from({ length: n }, (_, i) => [-2 + 2 * Math.cos(((i + 1) * Math.PI) / (n + 1)), 0] as const),
    )
  })

  it('keeps the small ones of a matrix whose units differ by twenty decades', () => {
    // D A D^-1 with A = [[-1, 1, 0], [1, -3, 1], [0, 1, -1]]: -1, -2 ± sqrt(3)
    const d = [1e-10, 1, 1e10]
    const a = [
      [-1, 1, 0],
      [1, -3, 1],
      [0, 1, -1],
    ]
    check(
      a.map((row, i) => row.map((x, j) => (x * d[i]!) / d[j]!)),
      [
        [Math.sqrt(3) - 2, 0],
        [-1, 0],
        [-2 - Math.sqrt(3), 0],
      ],
    )
  })

  it('sums to the trace and multiplies to the determinant, for random matrices of kinetics size', () => {
    const random = randomStream(7, 'eigenvalues')
    for (let round = 0; round < 60; round++) {
      const n = 2 + Math.floor(random.uniform() * 18)
      const a = Array.from({ length: n * n }, () => random.normal(0, 1))
      const found = eigenvalues(a, n)!
      let trace = 0
      let square = 0
      for (let i = 0; i < n; i++) {
        trace += a[i * n + i]!
        for (let j = 0; j < n; j++) square += a[i * n + j]! * a[j * n + i]!
      }
      const sum = found.re.reduce((x, y) => x + y, 0)
      const squares = found.re.reduce((x, re, i) => x + re * re - found.im[i]! ** 2, 0)
      expect(Math.abs(sum - trace)).toBeLessThan(1e-11 * n)
      expect(Math.abs(squares - square)).toBeLessThan(1e-10 * n * n)
    }
  })

  it('refuses what is not finite', () => {
    expect(eigenvalues([1, Number.NaN, 0, 1], 2)).toBeNull()
    expect(eigenvalues([1, Infinity, 0, 1], 2)).toBeNull()
    expect(Array.from(eigenvalues([0, 0, 0, 0], 2)!.re)).toEqual([0, 0])
  })
})

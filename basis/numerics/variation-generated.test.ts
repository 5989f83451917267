import { describe, expect, it } from 'vitest'
import { esdirk5 } from './esdirk-tableau.ts'
import { createIntegratorFor, kernelFor } from './integrator.ts'
import type { OdeSystem } from './ode.ts'
import { createProductSystem, type ProductRate } from './product-system.ts'
import { randomStream } from './random.ts'
import { createStaggeredKernel } from './staggered-kernel.ts'
import { createGeneratedVariationWork } from './variation-generated.ts'
import { createVariationWork, type VariationWork } from './variation-work.ts'
import { varyByDifferences, type VariedSystem } from './varied-system.ts'

/** Closed chains and rings of mass action with constants over six decades. */
function randomSystem(seed: number, size: number): OdeSystem {
  const random = randomStream(seed, 'variations')
  const pick = (): number => Math.floor(random.uniform() * size)
  const rates = Array.from({ length: 3 * size }, (): ProductRate => {
    const [a, b, c, d] = [pick(), pick(), pick(), pick()]
    const factors = random.uniform() < 0.5 ? [a] : [a, b]
    const to = factors.length === 1 ? [c] : [c, d]
    const changes = new Map<number, number>()
    for (const i of factors) changes.set(i, (changes.get(i) ?? 0) - 1)
    for (const i of to) changes.set(i, (changes.get(i) ?? 0) + 1)
    return { constant: 10 ** (6 * random.uniform() - 3), factors, changes: [...changes].filter(([, change]) => change !== 0) }
  })
  return createProductSystem(
    size,
    rates.filter((r) => r.changes.length > 0),
  )
}
/** Start values as parameters, every other component. */
function varied(system: OdeSystem, count: number): VariedSystem {
  const plain = varyByDifferences(
    system,
    Array.from({ length: count }, () => null),
  )
  return { ...plain, ...system }
}

describe('generated code for the variational equations', () => {
  it('gives what the tables give, to the last bit', () => {
    for (const [seed, size, count] of [
      [1, 3, 1],
      [2, 4, 2],
      [3, 7, 5],
      [4, 12, 8],
      [5, 25, 3],
    ] as const) {
      const system = varied(randomSystem(seed, size), count)
      const z0 = new Float64Array(size * (count + 1))
      for (let i = 0; i < size; i++) z0[i] = 0.1 + i / size
      for (let k = 0; k < count; k++) z0[(k + 1) * size + (k % size)] = 1
      const runWith = (work: VariationWork) =>
        createIntegratorFor(createStaggeredKernel(system, kernelFor(system, 'rodas5p'), { work })).run({
          fromS: 0,
          toS: 3,
          y0: z0,
          tolerances: { relative: 1e-5, absolute: 1e-8, nonNegative: 'none' },
        })
      const generated = createGeneratedVariationWork(system, esdirk5)
      expect(generated).not.toBeNull()
      const [ours, theirs] = [runWith(generated!), runWith(createVariationWork(system, esdirk5))]
      expect(ours.ending.how).toBe('reached-end')
      expect(ours.statistics).toEqual(theirs.statistics)
      const times = [0, 0.01, 0.3, 1.7, 2.99, 3]
      ours.sample(times).forEach((x, i) => expect(x + 0).toBe(theirs.sample(times)[i]! + 0))
    }
  })

  it('leaves a stage whose fixed pivots fail to dense ones', () => {
    // y1' = k y2, y2' = k y1 with h k far above one: the diagonal pivot cancels
    const system = varied(
      createProductSystem(2, [
        { constant: 1e14, factors: [0], changes: [[1, 1]] },
        { constant: 1e14, factors: [1], changes: [[0, 1]] },
      ]),
      2,
    )
    const generated = createGeneratedVariationWork(system, esdirk5)!
    const tables = createVariationWork(system, esdirk5)
    for (const work of [generated, tables]) {
      expect(work.factor(0, Float64Array.of(1, 1), 1)).toBe(true)
      expect(work.counts[4]).toBe(1)
      work.start.set([1, 0, 0, 1])
      work.slope.fill(0)
      work.begin(1)
      work.stage(1, 1)
    }
    // (I − k [0 1; 1 0])⁻¹ = −(1/(k² − 1)) [1 k; k 1]
    expect(generated.end[1]! / -1e-14).toBeCloseTo(1, 12)
    expect([...generated.end]).toEqual([...tables.end])
  })

  it('is not to be had for a system that can only be called', () => {
    const plain = randomSystem(9, 4)
    const { emittable: _, ...called } = plain
    expect(createGeneratedVariationWork(varied(called, 2), esdirk5)).toBeNull()
  })
})

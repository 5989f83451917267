import { describe, expect, it } from 'vitest'
import { randomCase, runCase } from './random-network.ts'
import { compileNetwork } from './compile-network.ts'

const SEEDS = Array.from({ length: 150 }, (_, i) => 20_001 + i)

describe('random networks', () => {
  it('are the same for the same seed', () => {
    expect(JSON.stringify(randomCase(5))).toBe(JSON.stringify(randomCase(5)))
    expect(JSON.stringify(randomCase(5))).not.toBe(JSON.stringify(randomCase(6)))
  })

  it('are balanced, and reach from 1e-20 to 1e20', () => {
    let smallest = Infinity
    let largest = 0
    for (const seed of SEEDS) {
      const { mechanism } = randomCase(seed)
      const of = new Map(mechanism.species.map((s) => [s.id, s]))
      for (const step of mechanism.steps) {
        const net = new Map<string, number>()
        const book = (sign: number) => (t: { readonly species: string; readonly coefficient: number }) => {
          const { composition, charge } = of.get(t.species)!
          for (const [key, n] of [...Object.entries(composition ?? {}), ['charge', charge] as const]) {
            net.set(key, (net.get(key) ?? 0) + sign * n * t.coefficient)
          }
        }
        step.reactants.forEach(book(-1))
        step.products.forEach(book(1))
        expect(
          [...net.values()].every((n) => n === 0),
          `seed ${seed} ${step.id}`,
        ).toBe(true)
        for (const c of step.constants) {
          smallest = Math.min(smallest, c.value)
          largest = Math.max(largest, c.value)
        }
      }
    }
    expect(smallest).toBeLessThan(1e-18)
    expect(largest).toBeGreaterThan(1e18)
  })

  it('end by name, in finite numbers, not below zero, with their totals', () => {
    const endings = new Set<string>()
    const byMethod = new Map<string, number>()
    let drift = 0
    for (const seed of SEEDS) {
      const started = Date.now()
      const fuzz = randomCase(seed)
      byMethod.set(fuzz.method, (byMethod.get(fuzz.method) ?? 0) + 1)
      const verdict = runCase(fuzz, () => Date.now() - started > 20_000)
      expect(verdict.faults, `seed ${seed}`).toEqual([])
      endings.add(verdict.ending.how)
      drift = Math.max(drift, verdict.drift)
    }
    expect(endings.has('reached-end')).toBe(true)
    // every method takes its share
    for (const method of ['rodas4', 'rodas5p', 'radau']) expect(byMethod.get(method), method).toBeGreaterThan(SEEDS.length / 5)
    expect(drift).toBeLessThan(1e-12)
  })

  it('have totals whose weights are exact: what rounding leaves of a zero would pass for a share (seed 2901 of the fuzz)', () => {
    for (const seed of [2901, 3680, 5640, 6195, 8225, 8533]) {
      const fuzz = randomCase(seed)
      const network = compileNetwork(fuzz.mechanism, fuzz.heat, fuzz.processes, fuzz.enthalpies)
      for (const { weights } of network.conserved) for (const w of weights) expect(w === 0 || Math.abs(w) > 1e-6).toBe(true)
      expect(runCase(fuzz).faults, `seed ${seed}`).toEqual([])
    }
  })

  it('hold a trace that is a total alone to its own digits, however much bulk stands beside it (seeds that the fuzz found)', () => {
    // bulk and trace share elements and differ by nine powers of ten and more
    for (const seed of [442, 680, 803, 1383, 1410]) {
      const verdict = runCase(randomCase(seed))
      expect(verdict.ownDrift, `seed ${seed}`).toBeLessThan(1e-12)
      expect(verdict.faults, `seed ${seed}`).toEqual([])
    }
  })

  it('hold totals and floors at once with radau: a step whose total cannot be put right is taken again (seeds that the fuzz found)', () => {
    for (const seed of [30_223, 33_288, 34_443, 35_103]) {
      const verdict = runCase({ ...randomCase(seed), method: 'radau' })
      expect(verdict.faults, `seed ${seed}`).toEqual([])
      // amounts that grow ten thousandfold at first are held to the rounding they have then
      if (seed === 34_443) expect(verdict.ending.how).toBe('reached-end')
    }
  })

  it('are judged: a law that does not vanish stops the run by name, a run that takes too long is a fault', () => {
    const good = randomCase(20_005, 'plain')
    const first = good.mechanism.steps[0]!
    const constant = { name: 'k', value: 1, unit: '1', activationKJPerMol: null, status: 'assumed', seen: 'assumed', sources: [] } as const
    const always = {
      ...first,
      reversible: false,
      constants: [constant],
      law: { kind: 'expression', text: '', expression: { op: 'constant', name: 'k' } },
    } as const
    const verdict = runCase({ ...good, toS: 1e6, mechanism: { ...good.mechanism, steps: [always] } })
    // the integrator rejects, and names why
    expect(verdict.ending.how).toBe('stopped-short')
    expect(verdict.faults).toEqual([])
    // asked to stop: told as a fault
    const slow = runCase(good, () => true)
    expect(slow.ending.how === 'stopped-short' ? slow.faults : ['took too long']).toEqual(['took too long'])
  })
})

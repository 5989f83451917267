import { describe, expect, it } from 'vitest'
import { createIntegrator, type IntegratorName } from './integrator.ts'
import { correctDigits, e5, robertson, type StiffProblem, stiffTestSet } from './test-set.ts'

function solve(problem: StiffProblem, method: IntegratorName, relative: number) {
  const last = problem.values.at(-1)!
  return createIntegrator(problem.system, method).run({
    fromS: 0,
    toS: last.timeS,
    y0: problem.y0,
    tolerances: { relative, absolute: problem.absolute(relative), nonNegative: problem.nonNegative },
    sample: problem.values.map((v) => v.timeS),
    keep: 'samples',
  })
}

function digits(problem: StiffProblem, method: IntegratorName, relative: number): number {
  const run = solve(problem, method, relative)
  expect(run.ending.how).toBe('reached-end')
  expect(run.sampledCount).toBe(problem.values.length)
  const each = problem.values.map((v, i) => correctDigits(problem, v.y, run.sampled.subarray(i * v.y.length, (i + 1) * v.y.length)))
  return Math.min(...each)
}

/**
 * What rounding leaves. Robertson's first component turns over at 0.04/s while it falls as 1/t: at 1e11 s the two opposed rates differ by 2.5e-10 of
 * themselves, so a double leaves 1.1e-16/2.5e-10, six and a half digits, of their difference.
 */
const sureDigits = (problem: StiffProblem): number => (problem === robertson ? 6.3 : 16)

describe.each(['rodas4', 'rodas5p', 'radau'] as const)('published stiff problems with %s', (method) => {
  it.each(stiffTestSet.map((p) => [p.name, p] as const))('%s: about as many digits as asked for, at every tolerance', (_name, problem) => {
    for (const wanted of [3, 5, 7, 9]) {
      // A global error may be some tens of local tolerances on an oscillator; two digits are allowed for that.
      const reached = digits(problem, method, 10 ** -wanted)
      expect(reached, `${problem.name} at 1e-${wanted}`).toBeGreaterThan(Math.min(wanted - 2, sureDigits(problem)))
    }
  })

  it.each(stiffTestSet.filter((p) => p !== e5).map((p) => [p.name, p] as const))(
    '%s: each decade of tolerance gains digits in proportion',
    (_name, problem) => {
      // Least squares over five decades: one lucky run must not decide, and which run is lucky differs between engines,
      // whose powers and exponentials differ in the last bit.
      const decades = [4, 5, 6, 7, 8]
      const reached = decades.map((d) => digits(problem, method, 10 ** -d))
      const mean = reached.reduce((sum, x) => sum + x, 0) / reached.length
      const slope =
        decades.reduce((sum, d, i) => sum + (d - 6) * (reached[i]! - mean), 0) / decades.reduce((sum, d) => sum + (d - 6) ** 2, 0)
      expect(slope).toBeGreaterThan(0.6)
      expect(slope).toBeLessThan(1.6)
    },
  )
})

it('E5 reaches six digits with its invariant used, where four variables reach none', () => {
  expect(digits(e5, 'rodas5p', 1e-8)).toBeGreaterThan(6)
})

it('reaches the published value of the Oregonator and of HIRES to ten digits at a tight tolerance', () => {
  for (const problem of stiffTestSet.filter((p) => p.name === 'Oregonator' || p.name === 'HIRES')) {
    for (const method of ['rodas5p', 'radau'] as const)
      expect(digits(problem, method, 1e-12), `${problem.name} ${method}`).toBeGreaterThan(10)
  }
})

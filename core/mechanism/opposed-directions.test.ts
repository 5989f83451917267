import { expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { createIntegrator } from '@beakertide/basis/numerics'
import { compileNetwork } from './compile-network.ts'
import { parseMechanism } from './parse-mechanism.ts'

it('the two directions of a fast step cancel alike in every row: conserved totals change by rounding of the net amounts only', () => {
  const parsed = parseMechanism(facts.mechanisms().find((f) => f.name === 'iodate-peroxide-malonate/extended')!.text, 'extended.yaml')
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems))
  const network = compileNetwork(parsed.value, { kind: 'held', temperatureK: 298.15 })
  for (const name of network.heldNames) network.hold(name, 0.05)
  const amounts: Readonly<Record<string, number>> = {
    'H+': 0.05,
    'IO3-': 0.067,
    'I-': 1e-6,
    H2O2: 1.3,
    'Mn2+': 6.7e-3,
    MA: 0.05,
    'SO4^2-': 0.02,
  }
  const y0 = Float64Array.from(network.stateNames, (name) => amounts[name] ?? 0)
  const run = createIntegrator(network, 'rodas5p').run({ fromS: 0, toS: 5, y0, tolerances: { relative: 1e-7, absolute: 1e-15 } })
  const each = new Float64Array(network.rateNames.length)
  network.stepRates(0, run.end, each)
  const turnover = Math.max(...each)
  const change = new Float64Array(network.size)
  network.rates(0, run.end, change)
  let seen = 0
  for (const { weights } of network.conserved) {
    const net = weights.reduce((sum, w, i) => sum + w * change[i]!, 0)
    const gross = weights.reduce((sum, w, i) => sum + Math.abs(w * change[i]!), 0)
    if (gross === 0) continue
    seen++
    // A last bit of one direction, left in one row only, would show by far.
    expect(turnover * Number.EPSILON).toBeGreaterThan(1e-14 * gross * 100)
    expect(Math.abs(net) / gross).toBeLessThan(1e-14)
  }
  expect(seen).toBeGreaterThan(2)
})

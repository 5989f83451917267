import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import {
  createGeneratedKernel,
  createGeneratedRadauKernel,
  createIntegrator,
  createIntegratorFor,
  createRadauKernel,
  createRosenbrockKernel,
  type IntegratorName,
  type MethodName,
  methods,
  randomStream,
  type RunRequest,
} from '@beakertide/basis/numerics'
import { compileNetwork } from './compile-network.ts'
import type { Step } from './mechanism.ts'
import type { HeatModel, Network, VesselProcess } from './network.ts'
import { parseExpression } from './expression.ts'
import { parseMechanism } from './parse-mechanism.ts'

const heldHeat: HeatModel = { kind: 'held', temperatureK: 297 }
const freeHeat: HeatModel = { kind: 'free', roomK: 293, heatCapacityJPerLK: 4100, lossPerS: 2e-3 }
const processes: readonly VesselProcess[] = [
  { kind: 'gas-leaves', species: 'O2', saturationMolPerL: 1.2e-3, ratePerS: 0.2 },
  { kind: 'solid-forms', species: 'I2', solubilityMolPerL: 1.3e-3, ratePerS: 0.5 },
]
const heats: Readonly<Record<string, number>> = { 'O2(g)': 12, 'I2(s)': -22 }

function read(text: string, file = 'test.yaml') {
  const parsed = parseMechanism(text, file)
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems))
  return parsed.value
}

/** A state of ordinary strength, the same for the same seed. */
function startOf(network: Network, seed: number): Float64Array {
  const random = randomStream(seed, 'start')
  for (const name of network.heldNames) network.hold(name, 0.02 + 0.1 * random.uniform())
  return Float64Array.from(network.stateNames, (name) =>
    name === 'temperature' ? 295 + 10 * random.uniform() : 0.05 * random.uniform() ** 2,
  )
}

/** Runs both engines on the same network; everything they report must be equal. */
function compare(network: Network, method: IntegratorName, y0: Float64Array, toS: number, more: Partial<RunRequest> = {}): void {
  const code = method === 'radau' ? createGeneratedRadauKernel(network) : createGeneratedKernel(network, methods[method])
  const reference = method === 'radau' ? createRadauKernel(network) : createRosenbrockKernel(network, methods[method])
  expect(code).not.toBe(null)
  const request: RunRequest = { fromS: 0, toS, y0, tolerances: { relative: 1e-4, absolute: 1e-13 }, mostSteps: 1500, ...more }
  const tables = createIntegratorFor(reference).run(request)
  const generated = createIntegratorFor(code!).run(request)
  expect(generated.ending).toEqual(tables.ending)
  expect(generated.statistics).toEqual(tables.statistics)
  expect(generated.drift).toEqual(tables.drift)
  expect(Array.from(generated.end, (x) => x + 0)).toEqual(Array.from(tables.end, (x) => x + 0))
  const middle = [0.31 * tables.toS, 0.77 * tables.toS]
  expect(Array.from(generated.sample(middle), (x) => x + 0)).toEqual(Array.from(tables.sample(middle), (x) => x + 0))
}

describe.each(facts.mechanisms())('$name', ({ text, file }) => {
  const mechanism = read(text, file)
  for (const heat of [heldHeat, freeHeat]) {
    for (const method of [...(Object.keys(methods) as MethodName[]), 'radau'] as const) {
      it(`temperature ${heat.kind}, ${method}: code and tables agree to the last bit, vessel processes and totals included`, () => {
        const warmth = Object.fromEntries(mechanism.steps.map((s, i) => [s.id, -20 - 7 * i]))
        const network = compileNetwork(mechanism, heat, processes, { ...heats, ...warmth })
        compare(network, method, startOf(network, 5), 20, { invariants: network.conserved })
      })
    }
  }
})

describe('numbers of a network that change after code was made', () => {
  const mechanism = read(facts.mechanisms().find((f) => f.name === 'iodate-peroxide-malonate/extended')!.text)
  /** The same changes on two networks: one integrator made before them, from code; one after them, from tables. */
  function afterChange(heat: HeatModel, change: (network: Network) => void): void {
    const network = compileNetwork(mechanism, heat, processes, heats)
    const other = compileNetwork(mechanism, heat, processes, heats)
    const request: RunRequest = { fromS: 0, toS: 5, y0: startOf(network, 3), tolerances: { relative: 1e-4, absolute: 1e-13 }, keep: 'end' }
    startOf(other, 3)
    const integrator = createIntegrator(network)
    const before = integrator.run(request)
    change(network)
    change(other)
    const after = integrator.run(request)
    const tables = createIntegratorFor(createRosenbrockKernel(other, methods.rodas4)).run(request)
    expect(Array.from(after.end)).toEqual(Array.from(tables.end))
    expect(Array.from(after.end)).not.toEqual(Array.from(before.end))
  }
  const constant = compileNetwork(mechanism, heldHeat).constantNames[0]!
  it('a rate constant, by factor and by value', () => {
    for (const heat of [heldHeat, freeHeat]) {
      afterChange(heat, (network) => network.scaleConstant(constant, 1.7))
      afterChange(heat, (network) => network.setConstant(constant, 1e9))
    }
  })
  it('temperature, heat capacity, room and loss', () => {
    afterChange(freeHeat, (network) => network.setHeat({ kind: 'free', roomK: 310, heatCapacityJPerLK: 2000, lossPerS: 0.1 }))
  })
  it('the limit and the speed of a vessel process', () => {
    afterChange(heldHeat, (network) => network.setProcess(0, 1e-5, 3))
  })
  it('a held species; one that was never set is not a number and is found at the start', () => {
    const steps = facts.mechanisms().find((f) => read(f.text).species.some((s) => s.role === 'held'))!
    const network = compileNetwork(read(steps.text), heldHeat)
    const integrator = createIntegrator(network)
    const y0 = Float64Array.from(network.stateNames, () => 0.01)
    const request: RunRequest = { fromS: 0, toS: 1, y0, tolerances: { relative: 1e-4, absolute: 1e-13 } }
    const forgotten = integrator.run(request).ending
    expect(forgotten.how === 'stopped-short' && forgotten.why).toBe('not-finite')
    for (const name of network.heldNames) network.hold(name, 0.05)
    const first = integrator.run(request)
    expect(first.ending.how).toBe('reached-end')
    network.hold(network.heldNames[0]!, 0.5)
    expect(Array.from(integrator.run(request).end)).not.toEqual(Array.from(first.end))
    compare(network, 'rodas4', y0, 1)
  })
  it('at a break, in the middle of a run', () => {
    const runWith = (code: boolean): Float64Array => {
      const network = compileNetwork(mechanism, freeHeat, processes, heats)
      const y0 = startOf(network, 8)
      const kernel = code ? createGeneratedKernel(network, methods.rodas5p)! : createRosenbrockKernel(network, methods.rodas5p)
      const breaks = [
        { timeS: 2, change: (_t: number, y: Float64Array) => (network.scaleConstant(constant, 0.3), void (y[0] = 0.5 * y[0]!)) },
      ]
      return createIntegratorFor(kernel).run({ fromS: 0, toS: 4, y0, tolerances: { relative: 1e-5, absolute: 1e-14 }, breaks }).end
    }
    expect(Array.from(runWith(true))).toEqual(Array.from(runWith(false)))
  })
})

describe('laws that are no sums of products', () => {
  /** Expressions that stay finite for concentrations of 0 and more. */
  const leaf = fc.constantFrom('[A]', '[B]', '[C]', 'k', '0.5', '2', 'T/300')
  const law = fc.letrec<{ e: string }>((tie) => ({
    e: fc.oneof(
      { depthSize: 'small' },
      leaf,
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `(${a} + ${b})`),
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `(${a} - 0.25*${b})`),
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `${a}*${b}`),
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `(${a})/(1 + (${b})^2)`),
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `min(${a}, ${b})`),
      fc.tuple(tie('e'), tie('e')).map(([a, b]) => `max(${a}, ${b})`),
      tie('e').map((a) => `sqrt(${a})`),
      tie('e').map((a) => `exp(-(${a}))`),
      tie('e').map((a) => `ln(1 + (${a})^2)`),
      tie('e').map((a) => `log10(2 + (${a})^2)`),
      tie('e').map((a) => `(${a})^3`),
      tie('e').map((a) => `(${a})^1.5`),
      fc.tuple(tie('e'), leaf).map(([a, b]) => `(1 + (${a})^2)^(${b})`),
    ),
  })).e
  const base = read(facts.mechanisms().find((f) => f.name === 'permanganate-oxalate/lumped')!.text)
  const names = base.species.filter((s) => s.role === 'dynamic').map((s) => s.id)
  const placed = (text: string): string =>
    text.replaceAll('[A]', `[${names[0]}]`).replaceAll('[B]', `[${names[1]}]`).replaceAll('[C]', `[${names[2]}]`)

  it('random expressions: whole runs agree to the last bit, temperature held and free', () => {
    let withPrograms = 0
    fc.assert(
      fc.property(
        fc.array(law, { minLength: 1, maxLength: base.steps.length }),
        fc.boolean(),
        fc.integer({ min: 0, max: 1000 }),
        (laws, free, seed) => {
          const steps = base.steps.map((step, i): Step => {
            const text = laws[i]
            if (text === undefined) return step
            const expression = parseExpression(placed(text), { where: 'test' })
            if (!expression.ok) throw new Error(JSON.stringify(expression.problems))
            const constants = [{ ...step.constants[0]!, name: 'k', value: 0.7, activationKJPerMol: 30 }]
            return { ...step, reversible: false, constants, law: { kind: 'expression', text, expression: expression.value } }
          })
          const network = compileNetwork({ ...base, steps }, free ? freeHeat : heldHeat, [], { [steps[0]!.id]: -50 })
          if (network.tables.auxiliarySlot.length > 0) withPrograms++
          compare(network, 'rodas4', startOf(network, seed), 3, {
            mostSteps: 60,
            tolerances: { relative: 1e-3, absolute: 1e-6, nonNegative: 'none' },
          })
        },
      ),
      { numRuns: 200, seed: 4 },
    )
    expect(withPrograms).toBeGreaterThan(100)
  })
})

/** Every mechanism of the catalogue goes out as SBML text and comes back: same rates, same course, same mechanism. */
import { describe, expect, it } from 'vitest'
import { createIntegrator, randomStream } from '@beakertide/basis/numerics'
import { invariant } from '@beakertide/basis/problems'
import { facts } from '@beakertide/data'
import { compileNetwork } from '../compile-network.ts'
import type { Mechanism } from '../mechanism.ts'
import type { HeatModel, Network } from '../network.ts'
import { parseMechanism } from '../parse-mechanism.ts'
import { stepEnthalpies } from '../step-enthalpies.ts'
import { assemble, type Assembled } from './assemble.ts'
import { mechanismOf } from './exchange-to-mechanism.ts'
import { type ExportOptions, exchangeOf } from './mechanism-to-exchange.ts'
import { readExchange } from './read-exchange.ts'
import { runExchange } from './run-exchange.ts'
import { writeExchange } from './write-exchange.ts'

const catalogue: readonly (readonly [string, Mechanism])[] = facts.mechanisms().map((f) => {
  const parsed = parseMechanism(f.text, f.file)
  invariant(parsed.ok, `${f.name} does not parse`)
  return [f.name, parsed.value]
})

function throughText(mechanism: Mechanism, options: ExportOptions): Assembled {
  const model = exchangeOf(mechanism, options)
  invariant(model.ok, 'not exported')
  const read = readExchange(writeExchange(model.value), 'out.xml')
  invariant(read.ok, read.ok ? '' : read.problems.map((p) => `${p.where}: ${p.what}`).join('\n'))
  const built = assemble(read.value)
  invariant(built.ok, built.ok ? '' : built.problems.map((p) => p.what).join('\n'))
  return built.value
}
/** The network's rates of change by the identifiers of the file: all amounts, in a vessel of one litre. */
function changesOf(model: Assembled, values: ReadonlyMap<string, number>): ReadonlyMap<string, number> {
  const named = new Map(model.model.species.map((s) => [s.id, s.name ?? s.id]))
  for (const q of [...model.states, ...model.kept]) {
    const value = values.get(named.get(q.symbol) ?? q.symbol)
    if (value !== undefined) model.tape.set(q.input, value)
  }
  model.kept.forEach((q, i) => {
    if (!values.has(named.get(q.symbol) ?? q.symbol)) model.tape.set(q.input, model.startOfKept[i]!)
  })
  model.tape.run(model.tape.programFor(model.stateRates))
  return new Map(model.states.map((q, i) => [named.get(q.symbol) ?? q.symbol, model.tape.values[model.stateRates[i]!]!]))
}

describe.each(catalogue)('%s', (_name, mechanism) => {
  const random = randomStream(20261125, 'exchange')
  const states = Array.from({ length: 20 }, () => new Map(mechanism.species.map((s) => [s.id, 10 ** (-9 + 9 * random.uniform())])))
  const held: HeatModel = { kind: 'held', temperatureK: mechanism.referenceK + 7 }

  /** Rates of change of all dynamic species by the network, and how large the rates behind them are together. */
  function networkChanges(network: Network, values: ReadonlyMap<string, number>): { changes: ReadonlyMap<string, number>; gross: number } {
    for (const species of network.heldNames) network.hold(species, values.get(species)!)
    const y = Float64Array.from(network.stateNames, (name) => values.get(name === 'temperature' ? 'T' : name)!)
    const out = new Float64Array(network.size)
    network.rates(0, y, out)
    const rates = new Float64Array(network.rateNames.length)
    network.stepRates(0, y, rates)
    const changes = new Map(network.stateNames.map((name, i) => [name === 'temperature' ? 'T' : name, out[i]!]))
    return { changes, gross: rates.reduce((sum, rate) => sum + Math.abs(rate), 0) }
  }
  function same(found: ReadonlyMap<string, number>, expected: ReadonlyMap<string, number>, scale: number): void {
    for (const [id, value] of expected) {
      if (value === 0 && !found.has(id)) continue
      // sums of large opposed rates leave rounding of their own size
      expect(Math.abs(found.get(id)! - value), id).toBeLessThanOrEqual(1e-12 * scale)
    }
  }
  it('has the same rates at random states when read back', () => {
    const model = throughText(mechanism, { heat: held, molPerL: Object.fromEntries(states[0]!) })
    const network = compileNetwork(mechanism, held)
    for (const values of states) {
      const { changes, gross } = networkChanges(network, values)
      same(changesOf(model, values), changes, 10 * gross)
    }
  })

  it('has the same rates and warming with free temperature', () => {
    const heat: HeatModel = { kind: 'free', roomK: 294, heatCapacityJPerLK: 4100, lossPerS: 1e-4 }
    const enthalpies = stepEnthalpies(mechanism, (species) => -10 * species.length).byStep
    const model = throughText(mechanism, { heat, enthalpies, molPerL: Object.fromEntries(states[0]!) })
    const network = compileNetwork(mechanism, heat, [], enthalpies)
    for (const [i, some] of states.entries()) {
      const values = new Map([...some, ['T', 285 + i]])
      const { changes, gross } = networkChanges(network, values)
      // a mole of turnover warms a litre by less than 100 K here; the loss is a difference of two terms, one with T
      same(changesOf(model, values), changes, 1000 * gross + heat.lossPerS * (285 + i))
    }
  })

  it('runs the same course when read back', () => {
    const values = new Map(mechanism.species.map((s, i) => [s.id, s.role === 'held' ? 0.05 : 1e-3 * (1 + (i % 3))]))
    const network = compileNetwork(mechanism, held)
    for (const species of network.heldNames) network.hold(species, values.get(species)!)
    const y0 = Float64Array.from(network.stateNames, (name) => values.get(name)!)
    const times = [0, 1e-3, 0.1, 1, 10]
    const tolerances = { relative: 1e-8, absolute: 1e-14 }
    const ours = createIntegrator(network, 'rodas5p').run({ fromS: 0, toS: 10, y0, tolerances, sample: times, keep: 'samples' })
    expect(ours.ending.how).toBe('reached-end')
    const model = throughText(mechanism, { heat: held, molPerL: Object.fromEntries(values) })
    const named = new Map(model.model.species.map((s) => [s.name ?? s.id, s.id]))
    const columns = network.stateNames.map((name) => ({ id: named.get(name)!, as: 'concentration' as const }))
    const theirs = runExchange(model, { times, columns, ...tolerances })
    expect(theirs.ending.how).toBe('reached-end')
    theirs.rows.forEach((row, i) => {
      row.forEach((value, k) => {
        const expected = ours.sampled[i * network.size + k]!
        expect(Math.abs(value - expected), `${network.stateNames[k]} at ${times[i]} s`).toBeLessThanOrEqual(
          1e-5 * Math.abs(expected) + 1e-11,
        )
      })
    })
  })

  it('comes back as a mechanism with the same rates', () => {
    const model = exchangeOf(mechanism, { heat: held, molPerL: Object.fromEntries(states[0]!) })
    invariant(model.ok, 'not exported')
    const read = readExchange(writeExchange(model.value), 'out.xml')
    invariant(read.ok, 'not read')
    const back = mechanismOf(read.value, {
      name: 'imported/back',
      cite: 'our own export',
      temperature: 'T',
      referenceK: mechanism.referenceK,
    })
    invariant(back.ok, back.ok ? '' : back.problems.map((p) => p.what).join('\n'))
    for (const [id, value] of states[0]!) {
      if (mechanism.species.find((s) => s.id === id)?.role !== 'solvent') expect(back.value.molPerL[id]).toBeCloseTo(value, 12)
    }
    // constants follow the temperature as before, not only where they were exported
    for (const heat of [held, { kind: 'held', temperatureK: mechanism.referenceK - 11 }] as const) {
      const before = compileNetwork(mechanism, heat)
      const after = compileNetwork(back.value.mechanism, heat)
      for (const values of states) {
        const { changes, gross } = networkChanges(before, values)
        same(networkChanges(after, values).changes, changes, 10 * gross)
      }
    }
  })
})

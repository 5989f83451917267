import { describe, expect, it } from 'vitest'
import { done, invariant, refuse } from '@beakertide/basis/problems'
import { facts } from '@beakertide/data'
import { compileNetwork } from '../compile-network.ts'
import type { Mechanism } from '../mechanism.ts'
import { parseMechanism } from '../parse-mechanism.ts'
import { exchangeOf } from './mechanism-to-exchange.ts'
import type { BesideReader } from './steps-from.ts'
import { writeExchange } from './write-exchange.ts'

/** A = iodide goes with B = iodine at k A; in the units of the file nothing is stated. */
const paper = `<sbml xmlns="http://www.sbml.org/sbml/level3/version2/core" level="3" version="2">
<model id="m" substanceUnits="mole" extentUnits="mole" timeUnits="second" volumeUnits="litre">
<listOfCompartments><compartment id="V" spatialDimensions="3" size="1" constant="true"/></listOfCompartments>
<listOfSpecies>
<species id="A" compartment="V" initialConcentration="1" hasOnlySubstanceUnits="false" boundaryCondition="false" constant="false"/>
<species id="B" compartment="V" initialConcentration="0" hasOnlySubstanceUnits="false" boundaryCondition="false" constant="false"/>
</listOfSpecies>
<listOfParameters><parameter id="k" value="0.25" constant="true"/></listOfParameters>
<listOfReactions><reaction id="r" reversible="false">
<listOfReactants><speciesReference species="A" stoichiometry="2" constant="true"/></listOfReactants>
<listOfProducts><speciesReference species="B" stoichiometry="1" constant="true"/></listOfProducts>
<kineticLaw><math xmlns="http://www.w3.org/1998/Math/MathML"><apply><times/><ci>V</ci><ci>k</ci><ci>A</ci></apply></math></kineticLaw>
</reaction></listOfReactions></model></sbml>`
const head = `format: mechanism 1
name: imported/paper
title: From a paper
grade: published
overall: two iodides to iodine
temperature: 25 degC
valid: 15 degC to 35 degC
by default: { seen: read, status: published }
sources: { P1: { cite: a paper, access: read } }
`
const file = (stepsFrom: string, species = '{ I-: { name: iodide }, I2: { name: iodine } }'): string =>
  `${head}species: ${species}\nsteps from: ${stepsFrom}\n`
const beside: BesideReader = (name) =>
  name === 'paper.xml' ? done(paper) : refuse({ code: 'test/none', where: name, what: 'no such file', todo: 'none' })
const codes = (text: string, reader: BesideReader | undefined = beside): readonly string[] => {
  const parsed = parseMechanism(text, 'imported.yaml', reader)
  return parsed.ok ? parsed.warnings.map((w) => w.code) : parsed.problems.map((p) => p.code)
}

describe('steps from a model file', () => {
  it('become steps of the mechanism, with its species, sources and formulas', () => {
    const parsed = parseMechanism(file('{ file: ./paper.xml, source: P1, species: { A: I-, B: I2 } }'), 'imported.yaml', beside)
    invariant(parsed.ok, parsed.ok ? '' : parsed.problems.map((p) => p.what).join())
    const [step] = parsed.value.steps
    expect(step).toMatchObject({
      id: 'r',
      equation: '2 I- -> I2',
      constants: [{ name: 'k', value: 0.25, sources: ['P1'], seen: 'read', status: 'published' }],
      // two charges go and none come: the mechanism's formulas show it
      lumped: expect.stringContaining('charge') as string,
    })
    const network = compileNetwork(parsed.value, { kind: 'held', temperatureK: 298.15 })
    const out = new Float64Array(2)
    network.rates(0, Float64Array.of(2, 0), out)
    expect([...out]).toEqual([-1, 0.5])
  })

  it('say what is not mapped, not there, not beside, or not meant', () => {
    expect(codes(file('{ file: paper.xml, source: P1, species: { A: I- } }'))).toContain('mechanism/import-species')
    expect(codes(file('{ file: paper.xml, source: P1, species: { A: I-, B: I2, C: I2 } }'))).toContain('mechanism/import-species')
    expect(codes(file('{ file: other.xml, source: P1, species: { A: I-, B: I2 } }'))).toEqual(['test/none'])
    expect(codes(file('{ file: ../paper.xml, source: P1 }'))).toEqual(['mechanism/import-file'])
    expect(codes(file('{ file: /etc/paper.xml, source: P1 }'))).toEqual(['mechanism/import-file'])
    expect(parseMechanism(file('{ file: paper.xml, source: P1 }'), 'imported.yaml').ok).toBe(false)
    expect(codes(file('{ file: paper.xml, source: P2, species: { A: I-, B: I2 } }'))).toEqual(['mechanism/source-unknown'])
    const species = '{ I-: { name: iodide, role: held }, I2: { name: iodine } }'
    expect(codes(file('{ file: paper.xml, source: P1, species: { A: I-, B: I2 } }', species))).toEqual(['mechanism/import-role'])
    const solvent = '{ I-: { name: iodide, role: solvent }, I2: { name: iodine } }'
    const parsed = parseMechanism(file('{ file: paper.xml, source: P1, species: { A: I-, B: I2 } }', solvent), 'imported.yaml', beside)
    expect(parsed.ok).toBe(false)
  })

  it('give a catalogue mechanism back: exported, its steps cut out of its file and read from the export', () => {
    const found = facts.mechanisms().find((f) => f.name === 'iodate-peroxide-malonate/batch')
    const original = found && parseMechanism(found.text, found.file)
    invariant(found !== undefined && original?.ok === true, 'not in the catalogue')
    const exported = exchangeOf(original.value)
    invariant(exported.ok, '')
    const cut = found.text.replace(/^steps:\n(?:[ #].*\n|\n)+/m, 'steps from: { file: batch.xml, source: NF82, temperature: T }\n')
    expect(cut).not.toContain('\nsteps:')
    const parsed = parseMechanism(cut, found.file, () => done(writeExchange(exported.value)))
    invariant(parsed.ok, parsed.ok ? '' : parsed.problems.map((p) => p.what).join('\n'))
    const changes = (m: Mechanism): Float64Array => {
      const network = compileNetwork(m, { kind: 'held', temperatureK: m.referenceK - 6 })
      for (const species of network.heldNames) network.hold(species, 0.05)
      const out = new Float64Array(network.size)
      network.rates(
        0,
        Float64Array.from(network.stateNames, (_name, i) => 1e-3 * (1 + i)),
        out,
      )
      return out
    }
    const [back, before] = [changes(parsed.value), changes(original.value)]
    expect(back).toHaveLength(before.length)
    const gross = before.reduce((sum, rate) => sum + Math.abs(rate), 0)
    back.forEach((rate, i) => expect(Math.abs(rate - before[i]!)).toBeLessThanOrEqual(1e-12 * gross))
    // every step balances again by the formulas of the mechanism file, so totals are held as before
    expect(parsed.value.steps.filter((s) => s.lumped !== undefined).map((s) => s.id)).toEqual(
      original.value.steps.filter((s) => s.lumped !== undefined).map((s) => s.id),
    )
  })
})

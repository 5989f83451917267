import { describe, expect, it } from 'vitest'
import { invariant, type Outcome } from '@beakertide/basis/problems'
import { compileNetwork } from '../compile-network.ts'
import { type ImportedMechanism, type ImportOptions, mechanismOf } from './exchange-to-mechanism.ts'
import { readExchange } from './read-exchange.ts'

const math = (inner: string): string => `<math xmlns="http://www.w3.org/1998/Math/MathML">${inner}</math>`
const unit = (id: string, kind: string, scale: number, multiplier = 1): string =>
  `<unitDefinition id="${id}"><listOfUnits><unit kind="${kind}" exponent="1" scale="${scale}" multiplier="${multiplier}"/></listOfUnits></unitDefinition>`

/** A -> 2 B at V k A in 5 units of volume; k = 0.6, A starts at 2, B at 0. */
const simple = (model: string, more = '', law = '<apply><times/><ci>V</ci><ci>k</ci><ci>A</ci></apply>', reversible = false): string =>
  `<sbml xmlns="http://www.sbml.org/sbml/level3/version2/core" level="3" version="2"><model id="m" ${model}>
  <listOfUnitDefinitions>${unit('mmol', 'mole', -3)}${unit('mL', 'litre', -3)}${unit('minute', 'second', 0, 60)}</listOfUnitDefinitions>
  <listOfCompartments><compartment id="V" spatialDimensions="3" size="5" constant="true"/></listOfCompartments>
  <listOfSpecies>
    <species id="A" name="iodide" compartment="V" initialConcentration="2" hasOnlySubstanceUnits="false" boundaryCondition="false" constant="false"/>
    <species id="B" compartment="V" initialAmount="0" hasOnlySubstanceUnits="false" boundaryCondition="false" constant="false"/>
  </listOfSpecies>
  <listOfParameters><parameter id="k" value="0.6" constant="true"/><parameter id="T" value="0.1" constant="true"/><parameter id="free" value="1" constant="false"/></listOfParameters>
  <listOfReactions><reaction id="r" reversible="${String(reversible)}">
    <listOfReactants><speciesReference species="A" stoichiometry="1" constant="true"/></listOfReactants>
    <listOfProducts><speciesReference species="B" stoichiometry="2" constant="true"/></listOfProducts>
    <kineticLaw>${math(law)}</kineticLaw></reaction></listOfReactions>${more}</model></sbml>`

function imported(text: string, options: Partial<ImportOptions> = {}): Outcome<ImportedMechanism> {
  const read = readExchange(text, 'paper.xml')
  invariant(read.ok, read.ok ? '' : read.problems.map((p) => p.what).join())
  return mechanismOf(read.value, { name: 'imported/paper', cite: 'a paper', referenceK: 298.15, ...options })
}
function good(outcome: Outcome<ImportedMechanism>): ImportedMechanism {
  invariant(outcome.ok, outcome.ok ? '' : outcome.problems.map((p) => p.what).join())
  return outcome.value
}
/** dA/dt and dB/dt, mol/L/s, at the given concentrations. */
function changes({ mechanism }: ImportedMechanism, a: number, b: number): readonly number[] {
  const network = compileNetwork(mechanism, { kind: 'held', temperatureK: 298.15 })
  const out = new Float64Array(2)
  network.rates(0, Float64Array.of(a, b), out)
  return [...out]
}
const codes = (outcome: Outcome<ImportedMechanism>): readonly string[] =>
  outcome.ok ? [] : outcome.problems.map((p) => p.code.replace('mechanism/', ''))

describe('a file as a mechanism', () => {
  it('has its rates in mol, L, s: 0.6 a minute of 2 mmol/mL is 0.02 mol/L a second', () => {
    const result = good(imported(simple('substanceUnits="mmol" extentUnits="mmol" volumeUnits="mL" timeUnits="minute"')))
    expect(result.molPerL).toEqual({ iodide: 2, B: 0 })
    const [a, b] = changes(result, 2, 0)
    expect(a).toBeCloseTo(-0.02, 12)
    expect(b).toBeCloseTo(0.04, 12)
  })

  it('takes mole, litre and second where the file is silent, and says so', () => {
    const outcome = imported(simple(''))
    expect(outcome.ok && outcome.warnings.map((w) => w.code)).toEqual(Array.from({ length: 3 }, () => 'mechanism/import-unit'))
    expect(changes(good(outcome), 2, 0)[0]).toBeCloseTo(-1.2, 12)
  })

  it('takes the names that the mapping gives', () => {
    const result = good(
      imported(simple(''), { species: { A: { id: 'I-', composition: { I: 1 }, charge: -1, startsFrom: ['I-', 'I3-'] } } }),
    )
    expect(result.mechanism.species.map((s) => s.id)).toEqual(['I-', 'B'])
    expect(result.mechanism.species[0]).toMatchObject({ composition: { I: 1 }, charge: -1, startsFrom: ['I-', 'I3-'] })
    expect(codes(imported(simple(''), { species: { C: { id: 'I-' } } }))).toEqual(['import-species'])
    expect(codes(imported(simple(''), { species: { A: { id: 'B' } } }))).toEqual(['import-species'])
  })

  it('makes two steps of a net law, and keeps a constant called T apart from the temperature', () => {
    const law =
      '<apply><times/><ci>V</ci><apply><minus/><apply><times/><ci>k</ci><ci>A</ci></apply><apply><times/><ci>T</ci><ci>B</ci></apply></apply></apply>'
    const result = good(imported(simple('', '', law, true)))
    expect(result.mechanism.steps.map((s) => [s.id, s.equation])).toEqual([
      ['r', 'iodide -> 2 B'],
      ['r-back', '2 B -> iodide'],
    ])
    expect(changes(result, 1, 3)[0]).toBeCloseTo(-0.6 + 0.3, 12)
  })

  it('refuses by name what a mechanism cannot hold', () => {
    const event = `<listOfEvents><event useValuesFromTriggerTime="true"><trigger initialValue="true" persistent="true">${math('<apply><gt/><ci>A</ci><cn>1</cn></apply>')}</trigger></event></listOfEvents>`
    expect(codes(imported(simple('', event)))).toEqual(['import-event'])
    expect(codes(imported(simple('', `<listOfRules><rateRule variable="free">${math('<cn>1</cn>')}</rateRule></listOfRules>`)))).toEqual([
      'import-rule',
    ])
    const clock = '<csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/time">t</csymbol>'
    expect(codes(imported(simple('', '', clock)))).toEqual(['import-law'])
    expect(
      codes(imported(simple('', '', '<piecewise><piece><cn>1</cn><apply><gt/><ci>A</ci><cn>1</cn></apply></piece></piecewise>'))),
    ).toContain('import-law')
    expect(codes(imported(simple('substanceUnits="minute"')))).toEqual(['import-unit'])
    expect(codes(imported(simple('').replace('size="5"', 'size="0"')))).toEqual(['import-compartments'])
  })
})

describe('a hostile file', () => {
  it('with rules that double one another is refused, not written out', () => {
    const name = (i: number): string => `<ci>p${i}</ci>`
    const rules = Array.from({ length: 60 }, (_, i) => {
      const next = i === 59 ? '<ci>A</ci>' : `<apply><plus/>${name(i + 1)}${name(i + 1)}</apply>`
      return `<assignmentRule variable="p${i}">${math(next)}</assignmentRule>`
    })
    const parameters = Array.from({ length: 60 }, (_, i) => `<parameter id="p${i}" constant="false"/>`)
    const text = simple('', `<listOfRules>${rules.join('')}</listOfRules>`, name(0)).replace(
      '</listOfParameters>',
      `${parameters.join('')}</listOfParameters>`,
    )
    expect(codes(imported(text))).toEqual(['import-law'])
    expect(codes(imported(text, { temperature: 'T' }))).toContain('import-law')
  })
})

describe('the temperature of a file', () => {
  const kelvin = '<parameter id="T" value="300" units="kelvin" constant="true"/>'
  /** k = 0.6 (T/300)^2 by an initial assignment. */
  const text = simple(
    '',
    `<listOfInitialAssignments><initialAssignment symbol="k">${math('<apply><times/><cn>0.6</cn><apply><power/><apply><divide/><ci>T</ci><cn>300</cn></apply><cn>2</cn></apply></apply>')}</initialAssignment></listOfInitialAssignments>`,
  ).replace('<parameter id="T" value="0.1" constant="true"/>', kelvin)
  const rateAt = (result: ImportedMechanism, temperatureK: number): number => {
    const out = new Float64Array(2)
    compileNetwork(result.mechanism, { kind: 'held', temperatureK }).rates(0, Float64Array.of(1, 0), out)
    return out[0]!
  }

  it('is ours where it is named: constants follow it', () => {
    const result = good(imported(text, { temperature: 'T' }))
    expect(rateAt(result, 300)).toBeCloseTo(-0.6, 12)
    expect(rateAt(result, 330)).toBeCloseTo(-0.6 * 1.21, 12)
  })

  it('is asked for where it is not', () => {
    const outcome = imported(text)
    expect(outcome.ok && outcome.warnings.map((w) => w.code)).toContain('mechanism/import-temperature')
    expect(rateAt(good(outcome), 330)).toBeCloseTo(-0.6, 12)
  })

  it('must be a parameter in kelvin', () => {
    expect(codes(imported(text, { temperature: 'tea' }))).toEqual(['import-temperature'])
    expect(codes(imported(text.replace('units="kelvin"', 'units="minute"'), { temperature: 'T' }))).toEqual(['import-temperature'])
  })
})

import { describe, expect, it } from 'vitest'
import { assemble } from './assemble.ts'
import { readExchange } from './read-exchange.ts'
import { writeExchange } from './write-exchange.ts'

const L3V2 = 'http://www.sbml.org/sbml/level3/version2/core'
const math = (inner: string): string => `<math xmlns="http://www.w3.org/1998/Math/MathML">${inner}</math>`
const sbml = (body: string, attributes = `xmlns="${L3V2}" level="3" version="2"`): string =>
  `<?xml version="1.0"?><sbml ${attributes}><model id="m">${body}</model></sbml>`
const parameter = (id: string, constant = false): string => `<parameter id="${id}" value="1" constant="${constant}"/>`
const parameters = (...inner: readonly string[]): string => `<listOfParameters>${inner.join('')}</listOfParameters>`
const rules = (...inner: readonly string[]): string => `<listOfRules>${inner.join('')}</listOfRules>`
const rule = (kind: string, of: string, inner: string): string => `<${kind} variable="${of}">${math(inner)}</${kind}>`
const vessel = '<listOfCompartments><compartment id="c" spatialDimensions="3" size="1" constant="true"/></listOfCompartments>'
const species = (id: string, more = ''): string =>
  `<species id="${id}" compartment="c" initialAmount="1" hasOnlySubstanceUnits="false" boundaryCondition="false" constant="false" ${more}/>`

/** Codes of everything that prevents the model, in reading or in putting together. */
function codesOf(text: string): readonly string[] {
  const read = readExchange(text, 'm.xml')
  if (!read.ok) return read.problems.map((p) => p.code.replace('mechanism/', ''))
  const built = assemble(read.value)
  return built.ok ? [] : built.problems.map((p) => p.code.replace('mechanism/', ''))
}

describe('reading a model', () => {
  it('refuses what is not this standard, or a version that is not read', () => {
    expect(codesOf('<svg xmlns="http://www.w3.org/2000/svg"/>')).toEqual(['exchange-version'])
    expect(codesOf(sbml('', 'xmlns="http://www.sbml.org/sbml/level2/version3" level="2" version="3"'))).toEqual(['exchange-version'])
    expect(codesOf(sbml('', 'xmlns="http://www.sbml.org/sbml/level1" level="1" version="2"'))).toEqual(['exchange-version'])
    expect(codesOf(sbml('', `xmlns="${L3V2}" level="3" version="1"`))).toEqual(['exchange-version'])
    expect(codesOf(`<sbml xmlns="${L3V2}" level="3" version="2"/>`)).toEqual(['exchange-empty'])
    expect(codesOf('<!DOCTYPE sbml><sbml/>')).toEqual(['text/doctype'])
  })

  it('accepts every version from Level 2 Version 4 to Level 3 Version 2', () => {
    for (const [level, version] of [
      [2, 4],
      [2, 5],
    ]) {
      expect(
        codesOf(sbml('', `xmlns="http://www.sbml.org/sbml/level${level}/version${version}" level="${level}" version="${version}"`)),
      ).toEqual([])
    }
    expect(codesOf(sbml('', 'xmlns="http://www.sbml.org/sbml/level3/version1/core" level="3" version="1"'))).toEqual([])
    expect(codesOf(sbml(''))).toEqual([])
  })

  it.each([
    ['an algebraic rule', parameters(parameter('x')) + rules(`<algebraicRule>${math('<ci>x</ci>')}</algebraicRule>`), 'exchange-algebraic'],
    ['an unknown element', '<listOfWishes/>', 'exchange-element'],
    ['a name that is not there', parameters(parameter('x')) + rules(rule('rateRule', 'x', '<ci>y</ci>')), 'exchange-unknown'],
    ['a name twice', parameters(parameter('x'), parameter('x')), 'exchange-twice'],
    [
      'two rules for one',
      parameters(parameter('x')) + rules(rule('rateRule', 'x', '<cn>1</cn>'), rule('assignmentRule', 'x', '<cn>1</cn>')),
      'exchange-twice',
    ],
    ['a rule for a constant', parameters(parameter('x', true)) + rules(rule('rateRule', 'x', '<cn>1</cn>')), 'exchange-constant'],
    ['an attribute left out', '<listOfParameters><parameter id="x" value="1"/></listOfParameters>', 'exchange-attribute'],
    [
      'a value that is no number',
      '<listOfParameters><parameter id="x" value="one" constant="true"/></listOfParameters>',
      'exchange-number',
    ],
    [
      'a circle of rules',
      parameters(parameter('x'), parameter('y')) +
        rules(rule('assignmentRule', 'x', '<ci>y</ci>'), rule('assignmentRule', 'y', '<ci>x</ci>')),
      'exchange-circle',
    ],
    [
      'a fast reaction',
      `${vessel}<listOfSpecies>${species('S')}</listOfSpecies><listOfReactions><reaction id="r" reversible="false" fast="true"/></listOfReactions>`,
      'exchange-fast',
    ],
    ['a species of no compartment', `<listOfSpecies>${species('S')}</listOfSpecies>`, 'exchange-unknown'],
    [
      'a reaction without a law that changes something',
      `${vessel}<listOfSpecies>${species('S')}</listOfSpecies><listOfReactions><reaction id="r" reversible="false"><listOfProducts><speciesReference species="S" stoichiometry="1" constant="true"/></listOfProducts></reaction></listOfReactions>`,
      'exchange-no-law',
    ],
    [
      'a rate of change of what a rule assigns',
      parameters(parameter('x'), parameter('y')) +
        rules(
          rule('assignmentRule', 'x', '<csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/time">t</csymbol>'),
          rule(
            'rateRule',
            'y',
            '<apply><csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/rateOf">r</csymbol><ci>x</ci></apply>',
          ),
        ),
      'exchange-rate-of',
    ],
  ])('refuses %s', (_what, body, code) => {
    expect(codesOf(sbml(body))).toEqual([code])
  })

  it('refuses a package that changes the mathematics, and names one that does not', () => {
    const head = (required: string): string =>
      `xmlns="${L3V2}" xmlns:comp="http://www.sbml.org/sbml/level3/version1/comp/version1" level="3" version="2" comp:required="${required}"`
    expect(codesOf(sbml('', head('true')))).toEqual(['exchange-package'])
    const read = readExchange(sbml('<comp:listOfPorts/><notes/><annotation/>', head('false')), 'm.xml')
    expect(read.ok && read.warnings.map((w) => w.what).join()).toMatch(/comp\/version1".*notes, annotations/)
  })

  it('stops functions that call themselves or double without end', () => {
    const define = (id: string, body: string): string =>
      `<functionDefinition id="${id}">${math(`<lambda><bvar><ci>a</ci></bvar>${body}</lambda>`)}</functionDefinition>`
    const use = parameters(parameter('x')) + rules(rule('rateRule', 'x', '<apply><ci>f40</ci><cn>1</cn></apply>'))
    const doubling = Array.from({ length: 40 }, (_, i) =>
      define(`f${i + 1}`, `<apply><plus/><apply><ci>f${i}</ci><ci>a</ci></apply><apply><ci>f${i}</ci><ci>a</ci></apply></apply>`),
    )
    const list = (inner: readonly string[]): string => `<listOfFunctionDefinitions>${inner.join('')}</listOfFunctionDefinitions>`
    expect(codesOf(sbml(list([define('f0', '<ci>a</ci>'), ...doubling]) + use))).toEqual(['exchange-too-large'])
    // the same through arguments: f(a) = a + a, forty times around itself
    const around = Array.from({ length: 40 }).reduce<string>((inner) => `<apply><ci>f0</ci>${inner}</apply>`, '<cn>1</cn>')
    const nested = parameters(parameter('x')) + rules(rule('rateRule', 'x', around))
    expect(codesOf(sbml(list([define('f0', '<apply><plus/><ci>a</ci><ci>a</ci></apply>')]) + nested))).toEqual(['exchange-too-large'])
    const selfish = parameters(parameter('x')) + rules(rule('rateRule', 'x', '<apply><ci>g</ci><cn>1</cn></apply>'))
    expect(codesOf(sbml(list([define('g', '<apply><ci>g</ci><ci>a</ci></apply>')]) + selfish))).toEqual(['exchange-circle'])
  })

  it('refuses chains of rules that would exhaust the stack, and reads long ones', () => {
    const chain = (length: number, deep: number): string => {
      const wrap = (inner: string): string => Array.from({ length: deep }).reduce<string>((x) => `<apply><minus/>${x}</apply>`, inner)
      const ids = Array.from({ length }, (_, i) => `p${i}`)
      return sbml(
        parameters(...ids.map((id) => parameter(id))) +
          rules(...ids.slice(1).map((id, i) => rule('assignmentRule', `p${i}`, wrap(`<ci>${id}</ci>`)))),
      )
    }
    expect(codesOf(chain(390, 1))).toEqual([])
    expect(codesOf(chain(5000, 1))).toEqual(['exchange-too-large'])
    expect(codesOf(chain(300, 150))).toEqual(['exchange-too-large'])
  })

  it('reads what Level 2 leaves to its defaults', () => {
    const body =
      '<listOfCompartments><compartment id="c"/></listOfCompartments><listOfSpecies><species id="S" compartment="c"/></listOfSpecies>' +
      '<listOfParameters><parameter id="k" value="2"/></listOfParameters><listOfReactions><reaction id="r"><listOfReactants>' +
      `<speciesReference species="S"/></listOfReactants><kineticLaw>${math('<ci>k</ci>')}<listOfParameters><parameter id="k" value="3"/></listOfParameters></kineticLaw></reaction></listOfReactions>`
    const read = readExchange(sbml(body, 'xmlns="http://www.sbml.org/sbml/level2/version4" level="2" version="4"'), 'm.xml')
    expect(read.ok && read.value).toMatchObject({
      compartments: [{ dimensions: 3, constant: true }],
      species: [{ hasOnlySubstanceUnits: false, boundaryCondition: false, constant: false }],
      parameters: [{ constant: true }],
      reactions: [
        { reversible: true, reactants: [{ stoichiometry: 1 }], law: { op: 'name', id: 'r.k' }, locals: [{ id: 'r.k', value: 3 }] },
      ],
    })
  })

  it('says when a unit is not defined, and changes no number for it', () => {
    const read = readExchange(
      sbml('<listOfParameters><parameter id="x" value="7" units="furlong" constant="true"/></listOfParameters>'),
      'm.xml',
    )
    expect(read.ok && read.value.parameters[0]?.value).toBe(7)
    expect(read.ok && read.warnings.map((w) => w.code)).toEqual(['mechanism/exchange-unit'])
  })

  it('says when the units stated do not fit together: k A is no extent a time without its volume', () => {
    const model = (law: string, kUnit: string): readonly string[] => {
      const unit = (id: string, ...factors: readonly (readonly [string, number])[]): string =>
        `<unitDefinition id="${id}"><listOfUnits>${factors.map(([kind, e]) => `<unit kind="${kind}" exponent="${e}" scale="0" multiplier="1"/>`).join('')}</listOfUnits></unitDefinition>`
      const text = sbml(
        `<listOfUnitDefinitions>${unit('per_s', ['second', -1])}${unit('per_min', ['second', -1]).replace('multiplier="1"', 'multiplier="60"')}</listOfUnitDefinitions>` +
          vessel +
          `<listOfSpecies>${species('A')}</listOfSpecies><listOfParameters><parameter id="k" value="1" units="${kUnit}" constant="true"/></listOfParameters>` +
          `<listOfReactions><reaction id="r" reversible="false"><listOfReactants><speciesReference species="A" stoichiometry="1" constant="true"/></listOfReactants><kineticLaw>${math(law)}</kineticLaw></reaction></listOfReactions>`,
      ).replace('<model id="m">', '<model id="m" substanceUnits="mole" extentUnits="mole" timeUnits="second" volumeUnits="litre">')
      const read = readExchange(text, 'm.xml')
      return read.ok ? read.warnings.map((w) => w.what) : read.problems.map((p) => p.what)
    }
    const right = '<apply><times/><ci>c</ci><ci>k</ci><ci>A</ci></apply>'
    expect(model(right, 'per_s')).toEqual([])
    expect(model('<apply><times/><ci>k</ci><ci>A</ci></apply>', 'per_s')).toEqual([
      'the rate law of "r" comes out in 1000 m^-3 s^-1 mol; by the units stated it must be in s^-1 mol',
    ])
    expect(model(right, 'per_min')).toEqual([
      'the rate law of "r" comes out in 0.0166667 s^-1 mol; by the units stated it must be in s^-1 mol',
    ])
    expect(model('<apply><plus/><ci>k</ci><ci>A</ci></apply>', 'per_s')).toHaveLength(2)
  })

  it('writes what it read', () => {
    const body =
      `${vessel}<listOfSpecies>${species('S')}${species('P')}</listOfSpecies>${parameters(parameter('p'), parameter('q'))}` +
      `<listOfInitialAssignments><initialAssignment symbol="q">${math('<ci>p</ci>')}</initialAssignment></listOfInitialAssignments>` +
      rules(rule('rateRule', 'p', '<apply><minus/><ci>p</ci></apply>')) +
      `<listOfConstraints><constraint>${math('<apply><gt/><ci>p</ci><cn>0</cn></apply>')}<message><p xmlns="http://www.w3.org/1999/xhtml">p &lt; 0</p></message></constraint></listOfConstraints>` +
      `<listOfReactions><reaction id="r" reversible="true"><listOfReactants><speciesReference id="n" species="S" stoichiometry="2" constant="false"/></listOfReactants><listOfProducts><speciesReference species="P" stoichiometry="0.5" constant="true"/></listOfProducts><kineticLaw>${math('<apply><times/><ci>k</ci><ci>S</ci></apply>')}<listOfLocalParameters><localParameter id="k" value="1e-7"/></listOfLocalParameters></kineticLaw></reaction></listOfReactions>` +
      `<listOfEvents><event id="e" useValuesFromTriggerTime="false"><trigger initialValue="false" persistent="false">${math('<apply><lt/><ci>S</ci><cn>0.5</cn></apply>')}</trigger><delay>${math('<cn>2</cn>')}</delay><priority>${math('<ci>p</ci>')}</priority><listOfEventAssignments><eventAssignment variable="P">${math('<cn>0</cn>')}</eventAssignment></listOfEventAssignments></event></listOfEvents>`
    const plain = (value: unknown): unknown =>
      JSON.parse(JSON.stringify(value, (key, inner: unknown) => (key === 'span' ? undefined : inner)))
    const first = readExchange(sbml(body), 'm.xml')
    if (!first.ok) throw new Error(first.problems.map((p) => p.what).join())
    const second = readExchange(writeExchange(first.value), 'm.xml')
    if (!second.ok) throw new Error(second.problems.map((p) => p.what).join())
    expect(plain(second.value)).toEqual(plain(first.value))
    expect(first.value.events[0]?.delay).toBeDefined()
  })
})

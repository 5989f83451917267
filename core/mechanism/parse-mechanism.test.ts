import { describe, expect, it } from 'vitest'
import { parseMechanism } from './parse-mechanism.ts'

const GOOD = `format: mechanism 1
name: test/one
title: a test
grade: remembered
overall: A -> B
temperature: 25 degC
valid: 20 degC to 30 degC
species:
  H2O: { name: water, role: solvent }
  H+: { formula: H, charge: +1 }
  I-: { charge: -1, formula: I, at least: 1e-6 mol/L, because: trace }
  HOI: { name: hypoiodous acid }
  I2: { name: iodine }
absorbers: { I2: I2(aq) }
by default: { seen: read, status: published, sources: [S] }
steps:
  - id: A
    equation: HOI + I- + H+ <=> I2 + H2O
    constants:
      kf: { value: 3.1e12 L^2 mol^-2 s^-1, activation: 10 kJ/mol, activation seen: assumed, at: 20 degC, range: 3e12 to 4e12 }
      kr: 2.2 s^-1
  - id: B
    equation: I2 -> I2
    rate: k*[I2]*[H+]/(K + [H+])
    seen: memory
    status: adjusted within range
    constants:
      k: 0.5 min^-1
      K: 1e-3 mol/L
net reactions:
  - { id: n, equation: HOI + I- + H+ -> I2 + H2O, what: iodine forms, shows: I2 }
faults:
  - { feature: period, text: wrong, source: S }
bands:
  - { feature: period, factor: 1.5, why: judgement }
  - { feature: length, up: 1, down: 2, why: judgement }
sources:
  S: { cite: a book, doi: 10.1/x, access: read }
notes:
  - one
`
/** Codes and texts after a change of the good file. */
function after(from: string, to: string): string {
  expect(GOOD).toContain(from)
  const parsed = parseMechanism(GOOD.replace(from, to), 'm.yaml')
  return parsed.ok
    ? `ok ${parsed.warnings.map((w) => `${w.code} ${w.what}`).join('\n')}`
    : parsed.problems.map((p) => `${p.code} | ${p.where} | ${p.what} | ${p.todo}`).join('\n')
}

describe('a good file', () => {
  const parsed = parseMechanism(GOOD, 'm.yaml')
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems, null, 1))
  const m = parsed.value
  it('keeps everything that was said', () => {
    expect(m).toMatchObject({
      name: 'test/one',
      grade: 'remembered',
      referenceK: 298.15,
      validK: [293.15, 303.15],
      absorbers: { I2: 'I2(aq)' },
      notes: ['one'],
    })
    expect(m.bands).toEqual([
      { feature: 'period', factorUp: 1.5, factorDown: 1.5, why: 'judgement' },
      { feature: 'length', factorUp: 1, factorDown: 2, why: 'judgement' },
    ])
    expect(m.species.find((s) => s.id === 'I-')).toMatchObject({
      composition: { I: 1 },
      charge: -1,
      role: 'dynamic',
      traceMolPerL: 1e-6,
      traceWhy: 'trace',
    })
    expect(m.steps[0]!.constants[0]).toEqual({
      name: 'kf',
      value: 3.1e12,
      unit: 'L^2 mol^-2 s^-1',
      activationKJPerMol: 10,
      activationSeen: 'assumed',
      referenceK: 293.15,
      literatureRange: '3e12 to 4e12',
      status: 'published',
      seen: 'read',
      sources: ['S'],
    })
  })
  it('carries minutes over to seconds and keeps what was written', () => {
    expect(m.steps[1]!.constants[0]).toMatchObject({
      value: 0.5 / 60,
      unit: 's^-1',
      written: '0.5 min^-1',
      seen: 'memory',
      status: 'adjusted-in-range',
    })
  })
  it('survives JSON', () => {
    expect(JSON.parse(JSON.stringify(m))).toEqual(m)
  })
})

describe('what is wrong, with line, column and a way out', () => {
  it.each<[string, string, string, RegExp]>([
    [
      'an unbalanced step names atoms and charge',
      '<=> I2 + H2O',
      '<=> I2',
      /mechanism\/unbalanced \| step A .*line 18, column 15.* lack 2 H, 1 O/,
    ],
    ['charge', 'HOI + I- + H+ <=>', 'HOI + I- <=>', /have 1 H too many; the charge is -1 on the left and 0 on the right/],
    ['an unknown species, nearest name', 'equation: I2 -> I2', 'equation: I2 -> I3', /species-unknown.*"I3".*did you mean .*"I2"/],
    ['an unknown species in a rate', 'k*[I2]*[H+]/', 'k*[I2]*[H]/', /species-unknown.*step B, rate.*"H".*did you mean "H\+"/],
    ['a constant that no one defines', 'rate: k*', 'rate: kk*', /constant-missing.*"kk"[\s\S]*constant-unused.*"k"/],
    ['a constant that is not used', 'kr: 2.2 s^-1', 'kr: 2.2 s^-1\n      kx: 1 s^-1', /constant-unused.*"kx".*reads kf and kr/],
    ['mass action without its constant', 'kr: 2.2 s^-1', 'k: 2.2 s^-1', /constant-missing.*needs the constant "kr"/],
    [
      'a unit of the wrong order',
      '3.1e12 L^2 mol^-2 s^-1',
      '3.1e12 L mol^-1 s^-1',
      /mechanism\/unit .*kf has the unit L mol\^-1 s\^-1; a step of order 3 needs L\^2 mol\^-2 s\^-1/,
    ],
    ['a law of the wrong unit', 'K: 1e-3 mol/L', 'K: 1e-3', /mechanism\/unit .*different units/],
    ['an unknown unit', 'kr: 2.2 s^-1', 'kr: 2.2 Hz', /unit-unknown.*"Hz"/],
    ['not a number', 'kr: 2.2 s^-1', 'kr: fast', /not-a-number/],
    ['NaN', 'kr: 2.2 s^-1', 'kr: .nan s^-1', /not-finite/],
    ['infinite', 'kr: 2.2 s^-1', 'kr: 1e999 s^-1', /not-finite/],
    ['negative', 'kr: 2.2 s^-1', 'kr: -2.2 s^-1', /mechanism\/negative/],
    ['a negative saturation constant', 'K: 1e-3 mol/L', 'K: -1e-3 mol/L', /mechanism\/negative/],
    ['an id twice', 'id: B', 'id: A', /id-twice.*step "A"/],
    ['a species twice', '  I2: { name: iodine }', '  I2: { name: iodine }\n  I2: { name: iodine }', /text\/key-twice/],
    ['a key twice', 'title: a test', 'title: a test\ntitle: b', /text\/key-twice/],
    ['an unknown key', 'title: a test', 'title: a test\ntitel: b', /key-unknown.*"titel".*did you mean "title"/],
    ['a missing key', 'grade: remembered\n', '', /key-missing.*no "grade"/],
    ['an unknown grade', 'grade: remembered', 'grade: fine', /word-unknown.*published, remembered/],
    ['another format', 'format: mechanism 1', 'format: mechanism 2', /mechanism\/format/],
    ['a name with blanks', 'name: test/one', 'name: Test One', /mechanism\/name/],
    ['a source that is not listed', 'sources: [S]', 'sources: [Q]', /source-unknown.*"Q"/],
    ['a constant without a source', 'sources: [S] }\nsteps', 'sources: [] }\nsteps', /source-missing.*names no source/],
    ['a constant without its origin', 'by default: { seen: read, ', 'by default: { ', /origin-missing/],
    ['temperatures', 'valid: 20 degC to 30 degC', 'valid: 40 degC to 50 degC', /valid-range.*does not hold/],
    ['a range in other words', 'valid: 20 degC to 30 degC', 'valid: about 25', /valid-range/],
    ['a temperature in Fahrenheit', 'temperature: 25 degC', 'temperature: 77 degF', /units\/fahrenheit/],
    ['a trace without a reason', ', because: trace', '', /trace-why/],
    ['a formula that is none', 'HOI: { name: hypoiodous acid }', 'HOI: { formula: Xx2 }', /mechanism\/formula/],
    ['a charge that is none', 'formula: H, charge: +1', 'formula: H, charge: plus', /mechanism\/charge/],
    [
      'a lumped species in a step that does not say why',
      'HOI: { name: hypoiodous acid }',
      'HOI: { formula: none }',
      /unbalanced.*HOI has no formula/,
    ],
    ['a rate on a reversible step', 'equation: I2 -> I2', 'equation: I2 <=> I2', /rate-both-ways/],
    ['the solvent in a rate', '/(K + [H+])', '/(K + [H2O])', /solvent-in-rate/],
    ['a net reaction that does not balance', 'HOI + I- + H+ -> I2 + H2O, what', 'HOI + I- -> I2 + H2O, what', /unbalanced.*net reaction n/],
    ['an absorber of no species', 'absorbers: { I2: I2(aq) }', 'absorbers: { I9: I2(aq) }', /species-unknown.*"I9"/],
    ['a band below one', 'factor: 1.5', 'factor: 0.5', /band-factor/],
    ['a step that is text', '  - id: B\n', '  - just text\n  - id: B\n', /not-a-block/],
    [
      'a half coefficient under mass action',
      'HOI + I- + H+ <=> I2 + H2O\n    constants',
      '0.5 HOI + 0.5 I- + 0.5 H+ <=> 0.5 I2 + 0.5 H2O\n    constants',
      /order-fractional/,
    ],
    ['an activation energy in other units', 'activation: 10 kJ/mol', 'activation: 10 kJ', /mechanism\/unit .*kJ\/mol is needed/],
    ['two that start from one', 'HOI: { name: hypoiodous acid }', 'HOI: { starts from: [I2] }', /starts-twice/],
    ['an alias', 'title: a test', 'title: &a test\noverall2: *a', /text\/(alias|not-yaml)/],
    ['steps that are no list', 'steps:\n', 'steps: none\nold:\n', /not-a-list|key-unknown/],
  ])('%s', (_name, from, to, wanted) => expect(after(from, to)).toMatch(wanted))

  it('tells everything at once, in reading order', () => {
    const text = GOOD.replace('<=> I2 + H2O', '<=> I2')
      .replace('kr: 2.2 s^-1', 'kr: -2 s^-1')
      .replace('grade: remembered', 'grade: fine')
      .replace('factor: 1.5', 'factor: 0')
    const parsed = parseMechanism(text, 'm.yaml')
    expect(parsed.ok).toBe(false)
    if (parsed.ok) return
    expect(parsed.problems.map((p) => p.code)).toEqual([
      'mechanism/word-unknown',
      'mechanism/unbalanced',
      'mechanism/negative',
      'mechanism/band-factor',
    ])
    expect(parsed.problems.map((p) => p.span!.line)).toEqual([4, 18, 21, 35])
  })
  it('never throws on broken files', () => {
    for (const text of [
      '',
      'null',
      '[]',
      '- a',
      '{}',
      'steps: [1]',
      'species: { A: [] }',
      'steps: [{id: {}}]',
      'a: *b',
      '\u0000',
      `${'['.repeat(1000)}`,
      'format: mechanism 1\nspecies: {__proto__: {}, constructor: {}}',
    ]) {
      expect(parseMechanism(text, 'm.yaml').ok).toBe(false)
    }
    for (let cut = 0; cut < GOOD.length; cut += 17) expect(() => parseMechanism(GOOD.slice(0, cut), 'm.yaml')).not.toThrow()
  })
})

describe('warnings', () => {
  it('a rate that does not stop when a reactant is used up', () => {
    expect(after('rate: k*[I2]*[H+]/(K + [H+])', 'rate: k*K*[H+]/(K + [H+])')).toMatch(/ok .*never-stops .*I2 is used up/)
  })
  it('a species that takes part in nothing', () => {
    expect(after('  I2: { name: iodine }', '  I2: { name: iodine }\n  Cl-: {}')).toMatch(/ok .*species-unused .*"Cl-"/)
  })
  it('a lumped step says why and may be unbalanced', () => {
    expect(after('<=> I2 + H2O\n', '<=> I2\n    lumped: water left out\n')).toMatch(/^ok/)
  })
})

import { describe, expect, it } from 'vitest'
import type { Demonstration } from './demonstration.ts'
import { parseDemonstration } from './index.ts'

/** A small right document; `change` edits its text. */
const small = `beakertide: 1
title: Small
reaction: iodate-bisulfite
room: { temperature: 21 degC, volume: 100 m3 }
bottles:
  iodate: { substance: potassium iodate, purity: 99.5 % }
  sulfite: { substance: sodium metabisulfite, purity: 97 % }
solutions:
  A: { make: 300 mL, with: { iodate: 20 mmol/L } }
  B: { make: 300 mL, with: { sulfite: 10 mmol/L } }
vessels:
  jar: { holds: 1 L, depth: 8 cm, pours: [250 mL of A, 250 mL of B at 5 s] }
`
const edited = (from: string | RegExp, to: string): string => {
  const text = small.replace(from, to)
  if (text === small) throw new Error(`nothing to edit: ${String(from)}`)
  return text
}
const read = (text: string): Demonstration => {
  const got = parseDemonstration(text, 's.yaml')
  if (!got.ok) throw new Error(JSON.stringify(got.problems, null, 1))
  return got.value
}
/** Pours of the first vessel without their places. */
const poursOf = (d: Demonstration): unknown => d.vessels[0]?.pours.map((p) => [p.solution, p.volumeL, p.atS])
/** "line:column" of a passage of the text, or of the "|" within it. */
const placeOf = (text: string, passage: string): string => {
  const at = text.indexOf(passage.replace('|', ''))
  if (at < 0) throw new Error(`no "${passage}" in the text`)
  const before = text.slice(0, at + Math.max(0, passage.indexOf('|'))).split('\n')
  return `${before.length}:${(before.at(-1) ?? '').length + 1}`
}
/** "code line:column" of everything met, refusals or warnings. */
const met = (text: string, known = {}): readonly string[] => {
  const got = parseDemonstration(text, 's.yaml', known)
  return (got.ok ? got.warnings : got.problems).map((p) => `${p.code} ${p.span?.line}:${p.span?.column}`)
}
const said = (text: string, known = {}): string => {
  const got = parseDemonstration(text, 's.yaml', known)
  return (got.ok ? got.warnings : got.problems).map((p) => `${p.what} -> ${p.todo}`).join('\n')
}

describe('a right document', () => {
  it('becomes plain data in internal units', () => {
    const d = read(small)
    expect(JSON.parse(JSON.stringify(d))).toEqual(d)
    expect(d.schema).toBe(1)
    expect(d.room.temperatureK).toBeCloseTo(294.15, 9)
    expect(d.room.volumeM3).toBeCloseTo(100, 9)
    expect(d.reaction).toEqual({ name: 'iodate-bisulfite' })
    expect(d.bottles[0]).toMatchObject({ id: 'iodate', substance: 'potassium iodate', purity: { kind: 'fraction', value: 0.995 } })
    expect(d.solutions[0]?.ingredients[0]?.target).toMatchObject({ state: 'in-solution', quantity: { value: 0.02, text: '20 mmol/L' } })
    expect(d.vessels[0]).toMatchObject({ id: 'jar', capacityL: 1, depthCm: 8, stirred: true, count: 1 })
    expect(d.vessels[0]?.pours.map((p) => [p.solution, p.volumeL, p.atS])).toEqual([
      ['A', 0.25, 0],
      ['B', 0.25, 5],
    ])
  })
  it('has sensible defaults', () => {
    const d = read(small)
    expect(d).toMatchObject({
      story: '',
      view: { illuminant: 'd65', adaptation: 1 },
      starch: false,
      wantedLengthS: null,
      rehearseS: 600,
      tools: { balanceReadabilityG: 0.01, glassClass: 'B' },
      controls: {},
      found: [],
    })
  })
  it('says what it assumed', () => {
    expect(met(edited('room: { temperature: 21 degC, volume: 100 m3 }\n', ''))).toEqual(['document/temperature-assumed 1:1'])
    expect(met(edited(', depth: 8 cm', ''))).toEqual(['document/depth-assumed 12:3'])
  })
  it('takes long and short forms of a pour alike', () => {
    const long = read(edited('[250 mL of A, 250 mL of B at 5 s]', '[{ pour: A, volume: 250 mL }, { pour: B, volume: 250 mL, at: 5 s }]'))
    expect(poursOf(long)).toEqual(poursOf(read(small)))
  })
  it('reads warm pours, stoppers, shaking, what a vessel held before, and fresh air', () => {
    const d = read(
      edited(/room: .*/, 'room: { temperature: 21 degC, volume: 100 m3, air changes: 3 /h, audience: 250 cm }').replace(
        'pours: [250 mL of A, 250 mL of B at 5 s]',
        'closed: yes, shaken: yes, held before: [B, sulfite], pours: [{ pour: A, volume: 250 mL, temperature: 60 degC }, 250 mL of B at 5 s]',
      ),
    )
    expect(d.room.airChangesPerH).toBeCloseTo(3, 12)
    expect(d.room.audienceM).toBeCloseTo(2.5, 12)
    expect(read(small).room).not.toHaveProperty('audienceM')
    expect(d.vessels[0]).toMatchObject({ closed: true, shaken: true, heldBefore: ['B', 'sulfite'] })
    expect(d.vessels[0]?.pours.map((p) => p.temperatureK)).toEqual([333.15, undefined])
    expect(read(small).vessels[0]).not.toHaveProperty('closed')
  })
  it('copies a vessel and moves its start', () => {
    const d = read(
      `${small.replaceAll('300 mL', '900 mL')}  two: { like: jar, starts at: 20 s }\n  three: { like: two, starts at: 40 s, depth: 5 cm }\n`,
    )
    expect(d.vessels.map((v) => [v.id, v.depthCm, v.capacityL, v.pours.map((p) => p.atS)])).toEqual([
      ['jar', 8, 1, [0, 5]],
      ['two', 8, 1, [20, 25]],
      ['three', 5, 1, [40, 45]],
    ])
  })
  it('reads all ways to state how much', () => {
    const d = read(
      edited(
        'sulfite: 10 mmol/L',
        'sulfite: { in the mix: 5 mmol/L, weighed: 0.6 g }, iodate: 5 mL, starch: 0.3 g, dye: { volume: 2 mL, measured: 2.1 mL }, salt: { in solution: 1 % w/w }',
      ).replace(
        'solutions:',
        '  starch: starch (soluble)\n  dye: { substance: methylene blue, strength: 0.1 % w/v }\n  salt: sodium chloride\nsolutions:',
      ),
    )
    expect(d.solutions[1]?.ingredients.map((i) => [i.bottle, i.target.state, i.weighed?.text])).toEqual([
      ['sulfite', 'in-mix', '0.6 g'],
      ['iodate', 'volume', undefined],
      ['starch', 'mass', undefined],
      ['dye', 'volume', '2.1 mL'],
      ['salt', 'in-solution', undefined],
    ])
    expect(d.starch).toBe(true)
  })
  it('reads assays', () => {
    const assay = (a: string) => read(edited('purity: 97 %', `strength: 3 % w/w, assay: ${a}`)).bottles[1]?.assay
    expect(
      assay('{ by: permanganate, take: 5 mL, dilute to: 500 mL, aliquot: 20 mL, titrant: 0.02 mol/L, used: 35.5 mL, blank: 0.1 mL }'),
    ).toMatchObject({
      by: 'permanganate',
      dilutedTo: { value: 0.5 },
      blank: { text: '0.1 mL' },
    })
    expect(assay('{ by: iodometric, take: 5 mL, aliquot: 5 mL, titrant: 0.1 mol/L, used: 20 mL }')).toMatchObject({
      by: 'iodometric',
      used: { value: 0.02 },
    })
    expect(assay('{ by: oxygen volume, take: 1 mL, gas: 105 mL, temperature: 21 degC, pressure: 1013 hPa, over water: no }')).toMatchObject(
      {
        by: 'oxygen-volume',
        overWater: false,
        pressure: { value: 101_300 },
      },
    )
  })
  it('lets a found recipe borrow bottles', () => {
    const d = read(`${small}found:
  page 3: { source: a book, bottles: { weak: { substance: hydrogen peroxide, strength: 3 % w/w } }, solutions: { I: { make: 100 mL, with: { iodate: 0.5 g, weak: 10 mL } } }, pours: [100 mL of I] }
`)
    expect(d.found[0]?.bottles.map((b) => b.id)).toEqual(['weak', 'iodate'])
    expect(d.found[0]?.pours).toMatchObject([{ solution: 'I', volume: { value: 0.1 } }])
  })
  it('reads light, tools, controls, lengths and water', () => {
    const d = read(`${small
      .replace('{ iodate: 20 mmol/L }', 'water')
      .replace('sulfite: 10', 'iodate: 20')
      .replace(/ {2}sulfite.*\n/, '')}view: { light: Warm LED, adaptation: none }
tools: { balance: 1 mg, glass: class A }
controls: { iodine-vapour: fume hood running at 0.5 m/s }
wanted: { length: 8 min }
starch: yes
story: |
  Two lines
  of story.
`)
    expect(d).toMatchObject({
      view: { illuminant: 'led_b1', adaptation: 0 },
      tools: { glassClass: 'A' },
      controls: { 'iodine-vapour': 'fume hood running at 0.5 m/s' },
      wantedLengthS: 480,
      rehearseS: 960,
      starch: true,
      story: 'Two lines\nof story.',
    })
    expect(d.solutions[0]?.ingredients).toEqual([])
    expect(d.tools.balanceReadabilityG).toBeCloseTo(0.001, 12)
  })
})

describe('a wrong document gives all its problems at their places', () => {
  it('collects them in reading order', () => {
    const text = edited('21 degC', '70 degF')
      .replace('99.5 %', '-1 %')
      .replace('20 mmol/L', '20 mL/mol')
      .replace('of B', 'of Bb')
      .replace('title: Small', 'titel: Small')
    expect(met(text)).toEqual(
      [
        ['document/unknown-key', 'titel'],
        ['units/fahrenheit', '70 degF'],
        ['units/negative', '-1 %'],
        ['units/unit-unknown', '20 mL/mol'],
        ['document/unknown-solution', '250 mL of Bb'],
      ].map(([code, passage]) => `${code} ${placeOf(text, passage ?? '')}`),
    )
  })
  it.each([
    ['unknown bottle', edited('{ iodate: 20', '{ iodat: 20'), 'unknown-bottle', 'iodat: 20', 'did you mean "iodate"?'],
    ['unknown key with the keys', edited('depth: 8 cm', 'zzz: 8 cm'), 'unknown-key', 'zzz: 8', 'holds, depth, pours'],
    ['missing key', edited('make: 300 mL, with: { iodate', 'with: { iodate'), 'missing-key', 'A: |{ with', '"make" is missing'],
    ['a list where a map is needed', edited('{ make: 300 mL, with: { iodate: 20 mmol/L } }', '[1]'), 'not-a-map', 'A: |[1]', 'met a list'],
    ['nothing where a map is needed', edited(/bottles:\n.*\n.*\n/, 'bottles:\n'), 'not-a-map', 'bottles:|', 'met nothing'],
    ['a map where a value is needed', edited('title: Small', 'title: { a: 1 }'), 'not-a-value', '{ a: 1', 'met a map'],
    ['decimal comma in braces', edited('iodate: 20 mmol', 'iodate: 0,02 mol'), 'units/decimal-comma', '0,02', '"0.02 mol/L"'],
    [
      'more poured than made',
      edited('[250 mL of A', '[350 mL of A'),
      'more-poured-than-made',
      'A: { make',
      '350 mL are poured, 300 mL are made',
    ],
    [
      'more poured than made, counted',
      edited('holds: 1 L', 'count: 2, holds: 1 L').replace('A: { make: 300', 'A: { make: 900').replace('B: { make: 300', 'B: { make: 499'),
      'more-poured-than-made',
      'B: { make',
      '500 mL',
    ],
    ['overfilled', edited('holds: 1 L', 'holds: 400 mL'), 'vessel-overfilled', 'jar: {', '500 mL are poured into it, it holds 400 mL'],
    ['empty vessel', edited('[250 mL of A, 250 mL of B at 5 s]', '[]'), 'vessel-empty', 'jar: {', 'nothing is poured'],
    ['no vessel', edited(/vessels:\n.*\n/, 'vessels: {}\n'), 'no-vessel', 'vessels: |{}', 'write one'],
    ['pours not a list', edited('[250 mL of A, 250 mL of B at 5 s]', 'A'), 'not-a-list', 'pours: |A', 'a list of pours'],
    ['not a pour', edited('250 mL of A', '250 mL A'), 'not-a-pour', '250 mL A', '300 mL of A at 10 s'],
    ['negative time', edited('at 5 s', 'at -5 s'), 'units/negative', '250 mL of B', 'negative'],
    ['time beyond two days', edited('at 5 s', 'at 1e300 s'), 'out-of-range', '250 mL of B', 'two days'],
    ['solution of nothing', edited('{ iodate: 20 mmol/L }', '{}'), 'solution-empty', 'with: |{}', 'with: water'],
    ['two targets', edited('iodate: 20 mmol/L', 'iodate: { mass: 1 g, in the mix: 5 mM }'), 'target-not-one', 'iodate: |{ mass', '2 times'],
    ['no target', edited('iodate: 20 mmol/L', 'iodate: { weighed: 1 g }'), 'target-not-one', 'iodate: |{ weighed', 'not stated'],
    [
      'weighed and measured',
      edited('iodate: 20 mmol/L', 'iodate: { mass: 1 g, weighed: 1 g, measured: 1 mL }'),
      'weighed-and-measured',
      'measured: 1 mL',
      'really done',
    ],
    ['purity and strength', edited('purity: 97 %', 'purity: 97 %, strength: 3 % w/w'), 'purity-and-strength', 'purity: 97 %', 'not both'],
    ['purity above 102 %', edited('97 %', '130 %'), 'out-of-range', '130 %', 'at most 102 %'],
    ['zero', edited('20 mmol/L', '0 mmol/L'), 'zero', '0 mmol', 'is nothing'],
    ['room too small', edited('100 m3', '100 L'), 'out-of-range', '100 L', 'm3'],
    ['bad name', edited('  A: {', '  "<b>": {').replace('250 mL of A, ', ''), 'name-not-taken', '"<b>"', 'letters, digits'],
    ['too long a title', edited('Small', 'x'.repeat(3000)), 'text-too-long', 'xxx', '2000'],
    ['hidden characters', edited('Small', 'Sm\u202eall'), 'hidden-characters', 'Sm\u202eall', 'cannot be seen'],
    ['empty title', edited('Small', '""'), 'not-a-value', '""', 'empty'],
    ['not a count', edited('holds: 1 L', 'holds: 1 L, count: 2.5'), 'not-a-count', '2.5', '1 to 1000'],
    ['neither yes nor no', edited('holds: 1 L', 'holds: 1 L, stirred: maybe'), 'not-yes-or-no', 'maybe', 'yes or no'],
    ['like an unknown vessel', `${small}  two: { like: jat }\n`, 'unknown-vessel', 'jat', 'did you mean "jar"?'],
    ['unknown light', `${small}view: { light: moonlight }\n`, 'unknown-light', 'moonlight', 'daylight'],
    ['control without a sentence', `${small}controls: { x: yes }\n`, 'control-not-said', 'x: |yes', 'what is done'],
    ['unknown assay', edited('purity: 97 %', 'assay: { by: smell }'), 'unknown-assay', 'smell', 'permanganate'],
    [
      'assay without its titrant',
      edited('purity: 97 %', 'assay: { by: iodometric, take: 5 mL, aliquot: 5 mL, used: 20 mL }'),
      'missing-key',
      'assay: |{',
      '"titrant"',
    ],
    [
      'assay with keys of another',
      edited('purity: 97 %', 'assay: { by: iodometric, take: 5 mL, aliquot: 5 mL, titrant: 0.1 M, used: 20 mL, gas: 3 mL }'),
      'unknown-key',
      'gas: 3',
      '"gas"',
    ],
    [
      'assay diluted to less',
      edited('purity: 97 %', 'assay: { by: iodometric, take: 50 mL, dilute to: 5 mL, aliquot: 5 mL, titrant: 0.1 M, used: 20 mL }'),
      'assay-impossible',
      'dilute to',
      'larger',
    ],
    [
      'assay with a large blank',
      edited('purity: 97 %', 'assay: { by: iodometric, take: 5 mL, aliquot: 5 mL, titrant: 0.1 M, used: 2 mL, blank: 3 mL }'),
      'assay-impossible',
      'blank',
      'burette',
    ],
    ['version missing', edited('beakertide: 1\n', ''), 'version-missing', 'title', 'beakertide: 1'],
    ['version unreadable', edited('beakertide: 1', 'beakertide: one'), 'version-unreadable', 'one', 'whole number'],
    ['version newer', edited('beakertide: 1', 'beakertide: 2'), 'version-newer', 'beakertide: |2', 'newer Beakertide'],
    ['a list', '- a\n- b\n', 'not-a-demonstration', '- a', 'met a list'],
    ['empty', '', 'not-a-demonstration', '', 'met nothing'],
    [
      'in the mix of nothing',
      `${edited('iodate: 20 mmol/L', 'iodate: { in the mix: 5 mM }').replace('250 mL of A, ', '')}`,
      'no-mix',
      'iodate: { in',
      'poured nowhere',
    ],
    [
      'in the mix of two mixes',
      `${edited('iodate: 20 mmol/L', 'iodate: { in the mix: 5 mM }').replace('250 mL of A', '100 mL of A').replace('250 mL of B', '100 mL of B')}  two: { depth: 8 cm, pours: [100 mL of A, 150 mL of B] }\n`,
      'mix-not-one',
      'iodate: { in',
      'different shares',
    ],
  ])('%s', (_, text, code, passage, words) => {
    expect(met(text)).toEqual([`document/${code} ${placeOf(text, passage)}`.replace('document/units/', 'units/')])
    expect(said(text)).toContain(words)
  })
  it.each([['pour-after-the-end', `${edited('at 5 s', 'at 400 s')}rehearse for: 5 min\n`, '250 mL of B']])(
    'warns: %s',
    (code, text, passage) => {
      const got = parseDemonstration(text, 's.yaml')
      expect(got.ok).toBe(true)
      expect(met(text)).toEqual([`document/${code} ${placeOf(text, passage)}`])
    },
  )
})

describe('a reaction is a name or a file beside the document', () => {
  const reaction = (text: string): string => edited('iodate-bisulfite', text)
  it('reads both', () => {
    expect(read(reaction('./my-steps.yaml')).reaction).toEqual({ file: './my-steps.yaml' })
    expect(read(small).reaction).toEqual({ name: 'iodate-bisulfite' })
    expect(read(reaction('iodate-bisulfite/elementary')).reaction).toEqual({ name: 'iodate-bisulfite/elementary' })
  })
  it.each([
    '../steps.yaml',
    '/etc/passwd',
    './../x.yaml',
    './a/b.yaml',
    'C:\\x.yaml',
    'https://example.org/x.yaml',
    'steps.yaml',
    './.hidden.yaml',
    './x..yaml',
    './x.json',
    '"./x.yaml\\0.yaml"',
    'file:x',
  ])('refuses %s', (text) => {
    expect(met(reaction(text))[0]).toMatch(/^document\/file-not-beside /)
  })
  it('suggests the nearest name of a known catalogue', () => {
    const known = { reactions: ['iodate-bisulfite', 'blue-bottle'] }
    expect(met(small, known)).toEqual([])
    expect(said(reaction('iodate-bisulfit'), known)).toContain('did you mean "iodate-bisulfite"?')
    expect(said(reaction('nonsense'), known)).toContain('known here: iodate-bisulfite, blue-bottle')
  })
})

describe('hostile text stays text', () => {
  it('keys like "__proto__" are names that are not taken', () => {
    expect(met(edited('  A: {', '  __proto__: {').replace('of A', 'of B'))).toContain('document/name-not-taken 9:3')
    expect(met(`${small}controls: { __proto__: a sentence long enough }\n`)).toEqual([])
    expect(Object.getPrototypeOf({})).toBe(Object.prototype)
  })
})

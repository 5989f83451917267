import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan } from '../clearing/index.ts'
import type { MakeUp, RecipeComparison } from '../makeup/index.ts'
import { findMechanism } from '../mechanism/index.ts'
import type { Inventory } from '../mixture/index.ts'
import type { BandValue, Rehearsal } from '../rehearsal/index.ts'
import { checkSheet, type PouredToPrint, verdict } from './check-sheet.ts'
import { clearingSheet, rangeWords } from './clearing-sheet.ts'
import { comparisonSheet } from './comparison-sheet.ts'
import { daySheet } from './day-sheet.ts'
import { htmlPage } from './html-page.ts'
import { htmlText } from './html-text.ts'
import { makeUpSheet, nominalVolume, shoppingSheet } from './make-up-sheet.ts'
import { catalogueSheet, mechanismSheet, MODEL_LINE } from './mechanism-sheet.ts'
import type { Paper } from './paper.ts'
import { reasonsSheet } from './reasons-sheet.ts'
import { bandWords, courseLines, rehearsalSheet } from './rehearsal-sheet.ts'
import { sourcesSheet } from './sources-sheet.ts'
import { speciesBook } from './species-book.ts'

const book = speciesBook(facts.matter().species)
const source = { source: 'a book', seen: 'read' } as const
const cautions: Cautions = {
  list: [{ code: 'cautions/x', severity: 4, about: 'vessel "jar"', what: 'chlorine', instead: 'do not', source }],
  standing: ['Goggles for everyone.'],
  refused: false,
}
const problem = { code: 'a/b', where: 'solution "A"', what: 'something is thin', todo: 'look at it' }
const inventory: Inventory = {
  vessel: 'jar',
  atS: 10,
  volumeL: 0.5,
  massG: 500,
  temperatureK: 294.15,
  heatCapacityJPerK: 2092,
  amountsMol: { H2O: 27.7, 'IO3-': 0.0335, MA: 0.025, 'MnOH2+': 1e-9 },
  solidsMol: {},
  gasesMol: {},
  relativeUncertainty: {},
}
const poured: PouredToPrint = {
  id: 'jar',
  inventory,
  equilibrium: null,
  canItWork: {
    works: false,
    problems: [problem],
    cautions: [problem],
    checks: [
      {
        effect: 'shows',
        species: 'I2',
        netReactions: ['n'],
        possible: false,
        extremeMolPerL: 0,
        margins: [{ species: 'IO3-', haveMolPerL: 0.05, atLeastMolPerL: null, atMostMolPerL: Number.POSITIVE_INFINITY, ratio: 0.5 }],
      },
    ],
    limiting: [],
    idleSteps: [],
  },
}
const made: MakeUp = {
  portions: [
    {
      solution: 'A',
      bottle: 'acid',
      substanceId: 'sulfuric-acid',
      substanceName: 'sulfuric acid',
      formula: 'H2SO4',
      measure: 'measure-volume',
      massG: 3.83,
      massShownG: 3.85,
      volumeL: 0.002088,
      volumeShownL: 0.0021,
      written: '2.10 mL',
      tool: 'graduated pipette 5 mL class B',
      amountMol: 0.0377,
      relativeUncertainty: 0.011,
      notes: ['fuming'],
    },
  ],
  strengths: [
    {
      solution: 'A',
      bottle: 'acid',
      substanceId: 'sulfuric-acid',
      wantedMolPerL: 0.075,
      trueMolPerL: 0.07545,
      uncertaintyMolPerL: 0.00082,
    },
  ],
  solutions: [
    {
      id: 'A',
      volumeL: 0.5,
      massG: 502,
      densityGPerMl: 1.003,
      densityFrom: 'table',
      amountsMol: {},
      relativeUncertainty: {},
      temperatureC: 21,
      heatCapacityJPerGK: 4.1,
      heatOfMakingK: null,
    },
  ],
  solubility: [
    {
      solution: 'A',
      substanceId: 'x',
      needsGPer100gWater: 9,
      holdsGPer100gWater: 8,
      atCelsius: 20,
      dissolvesAboveCelsius: 31,
      verdict: 'too-much',
      source,
    },
  ],
  work: [
    { order: 2, solution: 'A', text: 'Fill up.' },
    { order: 1, solution: 'A', text: 'Acid into water.', danger: true, waitMinutes: 11 },
  ],
  shopping: [{ bottle: 'acid', substanceName: 'sulfuric acid', needG: 3.8, needMl: 2.1, packs: '1 x 500 mL' }],
  remarks: [problem],
  sources: [source],
}
const value: BandValue = { low: 634, middle: 781, high: 883, share: 0.9 }
const rehearsal: Rehearsal = {
  vessel: 'jar',
  mechanism: 'm/x',
  grade: 'published',
  startS: 10,
  turns: [
    { timeS: 12.6, from: 'colourless', to: 'black', deltaE: 87.3 },
    { timeS: 33, from: 'black', to: 'amber', deltaE: 85 },
  ],
  inductionS: 2.6,
  periodsS: [21.3, 39.7],
  cycles: 3,
  endS: 862,
  lastsS: 852,
  stillGoing: false,
  cause: 'malonic acid is used up at 14 min',
  finalColour: { hex: '#112244', name: 'dark blue' },
  duty: [],
  strip: [
    { timeS: 0, hex: '#ffffff', name: 'colourless', lab: [100, 0, 0] },
    { timeS: 900, hex: '#112244', name: 'dark blue', lab: [10, 0, -20] },
  ],
  traces: [{ name: 'pI', unit: '', timesS: [0, 900], values: [4, 9], note: 'ideal' }],
  balance: { elementDriftMax: 1e-9, chargeDriftMax: 1e-9 },
  band: {
    samples: 10,
    failed: 1,
    stoppedBecause: 'all-runs',
    stillGoingShare: 0.2,
    seed: 1,
    firstTurnS: { low: 0.1, middle: 0.2, high: 0.3, share: 1 },
    periodS: { low: null, middle: null, high: null, share: 0.1 },
    cycles: { low: 21, middle: 39.6, high: 50, share: 1 },
    lengthS: value,
    model: [],
    varied: [],
  },
  start: inventory,
  end: inventory,
  inventories: [],
  temperatureRangeK: [294, 295],
  gasL: 0.1,
  ending: { how: 'reached-end', timeS: 900 },
  statistics: { steps: 1, rejected: 0, rejectedForSign: 0, rateCalls: 1, jacobianCalls: 1, decompositions: 1, solves: 1, pivoted: 0 },
  faults: [{ feature: 'period', text: 'too short', source: 'X' }],
  remarks: [problem],
  sources: [source],
}
const range = { low: 1, high: 2 }
const plan: ClearingPlan = {
  vessel: 'jar',
  cases: ['finished', 'finished', 'stopped early at 10 s'],
  cautions: [{ code: 'cautions/y', severity: 3, about: 'leftovers of vessel "jar"', what: 'heat', instead: 'portions', source }],
  oxidants: [
    { species: 'H2O2', amountMol: range, electrons: 2, equivalentsMol: { low: 2, high: 4 } },
    { species: 'I.', amountMol: { low: 0, high: 1e-9 }, electrons: 1, equivalentsMol: { low: 0, high: 1e-9 } },
  ],
  oxidantEquivalentsMol: { low: 2, high: 4 },
  left: [
    { species: 'H2O2', roles: ['oxidant'], finishedMol: range, earlyMol: { low: 2, high: 4 } },
    { species: 'I.', roles: ['oxidant'], finishedMol: { low: 0, high: 1e-9 }, earlyMol: null },
  ],
  oxidantLeftMol: { low: 0, high: 0 },
  organics: [],
  reductants: [
    {
      id: 'bisulfite',
      name: 'sodium hydrogensulfite',
      formula: 'NaHSO3',
      amountMol: range,
      massG: { low: 130, high: 150 },
      heatKJ: range,
      temperatureRiseK: range,
      acidMadeMol: range,
      equations: [],
      likelyG: { low: 130, high: 150 },
      chosen: true,
      note: 'instant',
    },
  ],
  acid: { amountMol: range, bicarbonateG: range, carbonateG: range, co2L: range, toPH: 8, madeMol: range },
  alkali: { amountMol: range, citricAcidG: range },
  dilution: { factor: 2, waterL: 1, totalL: 2, vesselL: 6 },
  metals: [],
  treatment: [
    {
      name: 'reductant solution, pH held',
      additions: [{ name: 'sodium hydrogensulfite', formula: 'NaHSO3', massG: { low: 130, high: 150 }, waterL: range }],
      waterL: { low: 0, high: 0 },
      volumeL: range,
      pHBefore: { low: 4.3, high: 4.3 },
      pHAfter: { low: 4.2, high: 4.5 },
      heatKJ: range,
      riseK: range,
      gas: [{ species: 'CO2(g)', litres: range }],
      solids: [],
      equations: [],
    },
  ],
  alternatives: [
    {
      id: 'bisulfite',
      name: 'sodium hydrogensulfite',
      chosen: true,
      reductantG: { low: 130, high: 150 },
      neutraliserG: range,
      price: '3.10 EUR',
      waterL: range,
      heatKJ: range,
      riseK: range,
      gasL: range,
      saltG: range,
      sulfateG: range,
      residueG: { low: 0, high: 0 },
      liquidL: range,
      leaves: [],
      note: '',
    },
  ],
  liquid: { volumeL: range, pH: { low: 7.5, high: 8.4 }, ionicStrengthMolPerL: range, dissolvedMgPerL: range },
  steps: [
    { order: 2, what: 'Test a drop', why: 'to be sure', equations: ['H2O2 + 2 I- + 2 H+ -> I2 + 2 H2O'], test: 'paper' },
    {
      order: 1,
      what: 'Add it slowly. Stir well.',
      why: 'it warms',
      equations: [],
      massG: range,
      substance: 'salt',
      portions: 3,
      danger: true,
    },
  ],
  streams: [{ name: 'liquid', goes: 'collect as liquid', what: 'sulfate', reasons: ['over the limits you entered'], amount: '2 L' }],
  composition: [{ name: 'sulfate', mgPerL: range }],
  place: {
    name: 'here',
    source: 'a letter',
    collectAll: false,
    lines: [{ parameter: 'sulfate', unit: 'mg/L', low: null, high: 600, found: { low: 700, high: 800 }, verdict: 'over' }],
    notLimited: ['sodium'],
    over: ['sulfate'],
  },
  publishedLimits: [],
  heatAssumption: 'nothing is lost',
  harmless: null,
  localRule: 'Only where allowed.',
  sources: [source],
}
const comparison: RecipeComparison = {
  recipes: ['ours', 'found'],
  rows: [
    {
      species: 'MA',
      isCounterIon: false,
      medianMolPerL: 0.05,
      cells: [
        { recipe: 'ours', molPerL: 0.05, deviation: 0, mark: 'usual' },
        { recipe: 'found', molPerL: 0, deviation: null, mark: 'missing' },
      ],
    },
  ],
  oddOneOut: 'found',
  remarks: [problem],
  rule: 'a rule',
}
const found = findMechanism('iodate-peroxide-malonate', facts.mechanisms(), facts.mechanismDefaults())
if (!found.ok) throw new Error('the catalogue has its default mechanism')
const mechanism = found.value
const reasons = {
  vessel: 'jar',
  mechanism,
  atS: 60,
  species: [{ species: 'I2', making: [{ step: 'I1', molPerLS: 1, share: 1 }], using: [], netMolPerLS: 1, inBalance: ['E1'] }],
  reigns: [
    { species: 'I2', role: 'makes' as const, step: 'I1', fromS: 0, toS: 20, share: 0.9 },
    { species: 'I2', role: 'makes' as const, step: null, fromS: 20, toS: 30, share: 0 },
  ],
  limiting: [
    {
      reaction: 'n',
      equation: 'I2 + MA -> IMA + I- + H+',
      what: 'uptake',
      limiting: {
        species: 'I2',
        extent: 1,
        reagents: [
          { species: 'I2', extent: 1, left: 0, ratio: 1 },
          { species: 'MA', extent: 1000, left: 999, ratio: 1000 },
        ],
      },
    },
  ],
  sensitivities: [{ of: 'A/acid', kind: 'ingredient' as const, firstTurn: -0.3, period: null, length: 1, cyclesForTenPercent: -4 }],
  sensitivityMethod: 'differences',
}

const title = 'A <b>title</b>'
const sheets: readonly (readonly [string, Paper])[] = [
  ['check', checkSheet(title, made, [poured], cautions, book)],
  ['make-up', makeUpSheet(title, made, cautions, book)],
  ['shopping', shoppingSheet(title, made, cautions, book)],
  ['rehearsal', rehearsalSheet(title, [rehearsal], cautions, book)],
  ['clearing', clearingSheet(title, [plan], cautions, book)],
  ['comparison', comparisonSheet(title, comparison, cautions, book)],
  ['reasons', reasonsSheet(title, [reasons], cautions, book)],
  ['sources', sourcesSheet(title, [source], cautions)],
  ['mechanism', mechanismSheet(mechanism, book)],
  ['catalogue', catalogueSheet([mechanism], facts.mechanismDefaults())],
  ['day', daySheet({ title, cautions, makeUp: made, poured: [poured], rehearsals: [rehearsal], plans: [plan] }, book)],
]
/** All words of a paper. */
const words = (p: Paper): string => JSON.stringify(p.blocks)

describe.each(sheets)('the %s sheet', (_, paper) => {
  it('begins with its dangers, none left out', () => {
    const [first, ...others] = paper.blocks
    expect(first?.block).toBe('danger')
    expect(others.some((b) => b.block === 'danger')).toBe(false)
    if (first?.block !== 'danger') return
    if (first.standing.includes(MODEL_LINE)) return
    expect(first.standing).toEqual(cautions.standing)
    expect(first.lines[0]).toMatchObject({ about: 'vessel "jar"', what: 'chlorine.' })
  })
  it('has as many cells in every row as columns', () => {
    for (const b of paper.blocks) if (b.block === 'table') for (const row of b.rows) expect(row).toHaveLength(b.columns.length)
  })
  it('says no undefined, no object, no infinity', () => {
    expect(words(paper)).not.toMatch(/undefined|\[object|NaN|Infinity|infinite/)
  })
})

describe('what the sheets say', () => {
  const sheet = (name: string): string => words(sheets.find(([n]) => n === name)![1])
  it('no-go comes before everything else of the check', () => {
    expect(sheet('check')).toMatch(/NO-GO/)
    expect(sheet('check').indexOf('NO-GO')).toBeLessThan(sheet('check').indexOf('Vessel jar'))
  })
  it('what only a stated control allows is never plain GO', () => {
    const lifted = { ...cautions, list: cautions.list.map((c) => ({ ...c, refuses: true as const, control: 'in a closed hood' })) }
    expect(verdict([], lifted)).toMatch(/^GO ONLY UNDER THE STATED CONTROL/)
    expect(verdict([], { ...cautions, list: [] })).toMatch(/^GO, as far as/)
  })
  it('amounts are printed as the tool shows them, strengths with their uncertainty', () => {
    expect(sheet('make-up')).toContain('"2.10 mL"')
    expect(sheet('make-up')).toContain('0.07545 ± 0.00082')
    expect(nominalVolume(0.5)).toBe('500 mL')
    expect(nominalVolume(1.25)).toBe('1.25 L')
  })
  it('work stands in order, dangers marked, with its waiting', () => {
    expect(sheet('make-up').indexOf('Acid into water.')).toBeLessThan(sheet('make-up').indexOf('Fill up.'))
    expect(sheet('make-up')).toContain('"danger":true,"of":"A","text":"Acid into water. Wait 11 min."')
  })
  it('clearing adds its own dangers to the head, in full, and leaves traces out of the table', () => {
    const paper = sheets.find(([n]) => n === 'clearing')![1]
    const [danger] = paper.blocks
    expect(danger?.block === 'danger' && danger.lines.map((l) => l.about)).toEqual(['vessel "jar"', 'leftovers of vessel "jar"'])
    expect(words(paper)).toContain('in traces: I•')
    expect(words(paper)).toContain('H₂O₂ + 2 I⁻ + 2 H⁺ → I₂ + 2 H₂O')
    // The case is named once among the cases and heads its column
    expect(words(paper).match(/finished/g)).toHaveLength(2)
    expect(words(paper)).toContain('4.3 → 4.2 to 4.5')
    expect(words(paper)).toContain('up to 600 mg/L')
    expect(words(paper)).toContain('3.10 EUR')
  })
  it('step names are not taken for species', () => {
    expect(sheet('mechanism')).toContain('"I2"')
    expect(sheet('reasons')).toContain('I₂ is made by: I1 0 s to 20 s (90 %).')
    expect(sheet('reasons')).toContain('malonic acid is there in plenty')
  })
})

describe('a prediction in words', () => {
  it('counts from the pour that sets it off', () => {
    expect(courseLines(rehearsal)).toEqual([
      'First colour change 2.6 s after the pour that starts it (13 s on the clock): colourless to black.',
      '3 cycles, 21 s each at first, 40 s at the end.',
      'It lasts about 14 min, until the last colour change.',
      'How it ends: malonic acid is used up at 14 min. It is left dark blue.',
    ])
  })
  it('says at once for a first change within half a second', () => {
    const quick = { ...rehearsal, startS: 0, inductionS: 0, turns: [{ timeS: 0, from: 'colourless', to: 'amber', deltaE: 50 }] }
    expect(courseLines(quick)[0]).toBe('First colour change at once: colourless to amber.')
  })
  it('says so when nothing is seen', () => {
    expect(courseLines({ ...rehearsal, inductionS: null, turns: [] })[0]).toMatch(/^No colour change/)
  })
  it.each([
    [value, 'time', '11 to 15 min (middle 13); seen in 90 % of the varied runs'],
    [{ ...value, low: 12.4, middle: 19.1, high: 31.2, share: 1 }, 'time', '12 to 31 s (middle 19)'],
    // 4.26 s is 0.071 min: beside "8 s" nobody reads that
    [{ low: 4.26, middle: 20, high: 174, share: 1 }, 'time', '4.3 to 170 s (middle 20)'],
    [{ low: 0.1, middle: 0.2, high: 0.3, share: 1 }, 'time', 'at once'],
    [{ low: 2.31, middle: 2.32, high: 2.33, share: 1 }, 'time', '2.3 s'],
    [{ low: 21, middle: 39.6, high: 50, share: 1 }, 'number', '21 to 50 (middle 40)'],
    [{ low: null, middle: null, high: null, share: 0.1 }, 'time', 'not seen in 90 % of the varied runs'],
  ] as const)('band %j as %s', (band, of, text) => {
    expect(bandWords(band, of)).toBe(text)
  })
  it.each([
    [{ low: 130, high: 150 }, '130 to 150 g'],
    [{ low: 149, high: 150 }, '150 g'],
    [{ low: 0, high: 0 }, '0 g'],
  ])('range %j', (r, text) => {
    expect(rangeWords(r, 'g')).toBe(text)
  })
})

describe('the page', () => {
  const html = htmlPage(
    title,
    sheets.map(([, p]) => p),
    { from: 'a"><i>.yaml', by: 'Beakertide', at: 'now' },
  )
  it('escapes what a document says', () => {
    expect(html).not.toContain('<b>title</b>')
    expect(html).toContain('A &lt;b&gt;title&lt;/b&gt;')
    expect(html).not.toContain('"><i>')
  })
  it('loads and runs nothing', () => {
    expect(html.match(/<script|<link|<img|\ssrc=|url\(|@import|\son\w+=/i)).toBeNull()
    expect(html).toContain("default-src 'none'; style-src 'unsafe-inline'")
  })
  it('has one section a paper, dangers first, imprint last', () => {
    const sections = html.split('<section').slice(1)
    expect(sections).toHaveLength(sheets.length)
    for (const s of sections) {
      expect(s).toMatch(/^[^]*?<\/h1><aside class="danger"/)
      expect(s).toMatch(/<\/footer><\/div><\/section>/)
    }
  })
  it('sets sub- and superscripts and keeps numbers with their units', () => {
    expect(htmlText('SO₄²⁻ at 2.5 mol/L')).toBe('SO<sub>4</sub><sup>2−</sup> at 2.5\u00a0mol/L')
    expect(htmlText('10⁻⁵')).toBe('10<sup>−5</sup>')
  })
})

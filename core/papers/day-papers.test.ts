import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Cautions } from '../cautions/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import type { Band, Rehearsal, Turn } from '../rehearsal/index.ts'
import { cautionSheet } from './caution-sheet.ts'
import { compareCheckLine, checkLine } from './check-line.ts'
import { cueLetters } from './cue-letters.ts'
import { cueSheet, cuesOf, spanWords } from './cue-sheet.ts'
import { clockWords, turnSpans } from './cue-sheet-times.ts'
import { type DayOfPapers, dayPapers, isPaperKind, NEEDS_CLEARING, NEEDS_REHEARSAL, PAPER_KINDS } from './day-papers.ts'
import { htmlPage, paperMarkup, printedStyle, sheetRules, usualPrint } from './html-page.ts'
import { drawLabels, tooLongFor } from './label-html.ts'
import { fitLabel, LABEL_SHEETS, PAPER_MM, pictogramSideMm } from './label-layout.ts'
import { labelsOf } from './label-sheet.ts'
import { precautionsFor } from './label-statements.ts'
import type { LabelToPrint } from './paper.ts'
import { type RecipeToPrint, recipeCodes, recipeGroups } from './recipe-page.ts'
import { rehearsalSheet } from './rehearsal-sheet.ts'
import { speciesBook, speciesSpoken } from './species-book.ts'
import type { Saying } from './what-to-say.ts'
import { stretchWords } from './write-up-sheet.ts'

const book = speciesBook(facts.matter().species)
const hazards = facts.day().hazards
const source = { source: 'a book', seen: 'read' } as const
const hazardClass = (statement: string) => ({ statement, className: '', rule: 'GEN-1', paragraph: '', numbers: '', seen: 'read' }) as const
const cautions: Cautions = {
  list: [
    { code: 'cautions/x', severity: 4, about: 'vessel "jar"', what: 'chlorine', instead: 'do not', source },
    {
      code: 'cautions/solution-hazard',
      severity: 3,
      about: 'solution "A"',
      // The words name other statements than the classes: a label must not be read out of a sentence.
      what: 'as made, and once it is dry H301, H400 and EUH032 too',
      instead: 'Label it so.',
      label: { signalWord: 'Danger', pictograms: ['GHS03', 'GHS05'], classes: [hazardClass('H272'), hazardClass('H318')] },
      source,
    },
    { code: 'cautions/hazards-unknown', severity: 2, about: 'bottle "dye"', what: 'not in these tables', instead: 'ask', source },
  ],
  standing: ['Goggles for everyone.'],
  refused: false,
}
const portion = {
  solution: 'A',
  bottle: 'iodate',
  substanceId: 'potassium-iodate',
  substanceName: 'potassium iodate',
  formula: 'KIO3',
  measure: 'weigh',
  massG: 20.3,
  massShownG: 20.3,
  volumeL: null,
  volumeShownL: null,
  written: '20.30 g',
  tool: 'balance 0.01 g',
  amountMol: 0.095,
  relativeUncertainty: 0.005,
  notes: [],
} as const
const strength = {
  solution: 'A',
  bottle: 'iodate',
  substanceId: 'potassium-iodate',
  wantedMolPerL: 0.19,
  trueMolPerL: 0.19,
  uncertaintyMolPerL: 0.001,
}
const made: MakeUp = {
  portions: [portion, { ...portion, bottle: 'dye', substanceName: 'a dye', written: '0.10 g' }],
  strengths: [strength],
  solutions: [
    {
      id: 'A',
      volumeL: 0.5,
      massG: 505,
      densityGPerMl: 1.01,
      densityFrom: 'a table',
      amountsMol: {},
      relativeUncertainty: {},
      temperatureC: 21,
      heatCapacityJPerGK: 4.1,
      heatOfMakingK: null,
    },
  ],
  solubility: [],
  work: [],
  shopping: [],
  remarks: [],
  sources: [],
}
const turn = (timeS: number, from: string, to: string): Turn => ({ timeS, from, to, deltaE: 30 })
const band: Band = {
  samples: 20,
  failed: 0,
  stoppedBecause: 'stable',
  stillGoingShare: 0,
  seed: 1,
  firstTurnS: { low: 20, middle: 40, high: 80, share: 1 },
  periodS: { low: 8, middle: 10, high: 12, share: 1 },
  cycles: { low: 2, middle: 2, high: 2, share: 1 },
  lengthS: { low: 50, middle: 60, high: 90, share: 1 },
  model: [],
  varied: [],
}
const rehearsal = (vessel: string, startS: number): Rehearsal => ({
  vessel,
  mechanism: 'some-model',
  grade: 'published',
  startS,
  turns: [0, 5, 10, 15, 20].map((s, i) => turn(startS + 30 + s, i % 2 ? 'blue' : 'amber', i % 2 ? 'amber' : 'blue')),
  inductionS: 30,
  periodsS: [10],
  cycles: 2,
  endS: startS + 50,
  lastsS: 50,
  stillGoing: false,
  cause: 'iodate is used up',
  finalColour: { hex: '#aa0000', name: 'blue' },
  duty: [],
  strip: [
    { timeS: 0, hex: '#ffffff', name: 'colourless', lab: [100, 0, 0] },
    { timeS: 100, hex: '#0000aa', name: 'blue', lab: [20, 0, -40] },
  ],
  traces: [],
  balance: { elementDriftMax: 0, chargeDriftMax: 0 },
  band,
  start: {} as Rehearsal['start'],
  end: {} as Rehearsal['end'],
  inventories: [],
  temperatureRangeK: [294, 295],
  gasL: 0,
  ending: { how: 'reached' } as unknown as Rehearsal['ending'],
  statistics: {} as Rehearsal['statistics'],
  faults: [],
  remarks: [],
  sources: [],
})
const q = (text: string, value: number, kind: RecipeToPrint['solutions'][number]['volume']['kind']) => ({ text, value, kind })
const recipe = (iodate: string): RecipeToPrint => ({
  title: 'A <b>title</b>',
  story: 'What it shows.',
  room: { temperatureK: 294.15, volumeM3: 120 },
  bottles: [{ id: 'iodate', substance: 'potassium iodate', purity: q('99.5 %', 0.995, 'fraction') }],
  solutions: [
    {
      id: 'A',
      volume: q('500 mL', 0.5, 'volume'),
      ingredients: [
        { bottle: 'iodate', target: { state: 'in-solution', quantity: q(`${iodate} mol/L`, Number(iodate), 'amount-concentration') } },
      ],
    },
  ],
  vessels: [
    {
      id: 'jar',
      capacityL: 2,
      depthCm: 9,
      stirred: true,
      count: 1,
      pours: [
        { solution: 'A', volumeL: 0.36, atS: 0 },
        { solution: 'A', volumeL: 0.1, atS: 10 },
      ],
    },
  ],
  reaction: 'some-model',
  tools: { balanceReadabilityG: 0.01, glassClass: 'B' },
})
const day: DayOfPapers = {
  recipe: recipe('0.19'),
  cautions,
  makeUp: made,
  poured: [],
  rehearsals: [rehearsal('jar', 10)],
  plans: [],
  hazards,
}

describe('the papers of a day', () => {
  it('come in the order of the day, and danger heads each of them', () => {
    const papers = dayPapers(day, PAPER_KINDS, book)
    expect(papers.map((p) => p.kind)).toEqual([...PAPER_KINDS])
    for (const p of papers) {
      const [first] = p.blocks
      expect([p.kind, first?.block]).toEqual([p.kind, 'danger'])
      expect(JSON.stringify(first)).toContain('chlorine')
    }
  })

  it('needs a clearing plan for the cautions sheet, which holds the dangers of clearing', () => {
    expect(NEEDS_CLEARING).toContain('cautions')
    for (const kind of NEEDS_CLEARING) expect(NEEDS_REHEARSAL).toContain(kind)
  })

  it('knows its own names', () => {
    expect(isPaperKind('labels')).toBe(true)
    expect(isPaperKind('toString')).toBe(false)
  })

  it('draws every one without script, style attributes or raw text of the document', () => {
    const papers = dayPapers(day, PAPER_KINDS, book)
    const markup = paperMarkup(papers)
    expect(markup).not.toMatch(/<script|\sstyle=|\son\w+=|<b>title/)
    expect(markup).toContain('A &lt;b&gt;title')
    expect(htmlPage('x', papers)).toContain('@page labels{size:A4;margin:0}')
    expect(printedStyle()).toContain(':host')
    expect(sheetRules({ ...usualPrint, paper: 'letter' })).toContain('@page{size:letter}')
  })
})

describe('labels', () => {
  const [label] = labelsOf(made, cautions, hazards) as readonly [LabelToPrint]

  it('say strength, signal word, pictograms, statements, and what is not known', () => {
    expect(label.contents).toEqual(['potassium iodate 0.1900\u00a0±\u00a00.0010\u00a0mol/L', 'a dye, 0.10 g'])
    // UN GHS: oxidiser and severe eye damage carry GHS03 and GHS05 with Danger (class map of data/hazards)
    expect([label.signalWord, label.pictograms]).toEqual(['Danger', ['GHS03', 'GHS05']])
    expect(label.hazards.map((s) => s.code)).toEqual(['H272', 'H318'])
    expect(label.precautions.map((s) => s.code)).toContain('P305+P351+P338')
    expect(label.precautions.length).toBeLessThanOrEqual(6)
    expect(label.doubt).toContain('dye')
  })

  it('stand in words on the page before them, under the brief dangers', () => {
    const html = paperMarkup(dayPapers(day, ['labels'], book))
    const words = html.slice(html.indexOf('What the labels say'), html.indexOf('label-page'))
    expect(words).toContain('H318 can damage eyes')
    expect(words).toContain('P305+P351+P338 ')
    expect(html).toContain('the standing rules are on the cautions sheet')
  })

  it('take at most six precautions, the first of every hazard among them', () => {
    const many = precautionsFor(['H314', 'H272', 'H302', 'H335', 'H411', 'H317'])
    expect(many).toHaveLength(6)
    expect(many[0]).toBe('P280')
    expect(precautionsFor([])).toEqual([])
  })

  it('lie on the paper: every sheet fits its page', () => {
    for (const s of LABEL_SHEETS) {
      const page = PAPER_MM[s.paper]
      expect(s.leftMm).toBeGreaterThanOrEqual(0)
      expect(s.topMm).toBeGreaterThanOrEqual(0)
      expect(s.leftMm + s.columns * s.widthMm + (s.columns - 1) * s.gapXMm).toBeLessThanOrEqual(page.width + 0.02)
      expect(s.topMm + s.rows * s.heightMm + (s.rows - 1) * s.gapYMm).toBeLessThanOrEqual(page.height + 0.02)
    }
    expect(new Set(LABEL_SHEETS.map((s) => s.id)).size).toBe(LABEL_SHEETS.length)
  })

  it('give pictograms the size of the standard', () => {
    // CLP, as in data/hazards/ghs_rules.csv LAB-11: 16 mm on 52 x 74 mm, never under 10 mm
    const side = (id: string): number => pictogramSideMm({ volumeL: 0.5 }, LABEL_SHEETS.find((s) => s.id === id)!)
    expect([side('A4-2x5-cut'), side('A4-2x4'), side('A4-3x7')]).toEqual([16, 16, 10])
  })

  it('say less on small labels, and say so when even that is too much', () => {
    const small = LABEL_SHEETS.find((s) => s.id === 'A4-3x7')!
    const large = LABEL_SHEETS.find((s) => s.id === 'A4-2x4')!
    expect(fitLabel(label, large).detail).toBe('full')
    expect(fitLabel(label, large).lettersPt).toBeGreaterThanOrEqual(fitLabel(label, small).lettersPt)
    const long = { ...label, contents: Array.from({ length: 12 }, () => 'a very long name of a substance that takes its whole line') }
    expect(fitLabel(long, small).fits).toBe(false)
    expect(tooLongFor([label, { ...long, name: 'long' }], small)).toContain('long')
  })

  it('leave used positions free and go on over the page', () => {
    const sheet = LABEL_SHEETS[0]!
    const count = (html: string, what: string): number => html.split(what).length - 1
    const html = drawLabels([label], { sheet, skip: 3, copies: 7 })
    expect([count(html, 'class="used"'), count(html, '<div class="label t'), count(html, '"label-page"')]).toEqual([3, 7, 2])
    expect(count(drawLabels([label], { sheet, skip: 99, copies: 0 }), '<div class="label t')).toBe(1)
  })
})

describe('the cue sheet', () => {
  it('carries the band along the turns', () => {
    // by hand: induction 30 s with factors 0.5 and 2, then the period's 0.8 and 1.2 on the time since
    expect(turnSpans(rehearsal('jar', 10)).slice(0, 3)).toEqual([
      { timeS: 40, lowS: 25, highS: 70 },
      { timeS: 45, lowS: 29, highS: 76 },
      { timeS: 50, lowS: 33, highS: 82 },
    ])
    expect(turnSpans({ ...rehearsal('jar', 10), band: null })[0]).toEqual({ timeS: 40, lowS: null, highS: null })
    expect(turnSpans({ ...rehearsal('jar', 10), turns: [] })).toEqual([])
  })

  it('puts pours and turns in one order of time; pours of one moment together', () => {
    const cues = cuesOf({ title: 'x', vessels: day.recipe.vessels, rehearsals: day.rehearsals })
    expect(cues.map((c) => [c.atS, c.kind])).toEqual([
      [0, 'pour'],
      [10, 'pour'],
      [40, 'turn'],
      [45, 'turn'],
      [50, 'turn'],
      [55, 'turn'],
      [60, 'turn'],
      [60, 'end'],
    ])
    expect(cues[0]?.what).toBe('Pour 360 mL of A')
  })

  it('cues vessels of the same course once, and the others by their first turn', () => {
    const [jar] = day.recipe.vessels
    const vessels = [jar!, { ...jar!, id: 'glass' }]
    const cues = cuesOf({ title: 'x', vessels, rehearsals: [rehearsal('jar', 10), rehearsal('glass', 40)] })
    expect(cues.filter((c) => c.what.startsWith('glass')).map((c) => c.what)).toEqual(['glass: amber → blue, and on as jar'])
    expect(cues[0]?.what).toBe('Pour 360 mL of A into jar, glass')
  })

  it('says one sentence a phase, from the run itself, and leaves the rest for own words', () => {
    const jar = rehearsal('jar', 10)
    const vessels = day.recipe.vessels.slice(0, 1)
    const named = (id: string): string => (id === 'I2' ? 'iodine' : id === 'HSO3-' ? 'bisulfite' : id)
    const rises = jar.turns.map((_, i) => i % 2 === 0)
    const says = (saying: Partial<Saying>): readonly string[] =>
      cuesOf(
        { title: 'x', vessels, rehearsals: [jar], sayings: [{ vessel: 'jar', species: 'I2', gone: null, rises, ...saying }] },
        named,
      ).map((c) => c.say)
    expect(says({}).filter((s) => s !== '')).toEqual([
      'Now all is together; for about 30 s nothing is seen.',
      'Now more iodine is made than is used up.',
      'Now more iodine is used up than is made.',
      expect.stringMatching(/\.$/),
    ])
    expect(says({ gone: 'HSO3-' }).slice(1, 4)).toEqual([
      'Iodine is made from now on, but bisulfite takes it away at once.',
      'The bisulfite is used up: nothing takes the iodine away any more.',
      'Now more iodine is used up than is made.',
    ])
    expect(['I2', 'ferroin', 'MA'].map((id) => speciesSpoken(id, book))).toEqual(['iodine', 'ferroin', 'malonic acid'])
    // Nothing coloured is made or used: only the wait and the end are told.
    expect(says({ species: null }).filter((s) => s !== '')).toHaveLength(2)
    const html = htmlPage('x', [cueSheet({ title: 'x', vessels, rehearsals: [jar], audienceM: 5 }, day.cautions, {})])
    expect(html).toContain('The nearest row sits at 5 m; nobody comes nearer than 3 m.')
    const near = cueSheet({ title: 'x', vessels, rehearsals: [jar], audienceM: 2.5 }, day.cautions, {})
    expect(JSON.stringify(near)).toContain('The nearest row sits at 2.5 m: that is too near')
    const hardly = cueSheet({ title: 'x', vessels, rehearsals: [jar], audienceM: 2.999 }, day.cautions, {})
    expect(JSON.stringify(hardly)).toContain('The nearest row sits at 2.99 m: that is too near')
    expect(html.match(/<span class="own">/g)?.length).toBe(cuesOf({ title: 'x', vessels, rehearsals: [jar] }).length)
  })

  it('takes smaller letters for a course that would not stand on its page', () => {
    const danger = { block: 'danger', lines: [], standing: [] } as const
    const cue = { atS: 0, kind: 'turn', what: 'amber → blue', between: '10 s to 20 s', say: '' } as const
    const of = (n: number, text = ''): string =>
      cueLetters(
        Array.from({ length: n }, () => ({ ...cue, say: text })),
        danger,
        false,
      )
    expect([of(5), of(40)]).toEqual(['large', 'small'])
    // Sentences take room too; so do dangers.
    const most = Array.from({ length: 40 }, (_, i) => i)
      .filter((n) => of(n) === 'large')
      .at(-1)!
    expect(of(most, 'a sentence that takes two lines of its column and a line to write on')).not.toBe('large')
    const line = { severity: 3, refused: false, onlyIf: false, about: 'vessel', what: 'x'.repeat(3000), instead: '' } as const
    expect(
      cueLetters(
        Array.from({ length: most }, () => cue),
        { ...danger, lines: [line] },
        false,
      ),
    ).not.toBe('large')
    expect(htmlPage('x', dayPapers(day, ['cues'], book))).toContain('<table class="cues large">')
  })

  it('writes times as a clock shows them', () => {
    expect([0, 9.6, 65, 3725, -5].map(clockWords)).toEqual(['0:00', '0:10', '1:05', '1:02:05', '−0:05'])
    expect(spanWords({ timeS: 1, lowS: 10, highS: 10.5 })).toBe('')
  })
})

describe('on paper', () => {
  it('a course of several vessels is told once, and what a model gets wrong once', () => {
    const fault = { feature: 'length', text: 'too short' }
    const both = [rehearsal('jar', 10), rehearsal('glass', 40)].map((r) => ({ ...r, faults: [fault] as unknown as Rehearsal['faults'] }))
    const text = JSON.stringify(rehearsalSheet('x', both, cautions, book))
    expect(text.split('"Colour changes"').length - 1).toBe(1)
    expect(text.split('Length: too short.').length - 1).toBe(1)
    expect(text).toContain('those of vessel jar, 30 s later on the clock.')
    // Another course is told in full.
    const other = { ...both[1]!, turns: both[1]!.turns.map((t, i) => (i === 2 ? { ...t, timeS: t.timeS + 3 } : t)) }
    expect(JSON.stringify(rehearsalSheet('x', [both[0]!, other], cautions, book)).split('"Colour changes"').length - 1).toBe(2)
  })

  it('what can hurt stands first and is marked, with the vessel that it holds for', () => {
    const boils = {
      code: 'mixture/boils',
      where: 'vessel "glass"',
      what: 'it boils and splashes',
      todo: 'dilute beforehand',
      danger: true as const,
    }
    const thin = { code: 'mixture/thin', where: 'vessel "jar"', what: 'the heat leaves something out', todo: 'nothing' }
    const glass = { ...rehearsal('glass', 40), remarks: [thin, boils] }
    const sheet = rehearsalSheet('x', [{ ...rehearsal('jar', 10), remarks: [thin] }, glass], cautions, book)
    expect(sheet.blocks[1]).toEqual({
      block: 'list',
      ordered: false,
      items: [{ of: 'glass', text: 'It boils and splashes. Dilute beforehand.', under: [], danger: true }],
    })
    const html = htmlPage('x', [sheet])
    expect(html.indexOf('<strong>Danger.</strong> glass: It boils')).toBeLessThan(html.indexOf('Vessel jar'))
    expect(html.split('It boils and splashes').length - 1).toBe(1)
    // What holds for all vessels names none.
    expect(html).toContain('<li>The heat leaves something out. Nothing.</li>')
    // A single vessel needs no name.
    expect(JSON.stringify(rehearsalSheet('x', [glass], cautions, book))).not.toContain('"of":"glass"')
  })

  it('says of no vessel that its traces are those of another when they are not', () => {
    const gas = (most: number) => [{ name: 'gas set free', unit: 'mL', timesS: [0, 60], values: [0, most] }]
    const of = (vessel: string, at: number, most: number): Rehearsal => ({ ...rehearsal(vessel, at), traces: gas(most) })
    const said = (all: readonly Rehearsal[]): string => JSON.stringify(rehearsalSheet('x', all, cautions, book))
    expect(said([of('jar', 10, 5), of('glass', 10, 5.1)])).toContain('those of vessel jar')
    expect(said([of('jar', 10, 5), of('barrel', 10, 50)])).not.toContain('those of vessel jar')
    // Nothing is seen in either, but one is blue and the other colourless.
    const still = (vessel: string, name: string): Rehearsal => ({
      ...rehearsal(vessel, 10),
      turns: [],
      finalColour: { hex: '#ffffff', name },
    })
    expect(said([still('blank', 'colourless'), still('blue', 'blue')])).not.toContain('those of vessel blank')
    expect(said([still('blank', 'colourless'), still('water', 'colourless')])).toContain('those of vessel blank')
  })

  it('many columns are set small so that none is cut off, and lesser cautions may part between sheets', () => {
    const table = (n: number) =>
      ({ block: 'table', columns: Array.from({ length: n }, () => ({ title: 'a', align: 'left' as const })), rows: [] }) as const
    const html = paperMarkup([
      { kind: 'x', title: 'x', blocks: [table(7), table(8), { block: 'danger', lines: [], standing: ['One.', 'Two.'] }] },
    ])
    expect(html.match(/<table[^>]*>/g)).toEqual(['<table>', '<table class="dense">'])
    // A balanced paragraph in columns is not parted by Chromium; paragraphs are.
    expect(html).toContain('<div class="run many"><p>One.</p><p>Two.</p></div>')
    expect(printedStyle()).toMatch(/\.scroll\{overflow:visible\}/)
  })

  it('statements of one class and reason are one line', () => {
    const same = { ...hazardClass('H302'), className: 'Ox. Sol. 2; Acute Tox. 4' }
    const labelled = {
      ...cautions.list[1]!,
      label: { signalWord: 'Danger', pictograms: [], classes: [same, { ...same, statement: 'H318' }, hazardClass('H412')] },
    }
    const sheet = cautionSheet('x', { ...cautions, list: [labelled] })
    const rows = sheet.blocks.flatMap((b) => (b.block === 'table' ? b.rows : [])).map((r) => [r[0], r[1]])
    expect(rows).toEqual([
      ['solution "A"', 'H302 H318 (Ox. Sol. 2; Acute Tox. 4)'],
      ['', 'H412'],
    ])
  })
})

describe('the recipe page', () => {
  it('has a line for every number, and the codes find the changed one', () => {
    const lines = recipeGroups(recipe('0.19')).flatMap((g) => g.lines.map((l) => l.text))
    expect(lines).toContain('A: with iodate 0.19 mol/L')
    expect(lines).toContain('jar: pour 360 mL of A at 0 s')
    const typed = checkLine(recipeCodes(recipe('0.19')))
    expect(compareCheckLine(typed, recipeCodes(recipe('0.19')))).toEqual({ same: true })
    const at = lines.indexOf('A: with iodate 0.19 mol/L')
    expect(compareCheckLine(typed, recipeCodes(recipe('0.91')))).toEqual({ same: false, lines: [at], linesTyped: lines.length })
  })
})

describe('the write-up', () => {
  it('compares what was seen with what was predicted', () => {
    const run = { vessel: 'jar', startedAt: '25 November, 10:00', turnsSeenS: [44, 49.5, 55], notes: ['the light was poor'] }
    const [paper] = dayPapers({ ...day, runs: [run] }, ['write-up'], book)
    const text = JSON.stringify(paper)
    expect(text).toContain('10 % slower than predicted')
    expect(text).toContain('2 predicted changes were not noted')
    expect(text).toContain('the light was poor')
    expect(stretchWords(1.01)).toBe('at the predicted pace')
  })
  it('has a form for one and one for many', () => {
    const run = { vessel: 'jar', startedAt: '25 November, 10:00', notes: [] }
    const said = (turnsSeenS: readonly number[], vessel = 'jar'): string =>
      JSON.stringify(dayPapers({ ...day, runs: [{ ...run, vessel, turnsSeenS }] }, ['write-up'], book))
    expect(said([44])).toContain('"1 colour change was seen')
    expect(said([44, 49.5])).toContain('"2 colour changes were seen')
    expect(said([], 'another')).toContain('"0 colour changes were seen.')
    expect(said([44, 49.5, 55, 60.5])).toContain('; 1 predicted change was not noted.')
  })
})

import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import type { Cautions } from '../cautions/index.ts'
import type { Carpet, Coast, Explanation, Features, MistakesFound } from '../rehearsal/index.ts'
import { aimSheet, type AimToPrint, carpetSheet, coastSheet, mistakesSheet } from './carpet-sheet.ts'
import type { Paper } from './paper.ts'
import { speciesBook } from './species-book.ts'

const book = speciesBook(facts.matter().species)
const cautions: Cautions = {
  list: [
    {
      code: 'cautions/x',
      severity: 4,
      about: 'vessel "jar"',
      what: 'chlorine',
      instead: 'do not',
      source: { source: 'a book', seen: 'read' },
    },
  ],
  standing: ['Goggles for everyone.'],
  refused: false,
}
const features = (firstTurnS: number | null, more: Partial<Features> = {}): Features => ({
  firstTurnS,
  periodS: null,
  cycles: 0,
  lengthS: firstTurnS,
  stillGoing: false,
  ...more,
})
const row = (value: number, f: Features | null, problems: Carpet['rows'][number]['problems'] = []): Carpet['rows'][number] => ({
  value,
  text: `× ${value}`,
  features: f,
  startS: 0,
  turns: [],
  endColour: f ? 'blue' : null,
  strip: [],
  problems,
})
const carpet: Carpet = {
  vessel: 'jar',
  mechanism: 'm',
  varied: 'iodide',
  unit: 'times',
  present: 1,
  fromS: 0,
  toS: 100,
  rows: [
    row(0.5, null),
    row(1, features(40, { stillGoing: true, cycles: 7, periodS: 12 })),
    row(9, features(4), [
      { code: 'a/soft', where: 'w', what: 'does not dissolve', todo: 't' },
      { code: 'a/hard', where: 'w', what: 'fills the room', todo: 't', danger: true },
    ]),
  ],
  stopped: true,
}
const axis = { varied: 'iodide', unit: 'times', steps: 'log', present: 1, from: 0.5, to: 2 } as const
const coast: Coast = {
  vessel: 'jar',
  mechanism: 'm',
  x: axis,
  y: { ...axis, varied: 'temperature', unit: '°C', steps: 'linear' },
  points: [
    { x: 1, y: 1, show: 'cycles', features: features(3, { cycles: 5, periodS: 15 }), forbidden: null },
    { x: 2, y: 1, show: 'nothing', features: features(null), forbidden: null },
    { x: 2, y: 2, show: 'refused', features: null, forbidden: { set: 'refused', why: 'chlorine would come of it' } },
  ],
  cells: [],
  border: [{ between: ['nothing', 'cycles'], from: [1, 1], to: [2, 1] }],
  runs: 3,
  stopped: false,
}
const aim: AimToPrint = {
  vessel: 'jar',
  mechanism: 'm',
  feature: 'first-turn',
  wanted: [70, 70],
  by: 'iodide',
  unit: 'times',
  answer: { how: 'found' },
  present: { value: 1, result: 57.04 },
  value: 0.8,
  result: 70.13,
  band: { low: 55, middle: 70, high: 90, share: 1 },
  change: [
    { solution: 's', bottle: 'iodide', substanceName: 'potassium iodide', before: '2.00 g', after: '1.60 g', moreG: -0.4, moreMl: null },
  ],
  bounds: { low: { value: 0.2, set: 'wish', why: '' }, high: { value: 3, set: 'solubility', why: 'it does not dissolve' } },
}
const explanation = (words: string, distance: number, kind: Explanation['mistakes'][number]['kind']): Explanation => ({
  mistakes: [{ words, kind, about: [] }],
  predicted: { ...features(50), endColour: 'blue' },
  distance,
  misses: [],
  checks: [],
})
const found: MistakesFound = {
  explanations: [explanation('iodide at half its strength', 0.4, 'strength'), explanation('the recipe as written', 3, 'none')],
  none: false,
  asWritten: 1,
  tests: [{ what: 'titrate it', minutes: 15, first: 'shows it', second: 'all is well' }],
  notRehearsed: [],
  notCovered: ['chloride'],
  counted: [{ of: 'length', factorUp: 1, factorDown: 4, from: 'stated by the mechanism' }],
  stopped: false,
}
const papers = [
  carpetSheet('t', carpet, cautions, book),
  coastSheet('t', coast, cautions, book),
  aimSheet('t', aim, cautions, book),
  mistakesSheet('t', found, cautions, book),
]
/** All words of a paper in reading order, without the danger block. */
const textOf = (p: Paper): string =>
  p.blocks
    .flatMap((b): readonly string[] => {
      if (b.block === 'list') return b.items.map((i) => (typeof i === 'string' ? i : i.text))
      if (b.block === 'table') return [b.caption ?? '', ...b.rows.map((r) => r.join(' | '))]
      return b.block === 'text' || b.block === 'heading' ? [b.text] : []
    })
    .join('\n')

it('danger first on each, with what is never switched off; every row as wide as its table', () => {
  for (const p of papers) {
    expect(p.blocks[0]).toMatchObject({ block: 'danger', standing: ['Goggles for everyone.'] })
    for (const b of p.blocks) if (b.block === 'table') for (const r of b.rows) expect(r).toHaveLength(b.columns.length)
  }
})

describe('carpet', () => {
  const text = textOf(papers[0]!)
  it('names the recipe as it is, lower limits, and what could not be rehearsed', () => {
    expect(text).toContain('as it is × 1 | 40 s | 12 s | over 7 | over 40 s | blue')
    expect(text).toContain('× 0.5 | not rehearsed')
    expect(text).toContain('stopped before it was complete')
  })
  it('says the danger of a row before its other problems, and that rows are not recipes', () => {
    expect(text.indexOf('DANGER. iodide × 9: fills the room')).toBeLessThan(text.indexOf('iodide × 9: does not dissolve'))
    expect(text).toContain('change the document and have it checked and weighed again')
  })
})

it('coast: counts, periods and the border in words', () => {
  const text = textOf(papers[1]!)
  expect(text).toContain('cycles at 1, turns without return at 0, nothing seen at 1')
  expect(text).toContain('1.50 | 1.00 °C | cycles and nothing')
  expect(text.indexOf('DANGER. 1 are refused')).toBeLessThan(text.indexOf('cycles at 1'))
  expect(text).toContain('chlorine would come of it')
})

it('mistakes: one that is dangerous in itself is said before the ranking', () => {
  const dangers = [{ words: 'iodide at half its strength', why: 'it sets a poisonous gas free' }]
  const text = textOf(mistakesSheet('t', { ...found, dangers }, cautions, book))
  expect(text).toContain('DANGER. If it was "iodide at half its strength": it sets a poisonous gas free.')
  expect(text.indexOf('DANGER. If it was')).toBeLessThan(text.indexOf('Explains it best'))
})

describe('aim', () => {
  const say = (more: Partial<AimToPrint>): string => textOf(aimSheet('t', { ...aim, ...more }, cautions, book))
  it('several amounts and a colour are named together', () => {
    const low = { value: 0.2, set: 'wish', why: '' }
    const other = { by: 'acid', unit: 'times', value: 1.2, bounds: { low, high: { value: 1.5, set: 'refused', why: 'it fumes' } } } as const
    const text = say({ feature: 'end-colour', wantedColour: 'colourless', result: 1, present: { value: 1, result: 0 }, others: [other] })
    expect(text).toContain('Wanted: the colour at the end, colourless. As the recipe is: not colourless.')
    expect(text).toContain('Take 0.800 times the iodide of the recipe and 1.20 times the acid of the recipe')
    expect(text).toContain('The high bound of acid is 1.50 times the acid of the recipe, beyond which it will not do: it fumes.')
  })
  it('found: what to take, with no more digits than a prediction has', () => {
    const text = say({})
    expect(text).toContain('Take 0.800 times the iodide of the recipe: rehearsed afresh, that gives 70 s.')
    expect(text).toContain('As the recipe is: 57 s.')
    expect(text).toContain('Expect 55 s to 90 s')
    expect(text).toContain('2.00 g | 1.60 g | less by 0.400 g')
    expect(text).toContain('it does not dissolve')
  })
  it('out of reach: the side and what sets it', () => {
    expect(say({ answer: { how: 'out-of-reach', side: 'high' } })).toMatch(
      /What prevents it is 3\.00 times .* it does not dissolve\. The nearest is 70 s/,
    )
    expect(say({ answer: { how: 'out-of-reach', side: 'low' } })).toContain('the low bound that was set')
    expect(say({ answer: { how: 'out-of-reach', side: null } })).toContain('turns back or ends')
  })
  it('jumps, nowhere, stopped, already', () => {
    const jump = { how: 'jumps', below: { value: 1, result: 10 }, above: { value: 1.01, result: 90 } } as const
    expect(say({ answer: jump })).toContain('it jumps from 10 s to 90 s')
    // Two sides that read alike in two digits are told in digits that differ.
    const small = { how: 'jumps', below: { value: 1, result: 15.01 }, above: { value: 1.001, result: 15.04 } } as const
    expect(say({ answer: small })).toContain('it jumps from 15.01 s to 15.04 s')
    expect(say({ answer: { how: 'feature-absent' }, value: null, result: null })).toContain('Nowhere within the bounds')
    expect(say({ answer: { how: 'stopped' } })).toContain('stopped before an answer')
    expect(say({ answer: { how: 'already' } })).not.toContain('What to take')
  })
})

describe('mistakes', () => {
  it('the nearest, how far the recipe as written is, the factors of both sides, the test', () => {
    const text = textOf(papers[3]!)
    expect(text).toContain('Explains it best: iodide at half its strength. The recipe as written is 3.0 deviations')
    expect(text).toContain('last change within a factor 1.00 up and 4.00 down')
    expect(text).toContain('Titrate it. About 15 min. First: shows it; second: all is well.')
  })
  it('none explains it: no test is proposed, and it is said', () => {
    const text = textOf(mistakesSheet('t', { ...found, none: true }, cautions, book))
    expect(text).toContain('None of these explains what was seen.')
    expect(text).not.toContain('Titrate it')
  })
  it('as written first: no mistake is needed', () => {
    const text = textOf(mistakesSheet('t', { ...found, explanations: [...found.explanations].reverse(), asWritten: 0 }, cautions, book))
    expect(text).toContain('no mistake is needed')
  })
})

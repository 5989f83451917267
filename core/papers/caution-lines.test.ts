import { describe, expect, it } from 'vitest'
import type { Caution } from '../cautions/index.ts'
import { dangerBlock, dangerLines, dangerSections, sentence } from './caution-lines.ts'

const caution = (more: Partial<Caution> = {}): Caution => ({
  code: 'cautions/x',
  severity: 3,
  about: 'vessel "jar"',
  what: 'it bursts',
  instead: 'leave it open',
  source: { source: 's', seen: 'assumed' },
  ...more,
})

describe('sentence', () => {
  it.each([
    ['dry mixture', 'Dry mixture.'],
    ['Stop.', 'Stop.'],
    ['really?', 'Really?'],
    ['he said "stop."', 'He said "stop."'],
    ['  ', ''],
  ])('%j is %j', (text, expected) => {
    expect(sentence(text)).toBe(expected)
  })
})

describe('dangerLines', () => {
  it('ends the sentence of what happens before the one of what to do', () => {
    expect(dangerLines([caution()])[0]).toMatchObject({ what: 'it bursts.', instead: 'Leave it open.' })
  })
  it('puts refusals first, then what happens here by severity and place, then what holds only if, then the rest', () => {
    const order = dangerLines([
      caution({ about: 'surplus from the bottles', severity: 4 }),
      caution({ about: 'bottle "a"', severity: 1, what: '1' }),
      caution({ about: 'bottle "a"', severity: 3, what: '2' }),
      caution({ about: 'vessel "jar"', severity: 3, what: '3' }),
      caution({ about: 'solution "A"', severity: 4, what: '4' }),
      caution({ about: 'leftovers of vessel "jar"', severity: 2, what: '5', refuses: true }),
    ]).map((l) => `${l.about} ${l.severity}`)
    expect(order).toEqual([
      'leftovers of vessel "jar" 2',
      'solution "A" 4',
      'vessel "jar" 3',
      'bottle "a" 3',
      'surplus from the bottles 4',
      'bottle "a" 1',
    ])
  })
  it('says an equal caution once, with both places', () => {
    const lines = dangerLines([caution({ about: 'solution "A"' }), caution({ about: 'solution "B"' }), caution({ about: 'solution "A"' })])
    expect(lines.map((l) => l.about)).toEqual(['solution "A" and solution "B"'])
  })
  it('a lifted refusal is no refusal any more, and its control measure is printed', () => {
    const [line] = dangerLines([caution({ refuses: true, control: 'the fire brigade stands by' })])
    expect(line).toMatchObject({ refused: false, instead: 'Leave it open. Stated control: The fire brigade stands by.' })
  })
  it('loses none', () => {
    const block = dangerBlock({ list: [caution()], standing: ['Always.'], refused: false }, [caution({ what: 'other' })])
    expect(block.lines).toHaveLength(2)
    expect(block.standing).toEqual(['Always.'])
  })
})

describe('dangerSections', () => {
  const lines = dangerLines([
    caution({ about: 'surplus from the bottles with clearing reagents', severity: 4, what: '1', hypothetical: true }),
    caution({ about: 'the bottles, poured together as they are', what: '2', hypothetical: true }),
    caution({ severity: 1, what: '3', refuses: true }),
    caution({ severity: 2, what: '4' }),
    caution({ what: '5' }),
    caution({ severity: 4, what: '6' }),
  ])
  const told = (all: typeof lines) => dangerSections(all).map((s) => [s.title, s.lines.map((l) => l.what).join(' ')])
  it('has a heading for what holds only if, by what it holds for', () => {
    expect(told(lines)).toEqual([
      ['Can kill or maim', '3. 6.'],
      ['Lasting harm', '5.'],
      ['Only if the bottles are poured together as they are', '2.'],
      ['Only if surplus is cleared away with these reagents', '1.'],
      ['Care', '4.'],
    ])
  })
  it('stays the same when the lines are told in another language', () => {
    expect(told(lines.map((l) => ({ ...l, about: `die ${l.about}` })))).toEqual(told(lines))
  })
})

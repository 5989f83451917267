import { describe, expect, it } from 'vitest'
import type { Caution } from '../cautions/index.ts'
import { dangerBlock, dangerLines, sentence } from './caution-lines.ts'

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

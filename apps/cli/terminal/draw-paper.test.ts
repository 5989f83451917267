import { describe, expect, it } from 'vitest'
import type { Block, DangerLine, Paper } from '@beakertide/core/papers'
import { drawPapers } from './draw-paper.ts'
import { textWidth } from './text-layout.ts'

const plain = { columns: 40, colour: false }
const line = (more: Partial<DangerLine> = {}): DangerLine => ({
  severity: 4,
  refused: false,
  onlyIf: false,
  about: 'vessel "jar"',
  what: 'it bursts.',
  instead: 'Leave it open.',
  ...more,
})
const paper = (...blocks: Block[]): Paper => ({ kind: 'test', title: 'A sheet', blocks })
const table: Block = {
  block: 'table',
  columns: [
    { title: 'what', align: 'left' },
    { title: 'mass', align: 'right' },
  ],
  rows: [
    ['salt', '1.5 g'],
    ['a substance with a very long name indeed that must wrap', '10.25 g'],
  ],
}

describe('drawPapers', () => {
  it('puts danger before the table and aligns numbers to the right', () => {
    const text = drawPapers([paper({ block: 'danger', lines: [line()], standing: ['Wear goggles.'] }, table)], plain)
    expect(text.indexOf('DANGER')).toBeLessThan(text.indexOf('mass'))
    const rows = text.split('\n').filter((l) => l.endsWith(' g'))
    expect(new Set(rows.map((l) => l.length)).size).toBe(1)
    for (const l of text.split('\n')) expect(textWidth(l), l).toBeLessThanOrEqual(40)
  })
  it('tells a caution in full once, then in one line, and new ones in full', () => {
    const standing = ['Wear goggles.']
    const first = paper({ block: 'danger', lines: [line()], standing })
    const second = paper({ block: 'danger', lines: [line(), line({ about: 'leftovers', what: 'new.' })], standing })
    const [, again = ''] = drawPapers([first, second], plain).split('A sheet').slice(1)
    expect(again).toContain('leftovers: new. Leave it open.')
    expect(again).toContain('vessel "jar": it bursts.\n')
    expect(again).not.toContain('Wear goggles.')
    expect(again.replace(/\s+/g, ' ')).toContain('All cautions stand in full at the head')
  })
  it('marks a refusal first', () => {
    const text = drawPapers([paper({ block: 'danger', lines: [line({ refused: true, severity: 2 })], standing: [] })], plain)
    expect(text).toContain('REFUSED.')
  })
  it('writes no escape code when colour is off', () => {
    expect(drawPapers([paper(table)], plain)).not.toContain('\u001b')
    expect(drawPapers([paper(table)], { columns: 40, colour: true })).toContain('\u001b')
  })
  it('takes steering characters out of every text', () => {
    const text = drawPapers([paper({ block: 'text', text: 'a\u001b]0;x\u0007b\u009bc\u202ed\ne' })], plain)
    expect(text).not.toMatch(/(?!\n)[\p{Cc}\u202e]/u)
  })
  it('draws traces between their ends and lists with what belongs under an item', () => {
    const text = drawPapers(
      [
        paper(
          { block: 'traces', caption: 'T', traces: [{ name: 'pI', unit: '', timesS: [0, 1, 2], values: [4, 6, 5] }] },
          { block: 'list', ordered: true, items: [{ text: 'Do it.', under: ['Why: so.'] }] },
        ),
      ],
      plain,
    )
    expect(text).toContain('pI: 4 to 6')
    expect(text).toMatch(/▁+/)
    expect(text).toMatch(/ 1\. Do it\.\n {4}Why: so\./)
  })
})

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lineAt, lineBreakAt, marksOf, offsetOf } from './document-lines.ts'

const problem = (line: number, danger?: true) => ({
  code: 'x/y',
  where: '',
  what: '',
  todo: '',
  span: { line, column: 1 },
  ...(danger ? { danger } : {}),
})

describe('lines of a document', () => {
  it('marks each line once, by its gravest', () => {
    expect(marksOf([problem(3), problem(1, true)], [problem(1), problem(7), { code: '', where: '', what: '', todo: '' }])).toEqual([
      { line: 1, kind: 'danger' },
      { line: 3, kind: 'problem' },
      { line: 7, kind: 'remark' },
    ])
  })
  it('finds the way from line to letter and back', () => {
    fc.assert(
      fc.property(fc.array(fc.stringMatching(/^[a-z ]{0,6}$/), { minLength: 1, maxLength: 8 }), fc.nat(), (lines, pick) => {
        const line = (pick % lines.length) + 1
        const text = lines.join('\n')
        expect(lineAt(text, offsetOf(text, line, 1))).toBe(line)
        expect(text.slice(offsetOf(text, line, 1)).startsWith(lines[line - 1]!)).toBe(true)
      }),
    )
    expect(offsetOf('a\nb', 9, 1)).toBe(3)
  })
  it('keeps the indentation on Enter', () => {
    expect(lineBreakAt('a:\n  b: 1', 9)).toBe('\n  ')
    expect(lineBreakAt('a:', 2)).toBe('\n  ')
    expect(lineBreakAt('# a:', 4)).toBe('\n')
  })
})

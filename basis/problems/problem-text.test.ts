import { describe, expect, it } from 'vitest'
import { problemsText, problemText } from './index.ts'

describe('a problem as text', () => {
  it('says code, place, what and what to do', () => {
    expect(problemText({ code: 'a/b', where: 'bottle "x"', what: 'w', todo: 't', span: { file: 'j.yaml', line: 3, column: 5 } })).toBe(
      'a/b\n  where  j.yaml, line 3, column 5: bottle "x"\n  what   w\n  do     t',
    )
  })
  it('does not repeat a place that the words already name', () => {
    expect(problemText({ code: 'a/b', where: 'line 3, column 5', what: 'w', todo: 't', span: { line: 3, column: 5 } })).toContain(
      'where  line 3, column 5\n',
    )
    expect(problemText({ code: 'a/b', where: '', what: 'w', todo: 't', span: { line: 3, column: 5 } })).toContain(
      'where  line 3, column 5\n',
    )
  })
  it('puts danger first', () => {
    const plain = { code: 'a/b', where: 'x', what: 'w', todo: 't', span: { line: 1, column: 1 } }
    expect(problemsText([plain, { ...plain, code: 'c/d', danger: true, span: { line: 9, column: 1 } }])).toMatch(
      /^DANGER c\/d\n[^]*\n\na\/b\n/,
    )
    expect(problemsText([])).toBe('')
  })
})

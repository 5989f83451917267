import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { back, begin, forward, type History, record, redoLabel, undoLabel } from './history.ts'

const text = (t: string): { text: string; beside: Record<string, string> } => ({ text: t, beside })
const beside = {}

describe('history', () => {
  it('joins typing until a pause, and nothing else', () => {
    let h = begin(text(''), 0)
    h = record(h, text('a'), 'typing', 100, true)
    h = record(h, text('ab'), 'typing', 300, true)
    h = record(h, text('abc'), 'typing', 5000, true)
    h = record(h, text('abcd'), 'strength', 5100, false)
    expect([h.past.length, undoLabel(h)]).toEqual([3, 'strength'])
    expect(back(back(h)).now.document.text).toBe('ab')
  })
  it('does not join typing to what was undone to', () => {
    let h = record(record(begin(text(''), 0), text('a'), 'typing', 1, true), text('b'), 'x', 2, false)
    h = back(h)
    h = record(h, text('ac'), 'typing', 3, true)
    expect(back(h).now.document.text).toBe('a')
    expect(redoLabel(h)).toBeNull()
  })
  it('goes back and forward over anything and arrives where it was', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.string({ maxLength: 4 }), fc.boolean(), fc.nat(3000)), { maxLength: 30 }), (changes) => {
        let at = 0
        const h = changes.reduce(
          (so: History, [t, joins, pause]) => record(so, text(t), 'l', (at += pause), joins),
          begin(text('start'), 0),
        )
        let b = h
        for (let i = 0; i < h.past.length; i++) b = back(b)
        expect(b.now.document.text).toBe('start')
        for (let i = 0; i < h.past.length; i++) b = forward(b)
        expect(b.now.document.text).toBe(h.now.document.text)
        expect(forward(b)).toBe(b)
      }),
    )
  })
})

import { describe, expect, it } from 'vitest'
import { drawStripText, lettersFor, scaleLines } from './draw-strip.ts'
import { oneLine, textWidth, wrap } from './text-layout.ts'

const strip = {
  caption: 'strip',
  turns: [{ timeS: 5, from: 'colourless', to: 'dark blue' }],
  samples: [
    { timeS: 0, hex: '#ffffff', name: 'colourless' },
    { timeS: 5, hex: '#112244', name: 'dark blue' },
    { timeS: 10, hex: '#112244', name: 'dark blue' },
  ],
}
const row = (text: string): string =>
  text
    .split('\u001b[')
    .map((part, i) => (i === 0 ? part : part.replace(/^[\d;]*m/, '')))
    .join('')

describe('the strip in colour', () => {
  const lines = drawStripText(strip, { columns: 40, colour: true })
  it('is as wide as the line, half white and half dark', () => {
    const band = lines[1]!
    expect(row(band)).toBe('▌'.repeat(40))
    // The background of a cell is its right half: twenty cells of each colour.
    expect(band.match(/48;2;255;255;255m/g)).toHaveLength(20)
    expect(band.match(/48;2;17;34;68m/g)).toHaveLength(20)
    expect(band.endsWith('\u001b[0m')).toBe(true)
  })
  it('has the names under their colours and a scale of time', () => {
    expect(lines.join('\n')).toMatch(/colourless +dark blue/)
    expect(lines.at(-2)).toMatch(/^┬─/)
    expect(lines.at(-1)).toMatch(/^0 s/)
  })
})

describe('the strip without colour', () => {
  it('writes letters and their key', () => {
    const lines = drawStripText(strip, { columns: 40, colour: false })
    expect(lines[1]).toBe('c'.repeat(20) + 'd'.repeat(20))
    expect(lines.at(-1)).toBe('c colourless d dark blue')
  })
  it('never gives two names one letter', () => {
    const letters = lettersFor(['blue', 'black', 'brown', 'bulb', 'b', 'bb', 'bbb'])
    expect(new Set(letters.values()).size).toBe(7)
  })
  it('says so when there is nothing to draw', () => {
    expect(drawStripText({ ...strip, samples: [] }, { columns: 40, colour: true })).toContain('(nothing to draw)')
  })
})

describe('scaleLines', () => {
  it.each([40, 80, 100])('fits %i columns, words under ticks', (width) => {
    for (const line of scaleLines(0, 910, width)) expect(line.length).toBeLessThanOrEqual(width)
  })
})

describe('wrap', () => {
  it('keeps every word and no line longer than the width', () => {
    const text = 'pour the acid slowly into the water and never the other way round, averylongwordthatdoesnotfitinoneline at all'
    const lines = wrap(text, 20, '  ')
    for (const l of lines) expect(textWidth(l)).toBeLessThanOrEqual(20)
    expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''))
  })
  it('cuts a long name at a stroke or hyphen', () => {
    expect(wrap('bromate-malonate-ferroin/two-variable', 26)).toEqual(['bromate-malonate-ferroin/', 'two-variable'])
  })
  it('counts a subscript as one column and a combining mark as none', () => {
    expect(textWidth('H₂O')).toBe(3)
    expect(textWidth('e\u0301')).toBe(1)
  })
})

describe('oneLine', () => {
  it('cuts at a word', () => {
    expect(oneLine('one two three', 9)).toBe('one two …')
    expect(oneLine('one two', 9)).toBe('one two')
  })
})

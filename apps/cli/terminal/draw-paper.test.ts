import { describe, expect, it } from 'vitest'
import type { Paper } from '@beakertide/core/papers'
import { drawPaper, drawStripText, textWidth, wrap } from './draw-paper.ts'

const plain = { columns: 40, colour: false }

describe('wrap', () => {
  it('keeps every word and no line longer than the width', () => {
    const text = 'pour the acid slowly into the water and never the other way round, averylongwordthatdoesnotfitinoneline at all'
    const lines = wrap(text, 20, '  ')
    expect(lines.every((l) => textWidth(l) <= 20)).toBe(true)
    expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''))
  })
})

describe('drawPaper', () => {
  const paper: Paper = {
    kind: 'test',
    title: 'A sheet',
    blocks: [
      { block: 'danger', lines: ['Wear goggles.'] },
      {
        block: 'table',
        columns: [
          { title: 'what', align: 'left' },
          { title: 'mass', align: 'right' },
        ],
        rows: [
          ['salt', '1.5 g'],
          ['a substance with a very long name indeed that must wrap', '10.25 g'],
        ],
      },
    ],
  }
  it('puts danger before the table and aligns numbers to the right', () => {
    const text = drawPaper(paper, plain)
    expect(text.indexOf('DANGER')).toBeGreaterThan(-1)
    expect(text.indexOf('DANGER')).toBeLessThan(text.indexOf('mass'))
    const rows = text.split('\n').filter((l) => l.endsWith(' g'))
    expect(new Set(rows.map((l) => l.length)).size).toBe(1)
    expect(text.split('\n').every((l) => textWidth(l) <= 40)).toBe(true)
  })
  it('writes no escape code when colour is off', () => {
    expect(drawPaper(paper, plain)).not.toContain('\u001b')
    expect(drawPaper(paper, { columns: 40, colour: true })).toContain('\u001b')
  })
})

describe('drawStripText', () => {
  const strip = {
    block: 'strip' as const,
    caption: 'strip',
    turns: [],
    samples: [
      { timeS: 0, hex: '#ffffff', name: 'colourless' },
      { timeS: 5, hex: '#ffffff', name: 'colourless' },
      { timeS: 10, hex: '#112244', name: 'dark blue' },
    ],
  }
  it('names the stretches when there is no colour', () => {
    const text = drawStripText(strip, plain).join('\n')
    expect(text).toMatch(/0 s {2}colourless/)
    expect(text).toMatch(/10 s {2}dark blue/)
  })
  it('draws as many cells as the line has, in the colours of the samples', () => {
    const band = drawStripText(strip, { columns: 40, colour: true })[1]!
    expect(band.split('\u001b[48;2;').length - 1).toBe(40)
    expect(band).toContain('48;2;255;255;255m')
    // Sample-and-hold: the last sample colours only what comes after it.
    expect(band).not.toContain('48;2;17;34;68m')
  })
})

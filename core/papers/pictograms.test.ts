import { Resvg } from '@resvg/resvg-js'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { PICTOGRAM_NAMES, pictogramSvg } from './pictograms.ts'

const codes = facts.rows('hazards/ghs_pictograms').map((r) => r['code'] ?? '')

/** Greys 0 (black) to 1 of the drawing at `px` pixels across its diagonal, on white paper. */
function grey(svg: string, px: number): readonly number[] {
  const image = new Resvg(svg, { fitTo: { mode: 'width', value: px }, background: '#fff' }).render()
  const { pixels } = image
  return Array.from({ length: px * px }, (_, i) => {
    const [r = 0, g = 0, b = 0] = pixels.subarray(4 * i, 4 * i + 3)
    return (0.2126 * r + 0.7152 * g + 0.0722 * b) / 255
  })
}
/** From the middle, along the diagonals: 1 at the tip of the square. */
const outward = (i: number, px: number): number => {
  const at = (n: number): number => Math.abs((n + 0.5) / px - 0.5)
  return 2 * (at(i % px) + at(Math.floor(i / px)))
}

describe('pictograms', () => {
  it('has a drawing of its own for every code of the table', () => {
    expect(Object.keys(PICTOGRAM_NAMES).sort()).toEqual([...codes].sort())
    for (const code of codes) expect(pictogramSvg(code)).not.toContain('<text')
  })
  it.each(codes)('%s: a black symbol on white, wholly inside a frame that is seen without colour', (code) => {
    const px = 300
    const greys = grey(pictogramSvg(code), px)
    const inside = greys.filter((_, i) => outward(i, px) < 0.82)
    const ring = greys.filter((_, i) => outward(i, px) > 0.9 && outward(i, px) < 0.97)
    const outside = greys.filter((_, i) => outward(i, px) > 1.03)
    const dark = inside.filter((g) => g < 0.2).length / inside.length
    expect(dark).toBeGreaterThan(0.12)
    expect(dark).toBeLessThan(0.6)
    // the frame is one red: as dark in grey as a frame must be, and no symbol runs over it
    expect(Math.max(...ring)).toBeLessThan(0.25)
    expect(Math.min(...ring)).toBeGreaterThan(0.1)
    expect(Math.min(...outside)).toBeGreaterThan(0.95)
  })
  it('are told apart at a side of 10 mm on a coarse printer (150 dpi), without colour', () => {
    const px = Math.round((10 * Math.SQRT2 * 150) / 25.4)
    const drawn = codes.map((code) => grey(pictogramSvg(code), px))
    for (const [i, a] of drawn.entries()) {
      for (const [j, b] of drawn.entries()) {
        if (j <= i) continue
        const apart = a.filter((g, k) => Math.abs(g - b[k]!) > 0.5).length / a.length
        expect(apart, `${codes[i]} and ${codes[j]}`).toBeGreaterThan(0.05)
      }
    }
  })
  it('keeps a code without a symbol as text, harmless', () => {
    expect(pictogramSvg('GHS99')).toContain('>GHS99</text>')
    expect(pictogramSvg('"><script>')).not.toContain('<script>')
  })
  it('takes a size and a frame colour', () => {
    expect(pictogramSvg('GHS07', { diagonalMm: 14.1 })).toContain('width="14.1mm" height="14.1mm"')
    expect(pictogramSvg('GHS07', { frame: '#000' })).toContain('stroke="#000"')
  })
})

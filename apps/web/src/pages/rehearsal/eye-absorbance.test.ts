import { describe, expect, it } from 'vitest'
import { eyeAbsorbance, luminance } from './eye-absorbance.ts'

const sample = (timeS: number, lightness: number) => ({ timeS, hex: '#000000', name: 'grey', lab: [lightness, 0, 0] as const })

describe('absorbance to the eye', () => {
  it('follows the lightness of CIE 15: L* 50 is 18.4 % of the light (published: 18.42)', () => {
    expect(100 * luminance(50)).toBeCloseTo(18.42, 2)
    expect(luminance(100)).toBe(1)
    // continuous where the straight part begins
    expect(luminance(8.0000001)).toBeCloseTo(luminance(8), 6)
  })
  it('is nothing through water and grows as it darkens', () => {
    const trace = eyeAbsorbance([sample(0, 100), sample(1, 50), sample(2, 0)])!
    expect(trace.values[0]).toBeCloseTo(0, 12)
    expect(trace.values[1]).toBeCloseTo(-Math.log10(0.1842), 3)
    expect(trace.values[2]).toBe(4)
    expect(eyeAbsorbance([])).toBeNull()
  })
})

import { differenceCiede2000, modeLab65, useMode } from 'culori/fn'
import type { Xyz } from './observer.ts'

/** CIE L*a*b* for the white of sRGB (D65, x 0.3127, y 0.3290). */
export type Lab = readonly [lightness: number, a: number, b: number]

/** White of sRGB as tristimulus values, from its chromaticity x 0.3127, y 0.3290 (IEC 61966-2-1, 4.1). */
export const screenWhite: Xyz = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329]

/** Where the cube root gives way to a straight line, and its slope (CIE 15: 216/24389, 24389/27, exact). */
const BREAK = 216 / 24389
const SLOPE = 24389 / 27

const root = (t: number): number => (t > BREAK ? Math.cbrt(t) : (SLOPE * t + 16) / 116)
const unroot = (f: number): number => (f ** 3 > BREAK ? f ** 3 : (116 * f - 16) / SLOPE)

/** L*a*b* of tristimulus values for an eye adapted to `white` (CIE 15; Y of white 1). */
export function labFromXyz([x, y, z]: Xyz, white: Xyz = screenWhite): Lab {
  const fx = root(x / white[0])
  const fy = root(y / white[1])
  const fz = root(z / white[2])
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)]
}

/** The way back from `labFromXyz`. */
export function xyzFromLab([l, a, b]: Lab, white: Xyz = screenWhite): Xyz {
  const fy = (l + 16) / 116
  return [unroot(fy + a / 500) * white[0], unroot(fy) * white[1], unroot(fy - b / 200) * white[2]]
}

/** Chroma C*ab and hue angle in degrees, 0..360 (0 for a grey). */
export function chromaAndHue([, a, b]: Lab): { readonly chroma: number; readonly hueDegrees: number } {
  const degrees = (Math.atan2(b, a) * 180) / Math.PI
  return { chroma: Math.hypot(a, b), hueDegrees: a === 0 && b === 0 ? 0 : (degrees + 360) % 360 }
}

useMode(modeLab65)
const difference = differenceCiede2000()

/**
 * Colour difference ΔE₀₀ with unit weights (CIE 142-2001; ISO/CIE 11664-6): about 1 is just seen side by side.
 * Made for small differences; large ones keep their order but not their proportion. Symmetric, 0 for equal colours.
 */
export function ciede2000(one: Lab, other: Lab): number {
  return difference({ mode: 'lab65', l: one[0], a: one[1], b: one[2] }, { mode: 'lab65', l: other[0], a: other[1], b: other[2] })
}

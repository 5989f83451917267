import type { Xyz } from './observer.ts'

/** CIE L*a*b* for the white of sRGB (D65, x 0.3127, y 0.3290). */
export type Lab = readonly [lightness: number, a: number, b: number]

/** White of sRGB as tristimulus values, from its chromaticity x 0.3127, y 0.3290 (IEC 61966-2-1, 4.1). */
export const screenWhite: Xyz = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329]

/** Where the cube root gives way to a straight line, and its slope (CIE 15: 216/24389, 24389/27, exact). */
const BREAK = 216 / 24389
const SLOPE = 24389 / 27

const root = (t: number): number => (t > BREAK ? Math.cbrt(t) : (SLOPE * t + 16) / 116)
const unroot = (f: number): number => (f * f * f > BREAK ? f * f * f : (116 * f - 16) / SLOPE)

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

/** 25⁷ of the formula's chroma terms. */
const CHROMA_7 = 25 ** 7
const RADIANS = Math.PI / 180
const TURN = 2 * Math.PI

const seventh = (x: number): number => {
  const cube = x * x * x
  return cube * cube * x
}

/**
 * Colour difference ΔE₀₀ with unit weights (CIE 142-2001; ISO/CIE 11664-6): about 1 is just seen side by side.
 * Made for small differences; large ones keep their order but not their proportion. Symmetric, 0 for equal colours.
 * Written out without objects: finding the turns of one strip asks for some ten thousand of them.
 */
export function ciede2000(one: Lab, other: Lab): number {
  const l1 = one[0]
  const a1 = one[1]
  const b1 = one[2]
  const l2 = other[0]
  const a2 = other[1]
  const b2 = other[2]
  if (l1 === l2 && a1 === a2 && b1 === b2) return 0
  const meanC7 = seventh((Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2)
  const stretch = 1.5 - 0.5 * Math.sqrt(meanC7 / (meanC7 + CHROMA_7))
  const x1 = a1 * stretch
  const x2 = a2 * stretch
  const c1 = Math.sqrt(x1 * x1 + b1 * b1)
  const c2 = Math.sqrt(x2 * x2 + b2 * b2)
  const h1 = hueOf(x1, b1)
  const h2 = hueOf(x2, b2)
  // Beside a grey, which has no hue, the hues do not differ and the mean is the other's.
  const bothHued = c1 * c2 !== 0
  let between = bothHued ? h2 - h1 : 0
  if (between > Math.PI) between -= TURN
  else if (between < -Math.PI) between += TURN
  let meanH = h1 + h2
  if (bothHued) {
    if (Math.abs(h1 - h2) > Math.PI) meanH += meanH < TURN ? TURN : -TURN
    meanH /= 2
  }
  const meanL = (l1 + l2) / 2
  const meanC = (c1 + c2) / 2
  const fromMiddle = (meanL - 50) ** 2
  const t =
    1 -
    0.17 * Math.cos(meanH - 30 * RADIANS) +
    0.24 * Math.cos(2 * meanH) +
    0.32 * Math.cos(3 * meanH + 6 * RADIANS) -
    0.2 * Math.cos(4 * meanH - 63 * RADIANS)
  const dL = (l2 - l1) / (1 + (0.015 * fromMiddle) / Math.sqrt(20 + fromMiddle))
  const dC = (c2 - c1) / (1 + 0.045 * meanC)
  const dH = (2 * Math.sqrt(c1 * c2) * Math.sin(between / 2)) / (1 + 0.015 * meanC * t)
  const blue = (meanH / RADIANS - 275) / 25
  const c7 = seventh(meanC)
  const turn = -2 * Math.sqrt(c7 / (c7 + CHROMA_7)) * Math.sin(60 * RADIANS * Math.exp(-blue * blue))
  return Math.sqrt(Math.max(0, dL * dL + dC * dC + dH * dH + turn * dC * dH))
}

/** Hue angle from 0 to a whole turn, 0 for a grey. */
function hueOf(a: number, b: number): number {
  const h = Math.atan2(b, a)
  return h < 0 ? h + TURN : h
}

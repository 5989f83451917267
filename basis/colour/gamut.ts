import { along, inverse, type Matrix, product, times, type Triple } from './matrix.ts'
import type { Xyz } from './observer.ts'

/**
 * Oklab: a space in which a straight line to the grey axis keeps the hue an eye sees, blues included (in CIELAB they turn violet).
 * Source: B. Ottosson, A perceptual color space for image processing (2020); matrices from memory, tested with his four XYZ examples.
 */
const conesFromXyz: Matrix = [
  [0.8189330101, 0.3618667424, -0.1288597137],
  [0.0329845436, 0.9293118715, 0.0361456387],
  [0.0482003018, 0.2643662691, 0.633851707],
]
const oklabFromRoots: Matrix = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
]
const xyzFromCones = inverse(conesFromXyz)
const rootsFromOklab = inverse(oklabFromRoots)

/** Cube root of one cone's response. */
const coneRoot = (cone: 0 | 1 | 2, xyz: Xyz): number => Math.cbrt(along(conesFromXyz[cone], xyz[0], xyz[1], xyz[2]))

/** Oklab lightness 0..1, a, b of tristimulus values. */
export function oklabFromXyz(xyz: Xyz): Triple {
  const l = coneRoot(0, xyz)
  const m = coneRoot(1, xyz)
  const s = coneRoot(2, xyz)
  return [along(oklabFromRoots[0], l, m, s), along(oklabFromRoots[1], l, m, s), along(oklabFromRoots[2], l, m, s)]
}

/** The way back from `oklabFromXyz`. */
export function xyzFromOklab(lab: Triple): Xyz {
  const [l, m, s] = times(rootsFromOklab, lab)
  return times(xyzFromCones, [l ** 3, m ** 3, s ** 3])
}

/** How far past 0 and 1 a channel may lie and still count as shown: a hundredth of an 8-bit step near black. */
const SLACK = 1e-6
const isShown = (channel: number): boolean => channel >= -SLACK && channel <= 1 + SLACK

/**
 * How much lightness is traded for chroma, 0 none. Our own choice, no source: at 0 the pale tints near white, on which
 * a demonstration's first turn depends, would fade to white; much above 1 light yellows go dull.
 */
const TRADE = 0.5
/** Halvings of the search line: 1 part in a million of the chroma. */
const HALVINGS = 20

/**
 * The map that brings tristimulus values into the gamut of a screen: to the nearest colour it can show along a line of one hue
 * in Oklab. The line runs from the colour to a grey whose lightness lies between the colour's own and the middle, further in
 * for a stronger colour (B. Ottosson, sRGB gamut clipping (2021), "adaptive L0", independent of hue; formula from memory).
 * A colour that can be shown comes back unchanged. `rgbFromXyz` gives the screen's linear light, shown from 0 to 1.
 */
export function createGamutMap(rgbFromXyz: Matrix): (xyz: Xyz) => Xyz {
  const [r, g, b] = product(rgbFromXyz, xyzFromCones)
  /** Can a colour with these roots of cone responses be shown? Plain numbers: this is asked twenty times a colour. */
  const isShownFrom = (rootL: number, rootM: number, rootS: number): boolean => {
    const l = rootL * rootL * rootL
    const m = rootM * rootM * rootM
    const s = rootS * rootS * rootS
    return isShown(along(r, l, m, s)) && isShown(along(g, l, m, s)) && isShown(along(b, l, m, s))
  }
  return (xyz) => {
    const l = coneRoot(0, xyz)
    const m = coneRoot(1, xyz)
    const s = coneRoot(2, xyz)
    if (isShownFrom(l, m, s)) return xyz
    const off = along(oklabFromRoots[0], l, m, s) - 0.5
    const reach = 0.5 + Math.abs(off) + TRADE * Math.hypot(along(oklabFromRoots[1], l, m, s), along(oklabFromRoots[2], l, m, s))
    const lean = reach - Math.sqrt(Math.max(0, reach * reach - 2 * Math.abs(off)))
    // Roots are linear in Oklab: the line is a line in them too.
    const grey = times(rootsFromOklab, [0.5 * (1 + Math.sign(off) * lean), 0, 0])
    const way: Triple = [l - grey[0], m - grey[1], s - grey[2]]
    let shown = 0
    let tooStrong = 1
    for (let i = 0; i < HALVINGS; i++) {
      const t = (shown + tooStrong) / 2
      if (isShownFrom(grey[0] + t * way[0], grey[1] + t * way[1], grey[2] + t * way[2])) shown = t
      else tooStrong = t
    }
    return times(xyzFromCones, [(grey[0] + shown * way[0]) ** 3, (grey[1] + shown * way[1]) ** 3, (grey[2] + shown * way[2]) ** 3])
  }
}

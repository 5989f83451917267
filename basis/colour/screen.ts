import { type Lab, labFromXyz, screenWhite, xyzFromLab } from './lab.ts'
import { diagonal, inverse, type Matrix, product, times } from './matrix.ts'
import { invariant } from '../problems/index.ts'
import { createGamutMap } from './gamut.ts'
import type { Xyz } from './observer.ts'

/** Linear-light red, green, blue of a screen; 0..1 can be shown. */
export type LinearRgb = readonly [red: number, green: number, blue: number]

/** XYZ of a chromaticity at Y = 1. */
const ofChromaticity = (x: number, y: number): Xyz => [x / y, 1, (1 - x - y) / y]

/** Primaries of sRGB (IEC 61966-2-1, table 1: those of ITU-R BT.709). */
const red = ofChromaticity(0.64, 0.33)
const green = ofChromaticity(0.3, 0.6)
const blue = ofChromaticity(0.15, 0.06)

/** Linear sRGB -> XYZ: the primaries in such amounts that (1, 1, 1) is white. Derived, so that no rounded matrix stands here. */
export const xyzFromLinearRgb: Matrix = (() => {
  const primaries: Matrix = [
    [red[0], green[0], blue[0]],
    [red[1], green[1], blue[1]],
    [red[2], green[2], blue[2]],
  ]
  return product(primaries, diagonal(times(inverse(primaries), screenWhite)))
})()
/** XYZ -> linear sRGB. */
export const linearRgbFromXyz: Matrix = inverse(xyzFromLinearRgb)

/** Linear light -> sRGB signal (IEC 61966-2-1, 4.2); outside 0..1 it is held at the end. */
export function encode(linear: number): number {
  const held = Math.min(1, Math.max(0, linear))
  return held <= 0.0031308 ? 12.92 * held : 1.055 * held ** (1 / 2.4) - 0.055
}

/** sRGB signal 0..1 -> linear light (IEC 61966-2-1, 4.2). */
export function decode(signal: number): number {
  return signal <= 0.04045 ? signal / 12.92 : ((signal + 0.055) / 1.055) ** 2.4
}

/** Brings any colour to one that an sRGB screen can show. */
export const intoGamut = createGamutMap(linearRgbFromXyz)

const hexBytes = Array.from({ length: 256 }, (_, i) => i.toString(16).padStart(2, '0'))
const byte = (linear: number): string => hexBytes[Math.round(encode(linear) * 255)]!

/** "#rrggbb" of XYZ seen by an eye adapted to the screen's white; colours no screen can show are brought in by `intoGamut`. */
export function hexFromXyz(xyz: Xyz): string {
  const [r, g, b] = times(linearRgbFromXyz, intoGamut(xyz))
  return `#${byte(r)}${byte(g)}${byte(b)}`
}

/** "#rrggbb" of a Lab (D65). */
export function hexFromLab(lab: Lab): string {
  return hexFromXyz(xyzFromLab(lab))
}

/** Lab (D65) of "#rrggbb". Other text is a fault of the caller. */
export function labFromHex(hex: string): Lab {
  const digits = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex)
  invariant(digits !== null, `not a colour: ${hex}`)
  const channel = (k: 1 | 2 | 3): number => decode(Number.parseInt(digits[k]!, 16) / 255)
  return labFromXyz(times(xyzFromLinearRgb, [channel(1), channel(2), channel(3)]))
}

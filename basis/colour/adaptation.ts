import { diagonal, inverse, type Matrix, product, times, type Triple } from './matrix.ts'
import type { Xyz } from './observer.ts'

/** A cone-like space in which an eye's adaptation is a gain a channel. */
export interface ConeSpace {
  readonly name: string
  readonly fromXyz: Matrix
  readonly source: string
}

/**
 * CAT16: the sharpened cone space of CAM16. Chosen over CAT02 because no real light gives it a negative response.
 * Matrix read in several public copies that cite the paper.
 */
export const cat16: ConeSpace = {
  name: 'CAT16',
  fromXyz: [
    [0.401288, 0.650173, -0.051461],
    [-0.250268, 1.204414, 0.045854],
    [-0.002079, 0.048952, 0.953127],
  ],
  source:
    'C. Li et al., Comprehensive color solutions: CAM16, CAT16, and CAM16-UCS, Color Res. Appl. 42, 703 (2017); matrix read in copies',
}

/**
 * The matrix that takes XYZ seen by an eye in light `from` to the XYZ that look the same in light `to`:
 * M⁻¹ diag(D · to/from + 1 − D) M with cone responses of both whites (Y of both whites 1).
 * `degree` D: 1 the eye has fully adapted, a white stays white; 0 not at all, XYZ are unchanged. Outside 0..1 it is held at the end.
 */
export function adaptationMatrix(from: Xyz, to: Xyz, degree: number, cones: ConeSpace = cat16): Matrix {
  const held = Math.min(1, Math.max(0, degree))
  const here = times(cones.fromXyz, from)
  const there = times(cones.fromXyz, to)
  const gain = (k: 0 | 1 | 2): number => held * (there[k] / here[k]) + 1 - held
  const gains: Triple = [gain(0), gain(1), gain(2)]
  return product(inverse(cones.fromXyz), product(diagonal(gains), cones.fromXyz))
}

/** One colour through `adaptationMatrix`. */
export function adapt(xyz: Xyz, from: Xyz, to: Xyz, degree: number, cones: ConeSpace = cat16): Xyz {
  return times(adaptationMatrix(from, to, degree, cones), xyz)
}

import { invariant } from '../problems/index.ts'
import { adaptationMatrix } from './adaptation.ts'
import { screenWhite } from './lab.ts'
import { times } from './matrix.ts'
import { type Observer, tristimulus } from './observer.ts'

/**
 * An observer, a light and an adaptation folded into three weights a wavelength, so that one pass over a spectrum
 * gives colours ready for `labFromXyz` and `hexFromXyz`. Summation and von Kries adaptation are both linear: nothing is lost.
 */
export interface Eye {
  readonly size: number
  /** x, y, z weight of each wavelength in turn. */
  readonly weights: Float64Array
  /** Fills `out` with the adapted XYZ of a transmittance, one entry a wavelength. */
  see(transmittance: Float64Array, out: Float64Array): void
}

/** The eye of `observer` in `light`, adapted by `degree` (0..1) to it and shown on a screen whose white is D65. */
export function createEye(observer: Observer, light: string, degree: number): Eye {
  const power = observer.lights[light]
  invariant(power !== undefined, `no light called ${light}`)
  const size = power.length
  const toScreen = adaptationMatrix(tristimulus(observer, light), screenWhite, degree)
  const bare = power.reduce((sum, s, i) => sum + s * observer.yBar[i]!, 0)
  const weights = new Float64Array(3 * size)
  for (let i = 0; i < size; i++) {
    const part = power[i]! / bare
    weights.set(times(toScreen, [part * observer.xBar[i]!, part * observer.yBar[i]!, part * observer.zBar[i]!]), 3 * i)
  }
  return {
    size,
    weights,
    see(transmittance, out) {
      let x = 0
      let y = 0
      let z = 0
      for (let i = 0; i < size; i++) {
        const t = transmittance[i]!
        x += t * weights[3 * i]!
        y += t * weights[3 * i + 1]!
        z += t * weights[3 * i + 2]!
      }
      out[0] = x
      out[1] = y
      out[2] = z
    },
  }
}

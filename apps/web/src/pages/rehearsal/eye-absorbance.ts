/** Absorbance as the eye weighs light, from the colours of a strip: what a light meter behind the vessel would follow. */
import type { StripSample, Trace } from '@beakertide/core/rehearsal'

/** CIE 15: Y of L*, relative to white; the straight part below L* 8. */
export const luminance = (lightness: number): number => (lightness > 8 ? ((lightness + 16) / 116) ** 3 : (lightness * 27) / 24389)

/** Points of a drawn line; more is not seen. */
const MOST_POINTS = 800
/** Less light than this is darkness, whatever the number: four decades. */
const DARKEST = 1e-4

export const EYE_ABSORBANCE = 'absorbance to the eye'

/** −log₁₀ of the light that comes through the whole depth, weighed by the eye; light from the surface is in it, so it ends near 2. Null without a strip. */
export function eyeAbsorbance(strip: readonly StripSample[]): Trace | null {
  if (strip.length < 2) return null
  const step = Math.max(1, Math.floor(strip.length / MOST_POINTS))
  const picked = strip.filter((_, i) => i % step === 0 || i === strip.length - 1)
  return {
    name: EYE_ABSORBANCE,
    unit: '',
    timesS: picked.map((s) => s.timeS),
    values: picked.map((s) => -Math.log10(Math.max(DARKEST, luminance(s.lab[0])))),
    note: 'over the whole depth, all light together as the eye weighs it; the light of the surface is in it',
  }
}

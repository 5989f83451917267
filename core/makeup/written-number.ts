/** How far a number on a label is trusted when nothing else is said. */
import type { Quantity } from '@beakertide/basis/units'
import { rectangular } from './uncertainty.ts'

/** A label written with few digits ("2 mol/L") is still meant to about this share: assumed. */
const COARSEST_LABEL = 0.02

/** Half a unit in the last written digit, relative to the number: "0.0200" -> 0.0025. 0 for a number without digits. */
export function halfDigitRelative(text: string): number {
  const found = /(\d*)\.?(\d*)/.exec(text.replace(/^[^\d.]*/, ''))
  const whole = found?.[1] ?? ''
  const decimals = found?.[2] ?? ''
  const mantissa = Number(`${whole || '0'}.${decimals || '0'}`)
  return mantissa > 0 ? (0.5 * 10 ** -decimals.length) / mantissa : 0
}

/**
 * Standard uncertainty of a stated quantity, in its internal unit: the one that is written, else half a unit of the last
 * written digit, at most 2 % of the value, as a rectangular limit (assumed).
 */
export function labelUncertainty(quantity: Quantity): number {
  if (quantity.uncertainty !== undefined) return quantity.uncertainty
  return rectangular(Math.min(halfDigitRelative(quantity.text), COARSEST_LABEL) * Math.abs(quantity.value))
}

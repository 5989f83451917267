/** How strong a danger group must be for a rule to fire. */
import { invariant } from '@beakertide/basis/problems'

/** "solid": the thing is a solid and holds it; else strictly over this strength. */
export type Threshold = { readonly over: 'solid' } | { readonly over: 'mol/L' | 'mass-fraction'; readonly value: number }

/** "0.02 mol/L", "8 %", "solid". A text of another shape is our fault, in a table of ours. */
export function parseThreshold(text: string, code: string): Threshold {
  if (text === 'solid') return { over: 'solid' }
  const m = /^([\d.]+) (mol\/L|%)$/.exec(text)
  invariant(m !== null, `threshold "${text}" of ${code} is neither "solid", "x mol/L" nor "x %"`)
  return m[2] === '%' ? { over: 'mass-fraction', value: Number(m[1]) / 100 } : { over: 'mol/L', value: Number(m[1]) }
}

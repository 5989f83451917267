/** Acid to neutralise: strong, hydrogensulfate and organic acids, by their protonation at the pH aimed at. */
import type { SpeciesId } from '../matter/index.ts'
import type { AcidCount, ClearingFacts } from './clearing-facts.ts'

/** Mean number of protons a mole still holds at a pH: polyprotic acid, pKa in order, activities not corrected (25 degC). */
export function meanProtons(pKas: readonly number[], pH: number): number {
  // Weights of the states with n, n-1 … 0 protons relative to the fully deprotonated one, kept finite by powers of ten.
  const exponents = pKas.map((_, i) => pKas.slice(i).reduce((sum, pKa) => sum + pKa - pH, 0))
  const largest = Math.max(0, ...exponents)
  let weights = 10 ** -largest
  let protons = 0
  for (const [i, e] of exponents.entries()) {
    const w = 10 ** (e - largest)
    weights += w
    protons += w * (pKas.length - i)
  }
  return protons / weights
}

/** Protons a mole of the species lets go on the way to that pH; negative when it takes some up. */
export function protonsReleased(acid: AcidCount, pH: number): number {
  if (acid.pKas.length === 0) return acid.species === 'OH-' ? -1 : acid.carries
  return acid.carries - meanProtons(acid.pKas, pH)
}

/** Acid in an amount list to be neutralised to a pH, mol; negative: that much alkali. */
export function acidToNeutralise(amountsMol: Readonly<Record<SpeciesId, number>>, pH: number, facts: ClearingFacts): number {
  return facts.acids.reduce((sum, a) => sum + (amountsMol[a.species] ?? 0) * protonsReleased(a, pH), 0)
}

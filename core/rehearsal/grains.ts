import type { SpeciesId } from '../matter/index.ts'

/**
 * Solid grains in a stirred liquid, a stated approximation: spheres of one size, each takes the light that meets its cross-section.
 * Black grains keep it; white ones send it on as white light that has crossed half the liquid on average.
 */
export interface Grain {
  readonly molarMassGPerMol: number
  readonly densityGPerMl: number
  readonly diameterCm: number
  readonly looks: 'black' | 'white'
  readonly source: string
}

/** Share of the light met by white grains that still reaches the eye; our own estimate, no source. */
export const WHITE_GRAIN_RETURN = 0.7

/** Grains by solid species. Solids that the absorber table knows (manganese dioxide colloid) are absorbers instead. */
export const usualGrains: Readonly<Record<SpeciesId, Grain>> = {
  'I2(s)': {
    molarMassGPerMol: 253.809,
    densityGPerMl: 4.93,
    diameterCm: 0.005,
    looks: 'black',
    source: 'density: handbook value, memory; 0.05 mm flakes: assumed',
  },
  'S(s)': {
    molarMassGPerMol: 32.06,
    densityGPerMl: 2.07,
    diameterCm: 0.0001,
    looks: 'white',
    source: 'density: handbook value, memory; 1 micrometre droplets of a sulfur sol: assumed',
  },
}

/** Cross-section of a grain's mole, L mol⁻¹ cm⁻¹ (Napierian): τ = this × concentration × depth. A sphere has 3/(2 ρ d) cm²/g. */
export function grainExtinction(grain: Grain): number {
  return (1.5 * grain.molarMassGPerMol) / (grain.densityGPerMl * grain.diameterCm) / 1000
}

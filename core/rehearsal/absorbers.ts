import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, seenFrom } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'

/** A Gaussian band in wavenumber: ε(ν) = height exp(−4 ln 2 ((ν − centre)/width)²). */
export interface Band {
  readonly centreNm: number
  readonly heightLPerMolCm: number
  /** Full width at half height, cm⁻¹. */
  readonly widthPerCm: number
}

/** What one coloured species takes from light. Plain data. */
export interface Absorber {
  readonly name: string
  /** The entity that one mole counts: "I3-", "Mn", "dye". */
  readonly perMoleOf: string
  readonly medium: string
  /** How far the table trusts itself, in its own words: "good at 353 nm and 460 nm, tail medium". */
  readonly confidence: string
  /** Decadic molar absorption coefficients, L mol⁻¹ cm⁻¹, on the wavelengths of the facts. */
  readonly molarAbsorptivity: readonly number[]
  /** Where the spectrum is a sum of bands, they also serve outside the visible. */
  readonly bands: readonly Band[]
  readonly source: Source
}

export interface AbsorberFacts {
  readonly wavelengthsNm: readonly number[]
  readonly absorbers: Readonly<Record<string, Absorber>>
}

/**
 * Absorbers from `data/tables/absorbers_spectra.csv` (ε on a grid of equal steps) described by `data/tables/absorbers.csv`
 * (bands, confidence, status). Absorbers without a spectrum are colourless ones and are left out.
 */
export function readAbsorbers(spectra: Rows, described: Rows): AbsorberFacts {
  const columns = new Map<string, { readonly nm: number[]; readonly epsilon: number[] }>()
  for (const row of spectra) {
    const name = row.absorber ?? ''
    const column = columns.get(name) ?? { nm: [], epsilon: [] }
    columns.set(name, column)
    column.nm.push(Number(row.wavelength_nm))
    column.epsilon.push(Number(row.molar_absorptivity_l_per_mol_cm))
  }
  const wavelengthsNm = columns.values().next().value?.nm ?? []
  const absorbers: Record<string, Absorber> = {}
  for (const [name, { nm, epsilon }] of columns) {
    invariant(nm.length === wavelengthsNm.length && nm.every((v, i) => v === wavelengthsNm[i]), `absorber ${name}: another wavelength grid`)
    invariant(
      epsilon.every((v) => Number.isFinite(v) && v >= 0),
      `absorber ${name}: an absorptivity is not a positive number`,
    )
    const about = described.filter((row) => row.absorber === name)
    const first = about[0]
    invariant(first !== undefined, `absorber ${name} is not described`)
    absorbers[name] = {
      name,
      perMoleOf: first.per_mole_of ?? '',
      medium: first.medium ?? '',
      confidence: [...new Set(about.map((row) => row.confidence ?? '').filter((text) => text !== ''))].join('; '),
      molarAbsorptivity: epsilon,
      bands: about
        .filter((row) => row.row_kind === 'band')
        .map((row) => ({
          centreNm: Number(row.wavelength_nm),
          heightLPerMolCm: Number(row.molar_absorptivity_l_per_mol_cm),
          widthPerCm: Number(row.band_fwhm_cm1),
        })),
      source: { source: first.source ?? '', seen: seenFrom(first.read_or_memory ?? '') },
    }
  }
  return { wavelengthsNm, absorbers }
}

/** Wavenumber in cm⁻¹ of a wavelength in nm. */
const perCm = (nm: number): number => 1e7 / nm

/**
 * ε of an absorber at any wavelength, L mol⁻¹ cm⁻¹: between grid points linear; outside the grid the sum of its bands;
 * null where nothing is known (no such absorber, or outside the grid with no bands).
 */
export function molarAbsorptivityAt(facts: AbsorberFacts, name: string, wavelengthNm: number): number | null {
  const absorber = facts.absorbers[name]
  if (absorber === undefined || !(wavelengthNm > 0)) return null
  const { wavelengthsNm } = facts
  const first = wavelengthsNm[0] ?? 0
  const last = wavelengthsNm.at(-1) ?? 0
  if (wavelengthNm >= first && wavelengthNm <= last) {
    const place = ((wavelengthNm - first) / (last - first)) * (wavelengthsNm.length - 1)
    const below = Math.min(Math.floor(place), wavelengthsNm.length - 2)
    const [low, high] = [absorber.molarAbsorptivity[below] ?? 0, absorber.molarAbsorptivity[below + 1] ?? 0]
    return low + (high - low) * (place - below)
  }
  if (absorber.bands.length === 0) return null
  return absorber.bands.reduce((sum, band) => {
    const off = (perCm(wavelengthNm) - perCm(band.centreNm)) / band.widthPerCm
    return sum + band.heightLPerMolCm * Math.exp(-4 * Math.LN2 * off * off)
  }, 0)
}

/** Absorber that takes iodine held by starch; `seeColours` makes its concentration itself. */
export const STARCH_ABSORBER = 'starch-triiodide (soluble starch)'

/**
 * The absorber that stands for a species where a mechanism does not say: for spectators and products of the mixture.
 * Aqua or sulfate-medium spectra as the table has them.
 */
export const usualAbsorbers: Readonly<Record<SpeciesId, string>> = {
  I2: 'I2(aq)',
  'I3-': 'I3-',
  'MnO4-': 'MnO4-',
  MnO2: 'MnO2 colloid',
  'MnO2(s)': 'MnO2 colloid',
  'Mn3+': 'Mn(III) in sulfuric acid',
  'Ce4+': 'Ce(IV) sulfate',
  ferroin: 'ferroin Fe(phen)3 2+',
  ferriin: 'ferriin Fe(phen)3 3+',
  Br2: 'Br2(aq)',
  'Br3-': 'Br3-',
  ClO2: 'ClO2(aq)',
  'MB+': 'methylene blue MB+ monomer',
  MBH: 'leuco methylene blue',
  'Cu2+': 'Cu2+ aqua ion',
  'Cu(NH3)4^2+': 'Cu(NH3)4 2+',
  'Co2+': 'Co2+ aqua ion',
  'CoCl4^2-': 'CoCl4 2-',
  'Ni2+': 'Ni2+ aqua ion',
  'Fe3+': 'Fe3+ aqua/hydroxo (pH 2)',
  'FeSCN^2+': 'FeSCN2+',
  'Fe(CN)6^3-': 'Fe(CN)6 3-',
  'CrO4^2-': 'CrO4 2-',
  'Cr2O7^2-': 'Cr2O7 2- / HCrO4- (per Cr2O7)',
}

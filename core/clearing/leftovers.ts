/** The cases of one vessel: finished and stopped early, as amounts, and what kind of leftovers they are. */
import type { Inventory } from '../mixture/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import { WATER_HEAT_CAPACITY_J_PER_GK } from '../cautions/index.ts'
import { acidToNeutralise } from './acid.ts'
import type { ClearingFacts, CollectOnly } from './clearing-facts.ts'
import type { OrganicLeft, Range, ReductantId } from './clearing-plan.ts'
import { type Amounts, oxidantEquivalents } from './reduction.ts'

export interface Case {
  readonly name: string
  readonly amounts: Amounts
  readonly volumeL: number
  readonly capacityKJPerK: number
}

/** A low end under this share of the high end is 0 on a bench (our choice). */
const NOTHING_SHARE = 1e-3

/** Range over numbers; 0 to 0 for none. A low end that is next to nothing beside the high end is 0. */
export function rangeOf(values: readonly number[]): Range {
  if (values.length === 0) return { low: 0, high: 0 }
  const [low, high] = [Math.min(...values), Math.max(...values)]
  return { low: low > 0 && low < NOTHING_SHARE * high ? 0 : low, high }
}

export const scaled = (range: Range, by: number): Range => ({ low: range.low * by, high: range.high * by })

/** Spellings that people and older mechanisms use beside those of data/species.csv. */
const OTHER_SPELLINGS: Readonly<Record<string, SpeciesId>> = {
  'OCl-': 'ClO-',
  C6H8O6: 'H2Asc',
  C6H6O6: 'DHAsc',
  IO2: 'IO2.',
  BrO2: 'BrO2.',
  HO2: 'HO2.',
}

/** Dissolved and solid amounts together: solid iodine and precipitates are cleared too. */
export function caseOf(inventory: Inventory, name: string): Case {
  const amounts: Record<SpeciesId, number> = {}
  for (const part of [inventory.amountsMol, inventory.solidsMol]) {
    for (const [written, n] of Object.entries(part)) {
      const s = OTHER_SPELLINGS[written] ?? written
      amounts[s] = (amounts[s] ?? 0) + Math.max(0, n)
    }
  }
  const capacity = inventory.heatCapacityJPerK > 0 ? inventory.heatCapacityJPerK : inventory.massG * WATER_HEAT_CAPACITY_J_PER_GK
  return { name, amounts, volumeL: inventory.volumeL, capacityKJPerK: capacity / 1000 }
}

/** What a class of leftovers asks for; the order of steps follows from it. */
export interface Kind {
  readonly acid: boolean
  readonly alkaline: boolean
  readonly peroxide: boolean
  readonly manganeseAndPeroxide: boolean
  readonly persulfate: boolean
  readonly permanganateOnly: boolean
  readonly ammonium: boolean
  readonly starch: boolean
  /** Iodine in any form: it comes back as a colour. */
  readonly iodine: boolean
  readonly bromate: boolean
  /** Acid would free chlorine, chlorine dioxide or hydrogen cyanide. */
  readonly acidFreesGas: boolean
  /** Sulfite or thiosulfate, which free SO2 in acid, more than the oxidants beside it use up. */
  readonly reductantLeft: boolean
  /** Sulfite or thiosulfate until the reaction has run its course. */
  readonly reductantEarly: boolean
}

/** Below this much net acid or alkali a litre a liquid counts as neither, mol/L (our choice). */
export const NEUTRAL_WITHIN = 1e-3
/** Peroxide below this is left out of the choices, mol/L (a strip reads 1.5e-4; our choice). */
const PEROXIDE_COUNTS = 1e-3
const NEUTRAL_PH = 7

const some = (cases: readonly Case[], species: readonly SpeciesId[], overMolPerL = 0): boolean =>
  cases.some((c) => species.reduce((n, s) => n + (c.amounts[s] ?? 0), 0) / c.volumeL > overMolPerL)

export function kindOf(cases: readonly Case[], facts: ClearingFacts): Kind {
  const net = cases.map((c) => acidToNeutralise(c.amounts, NEUTRAL_PH, facts) / c.volumeL)
  const peroxide = some(cases, ['H2O2', 'HO2-'], PEROXIDE_COUNTS)
  const withoutPermanganate = cases.map((c) => ({ ...c.amounts, 'MnO4-': 0, 'Mn3+': 0, 'MnOH2+': 0, 'MnO2(s)': 0 }))
  return {
    acid: net.some((n) => n > NEUTRAL_WITHIN),
    alkaline: net.some((n) => n < -NEUTRAL_WITHIN),
    peroxide,
    manganeseAndPeroxide: peroxide && some(cases, ['Mn2+', 'Mn3+', 'MnOH2+', 'MnO4-']),
    persulfate: some(cases, ['S2O8^2-'], PEROXIDE_COUNTS),
    permanganateOnly: some(cases, ['MnO4-']) && withoutPermanganate.every((a) => oxidantEquivalents(a, facts) === 0),
    ammonium: some(cases, ['NH4+']),
    starch: some(cases, ['starch']),
    iodine: some(cases, ['I-', 'I2', 'I3-', 'I2(s)', 'IO3-', 'HOI']),
    bromate: some(cases, ['BrO3-']),
    acidFreesGas: some(cases, ['ClO-', 'HOCl', 'ClO2-', 'SCN-', 'Fe(CN)6^3-', 'Fe(CN)6^4-']),
    reductantLeft: cases.some((c) => surplusReductant(c, facts) / c.volumeL > NEUTRAL_WITHIN),
    reductantEarly: some(cases, REDUCTANTS_LEFT, NEUTRAL_WITHIN),
  }
}

const REDUCTANTS_LEFT: readonly SpeciesId[] = ['S2O3^2-', 'HSO3-', 'SO3^2-', 'H2SO3']

/**
 * Sulfite and thiosulfate that would outlast every oxidant beside them, in equivalents, mol: two electrons a sulfite, one a
 * thiosulfate (to tetrathionate, the way on which least is used up of the oxidant).
 */
function surplusReductant(c: Case, facts: ClearingFacts): number {
  const sulfite = (c.amounts['HSO3-'] ?? 0) + (c.amounts['SO3^2-'] ?? 0) + (c.amounts['H2SO3'] ?? 0)
  return 2 * sulfite + (c.amounts['S2O3^2-'] ?? 0) - oxidantEquivalents(c.amounts, facts)
}

/** Below this many equivalents a litre ascorbic acid is cheap enough to be first choice (17.6 g/L; our choice). */
const MILD_EQ_PER_L = 0.2

/**
 * First choice: sulfite while alkaline or near neutral; ascorbic acid for a little iodine, bromine or permanganate without
 * peroxide or persulfate (no SO2); hydrogensulfite for the rest (iodate, bromate and peroxide at once).
 */
export function firstChoice(cases: readonly Case[], kind: Kind, facts: ClearingFacts): ReductantId {
  if (kind.alkaline) return 'sulfite'
  const mild = cases.every((c) => oxidantEquivalents(c.amounts, facts) / c.volumeL <= MILD_EQ_PER_L)
  if (mild && !kind.peroxide && !kind.persulfate) return 'ascorbic'
  return kind.acid ? 'bisulfite' : 'sulfite'
}

/** Chlorine equivalent of a mole of organically bound halogen, g (AOX convention; atomic mass of chlorine). */
const AOX_G_PER_MOL_ELEMENT = 'Cl'

const ORGANICS: readonly { readonly species: readonly SpeciesId[]; readonly name: string; readonly halogens: number }[] = [
  { species: ['MA', 'HMA-', 'MA^2-', 'MAenol'], name: 'malonic acid', halogens: 0 },
  { species: ['IMA', 'HIMA-', 'IMAenol'], name: 'iodomalonic acid', halogens: 1 },
  { species: ['I2MA'], name: 'diiodomalonic acid', halogens: 2 },
  { species: ['BrMA', 'HBrMA-'], name: 'bromomalonic acid', halogens: 1 },
  { species: ['Br2MA'], name: 'dibromomalonic acid', halogens: 2 },
  { species: ['I2AA'], name: 'diiodoacetic acid', halogens: 2 },
  { species: ['H2C2O4', 'HC2O4-', 'C2O4^2-'], name: 'oxalic acid', halogens: 0 },
  { species: ['GLC', 'ENE-', 'GLON'], name: 'glucose and what became of it', halogens: 0 },
  { species: ['MB+', 'MBH'], name: 'methylene blue', halogens: 0 },
  { species: ['starch'], name: 'starch', halogens: 0 },
]

/** Names by species, of every organic that is listed. */
export const organicNames: Readonly<Record<SpeciesId, string>> = Object.fromEntries(
  ORGANICS.flatMap((o) => o.species.map((s) => [s, o.name])),
)

/** Organics left, with organically bound halogen in `treatedL`. */
export function organicsLeft(cases: readonly Case[], treatedL: number, facts: ClearingFacts): readonly OrganicLeft[] {
  const chlorine = facts.atomicMass[AOX_G_PER_MOL_ELEMENT] ?? Number.NaN
  return [
    ...mayBeBrominated(cases, treatedL, chlorine),
    ...ORGANICS.flatMap((o): readonly OrganicLeft[] => {
      const amountMol = rangeOf(cases.map((c) => o.species.reduce((n, s) => n + (c.amounts[s] ?? 0), 0)))
      if (amountMol.high <= 0) return []
      return [
        {
          species: o.species[0] ?? '',
          name: o.name,
          amountMol,
          boundHalogenMgClPerL: scaled(amountMol, (o.halogens * chlorine * 1000) / treatedL),
        },
      ]
    }),
  ]
}

/**
 * Acid bromate brominates malonic acid whatever a mechanism with lumped steps keeps a book of: where both are there and no
 * bromomalonic acid is listed, as much as either allows may have formed.
 */
function mayBeBrominated(cases: readonly Case[], treatedL: number, chlorine: number): readonly OrganicLeft[] {
  if (some(cases, ['BrMA', 'HBrMA-', 'Br2MA'])) return []
  const high = Math.max(
    ...cases.map((c) => Math.min(c.amounts['BrO3-'] ?? 0, (c.amounts['MA'] ?? 0) + (c.amounts['HMA-'] ?? 0) + (c.amounts['MAenol'] ?? 0))),
  )
  if (high <= 0) return []
  const amountMol = { low: 0, high }
  return [
    {
      species: 'BrMA',
      name: 'bromomalonic acid that may have formed',
      amountMol,
      boundHalogenMgClPerL: scaled(amountMol, (chlorine * 1000) / treatedL),
    },
  ]
}

/** Things that are collected and never treated here. */
export function collectOnlyIn(cases: readonly Case[], facts: ClearingFacts): readonly CollectOnly[] {
  return facts.collectOnly.filter((c) => some(cases, c.species))
}

/** Which bottles do not hold what their label says for long, by the species in them. */
import type { SpeciesId, Substance } from '../matter/index.ts'

export interface Perishing {
  /** "decomposes slowly in the bottle" */
  readonly why: string
  /** The assay that settles it, in words. */
  readonly assay: string
  /** Half-width by which an unassayed label may be off, relative (rectangular): assumed. */
  readonly doubt: number
}

interface Rule extends Perishing {
  readonly species: readonly SpeciesId[]
  readonly when: 'liquid' | 'always'
}

/** Handbook knowledge of storage (memory); the doubts are assumed. */
const rules: readonly Rule[] = [
  {
    species: ['H2O2'],
    when: 'always',
    why: 'peroxide decomposes slowly in the bottle',
    assay: 'titrate it with permanganate, or measure the oxygen it gives',
    doubt: 0.05,
  },
  {
    species: ['ClO-', 'HOCl'],
    when: 'always',
    why: 'hypochlorite loses strength within weeks',
    assay: 'titrate it iodometrically',
    doubt: 0.2,
  },
  { species: ['S2O4^2-'], when: 'always', why: 'dithionite is eaten by damp air', assay: 'open a fresh bottle', doubt: 0.15 },
  {
    species: ['HSO3-', 'SO3^2-', 'H2SO3'],
    when: 'always',
    why: 'sulfite is oxidised by air and loses sulfur dioxide',
    assay: 'titrate it with iodine of known strength',
    doubt: 0.05,
  },
  { species: ['Fe2+'], when: 'liquid', why: 'iron(II) is oxidised by air', assay: 'titrate it with permanganate', doubt: 0.05 },
  {
    species: ['S2O3^2-'],
    when: 'liquid',
    why: 'thiosulfate solutions are eaten by bacteria and acid',
    assay: 'titrate it against iodate',
    doubt: 0.03,
  },
  {
    species: ['NH3'],
    when: 'liquid',
    why: 'ammonia escapes from an opened bottle',
    assay: 'titrate it with acid of known strength',
    doubt: 0.05,
  },
  {
    species: ['MnO4-'],
    when: 'liquid',
    why: 'permanganate solutions settle out manganese dioxide',
    assay: 'titrate it against oxalate',
    doubt: 0.03,
  },
  { species: ['I2', 'I3-', 'Br2'], when: 'liquid', why: 'the halogen evaporates', assay: 'titrate it with thiosulfate', doubt: 0.05 },
]

/** Why the content of a bottle changes and by how much it may be off; null when it keeps. */
export function perishing(substance: Substance, state: 'solid' | 'liquid'): Perishing | null {
  const inside = new Set(substance.entersWater.map((e) => e.species))
  return rules.find((r) => (r.when === 'always' || state === 'liquid') && r.species.some((s) => inside.has(s))) ?? null
}

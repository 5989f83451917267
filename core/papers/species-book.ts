/** Names and charges of species for print: what an id is called, and how it is typeset. */
import { parseFormula, type Species, type SpeciesId, writeFormula, writeSpecies } from '../matter/index.ts'
import type { MechanismSpecies } from '../mechanism/index.ts'

/** Every species a paper may name. A table of facts and a mechanism together. */
export type SpeciesBook = Readonly<Record<SpeciesId, Species>>

/** The species table, completed by species that only a mechanism knows. */
export function speciesBook(table: Readonly<Record<SpeciesId, Species>>, ofMechanism: readonly MechanismSpecies[] = []): SpeciesBook {
  const own = Object.fromEntries(
    ofMechanism.map((s): [string, Species] => [
      s.id,
      { id: s.id, name: s.name, composition: s.composition ?? {}, charge: s.charge, phase: s.role === 'solvent' ? 'solvent' : 'dissolved' },
    ]),
  )
  return { ...own, ...table }
}

const entry = (id: SpeciesId, book: SpeciesBook): Species | undefined => (Object.hasOwn(book, id) ? book[id] : undefined)

/**
 * An id with sub- and superscripts: SO₄²⁻; MnOH²⁺ for the id "MnOH2+", whose charge the book knows; names such as "MA" and
 * "ferroin" as they are.
 */
export function speciesWords(id: SpeciesId, book: SpeciesBook): string {
  const known = entry(id, book)
  if (known && parseFormula(id).ok) return writeSpecies(known, 'unicode')
  return writeFormula(id, 'unicode')
}

/** The chemical name where the id is an abbreviation ("malonic acid" for MA); formulas and plain words as speciesWords has them. */
export function speciesNamed(id: SpeciesId, book: SpeciesBook): string {
  const known = entry(id, book)
  if (!known || parseFormula(id).ok || /^[a-z]+$/.test(id)) return speciesWords(id, book)
  return known.name
}

/** What one says of it aloud: "iodine" for I2, "ferroin", "malonic acid"; the state of matter is left out. */
export function speciesSpoken(id: SpeciesId, book: SpeciesBook): string {
  if (/^[a-z]+$/.test(id)) return id
  return speciesName(id, book).replace(/,? \(?(?:dissolved|aqueous)\)?$/, '') || speciesNamed(id, book)
}

/** What a formula stands for ("iodate"), empty where it adds nothing. */
export function speciesName(id: SpeciesId, book: SpeciesBook): string {
  const name = entry(id, book)?.name ?? ''
  return name === id ? '' : name
}

import { invariant } from '@beakertide/basis/problems'
import type { Rows } from '@beakertide/basis/sources'
import type { SpeciesFacts } from './matter-facts.ts'
import { parseFormula } from './parse-formula.ts'
import type { Species, SpeciesId } from './substance.ts'
import { cell, namesIn, numberCell, own } from './table-cells.ts'

const phases: readonly Species['phase'][] = ['dissolved', 'solid', 'gas', 'solvent']

/** Reads species.csv. */
export function readSpecies(rows: Rows): SpeciesFacts {
  const species: Record<SpeciesId, Species> = {}
  const speciesNames: Record<string, SpeciesId> = {}
  const enthalpyFrom: Record<SpeciesId, string> = {}
  for (const row of rows) {
    const id = cell(row, 'id')
    const composition = parseFormula(cell(row, 'composition'))
    const phase = phases.find((p) => p === cell(row, 'phase'))
    invariant(
      composition.ok && phase !== undefined && !Object.hasOwn(species, id),
      `species.csv: the row of "${id}" is not readable or stands twice`,
    )
    species[id] = { id, name: cell(row, 'name'), composition: composition.value.elements, charge: numberCell(row, 'charge'), phase }
    for (const name of namesIn(cell(row, 'other_names'))) {
      invariant(!Object.hasOwn(speciesNames, name), `species.csv: the name "${name}" stands for two species`)
      speciesNames[name] = id
    }
    const from = cell(row, 'enthalpy_from')
    if (from !== '') enthalpyFrom[id] = from
  }
  return { species, speciesNames, enthalpyFrom }
}

/**
 * The species a table means by `name`: its id, another spelling ("SO4 2-", "SO4-2", "CO2(aq)", "HClO"), or, with `wanted`, the solid
 * or gas of that formula ("AgCl" in a solubility product). `system` helps generic names: "HIn" of the system "phenol red".
 */
export function speciesNamed(
  name: string,
  facts: Pick<SpeciesFacts, 'species' | 'speciesNames'>,
  wanted?: 'solid' | 'gas',
  system?: string,
): Species | null {
  const text = name.trim()
  const suffix = wanted === 'solid' ? '(s)' : wanted === 'gas' ? '(g)' : ''
  const caret = text
    .replace(/^\[([^\]]+)\]/, '$1')
    .replace(/\s+(\d?[+-])$/, '^$1')
    .replace(/([+-])(\d)$/, '^$2$1')
  const shortened = caret.replace(/^([A-Z][a-z]?)\^(\d)\+$/, '$1$2+')
  const candidates = [text + suffix, `${text} (${system})`, text, caret, shortened, text.replace(/\(aq\)$/, '')]
  for (const candidate of candidates) {
    const found = own(facts.species, candidate) ?? own(facts.species, own(facts.speciesNames, candidate) ?? '')
    if (found && (wanted === undefined || found.phase === wanted)) return found
  }
  return null
}

import { invariant } from '@beakertide/basis/problems'
import { seenFrom, type Rows } from '@beakertide/basis/sources'
import { hydrateWord, splitHydrateName } from './hydrates.ts'
import { type AtomicWeights, molarMass } from './molar-mass.ts'
import { parseFormula } from './parse-formula.ts'
import type { EntryIntoWater, Species, Substance } from './substance.ts'
import { cell, namesIn, own, type Row } from './table-cells.ts'

/** "manganese(II) sulfate" -> "manganese-ii-sulfate"; remarks in brackets other than oxidation numbers and "anhydrous" are left out. */
export function substanceIdOf(name: string): string {
  return name
    .replace(/\((?!(?:[IVX]+|anhydrous)\))(?:[^()]|\([^()]*\))*\)/g, ' ')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
}

/** "2 Na+; 2 HSO3-; -1 H2O" as species and counts (negative: used up). */
export function readEntry(text: string, species: Readonly<Record<string, Species>>): readonly EntryIntoWater[] {
  return namesIn(text).map((item) => {
    const found = /^(?:(-?\d+) )?(.+)$/.exec(item)!
    const id = found[2]!
    invariant(own(species, id) !== undefined, `enters_water.csv: "${id}" is no species of species.csv`)
    return { species: id, count: found[1] === undefined ? 1 : Number(found[1]) }
  })
}

/**
 * Substances from substances.csv (label, grades), substance_names.csv (spellings, family, how it is sold) and enters_water.csv.
 * Molar masses are computed from the weights. Rows without a formula (indicator mixtures) are left out: they cannot be counted in moles.
 */
export function readSubstances(
  rows: Rows,
  names: Rows,
  enters: Rows,
  weights: AtomicWeights,
  species: Readonly<Record<string, Species>>,
): readonly Substance[] {
  const namesOf = new Map(names.map((row) => [cell(row, 'substance'), row]))
  const entryOf = new Map(enters.map((row) => [cell(row, 'substance'), row]))
  const plain = rows.filter((row) => cell(row, 'formula') !== '').map((row) => readOne(row, namesOf, entryOf, weights, species))
  const members = new Map<string, number>()
  for (const s of plain) members.set(s.family, (members.get(s.family) ?? 0) + 1)
  // "citric acid" beside "citric acid monohydrate": the bare name must not decide which is meant, so its id says "anhydrous".
  return plain.map((s) =>
    s.waters === 0 && members.get(s.family)! > 1 && !s.id.endsWith('anhydrous') ? { ...s, id: `${s.id}-anhydrous` } : s,
  )
}

function readOne(
  row: Row,
  namesOf: ReadonlyMap<string, Row>,
  entryOf: ReadonlyMap<string, Row>,
  weights: AtomicWeights,
  species: Readonly<Record<string, Species>>,
): Substance {
  const name = cell(row, 'name')
  const formula = parseFormula(cell(row, 'formula'))
  invariant(formula.ok, `substances.csv: the formula of "${name}" does not parse`)
  const mass = molarMass(formula.value, weights)
  invariant(mass.ok, `substances.csv: "${name}" has no molar mass`)
  const named = namesOf.get(name)
  const enters = entryOf.get(name)
  const statedFamily = named ? cell(named, 'family') : ''
  return {
    id: substanceIdOf(name),
    name,
    formula: formula.value.text,
    cas: cell(row, 'cas_number') || null,
    molarMassGPerMol: mass.value.value,
    molarMassUncertaintyGPerMol: mass.value.uncertainty,
    form: cell(row, 'physical_form'),
    colour: cell(row, 'colour'),
    entersWater: enters ? readEntry(cell(enters, 'becomes'), species) : [],
    waters: formula.value.waters,
    family: statedFamily || substanceIdOf(splitHydrateName(name).compound),
    otherNames: named ? namesIn(cell(named, 'other_names')) : [],
    germanNames: namesIn(named?.['german_names'] ?? ''),
    soldAs: named && cell(named, 'sold_as') === 'aqueous' ? 'aqueous' : 'pure',
    grades: cell(row, 'commercial_grades'),
    contaminants: cell(row, 'contaminants_that_matter'),
    restriction: cell(row, 'restriction_flag'),
    source: cell(row, 'source'),
    seen: seenFrom(cell(row, 'read_or_memory')),
  }
}

/**
 * The same compound with another number of waters than the table lists ("CuSO4" made from CuSO4·5H2O): molar mass recomputed,
 * no CAS number, and entering water with that much water. Null for a substance without a known entry.
 */
export function asHydrate(substance: Substance, waters: number, weights: AtomicWeights): Substance | null {
  const parsed = parseFormula(substance.formula)
  if (!parsed.ok || substance.entersWater.length === 0) return null
  const bare = substance.formula.split('·')[0]!
  const formula = waters === 0 ? bare : `${bare}·${waters === 1 ? '' : waters}H2O`
  const mass = molarMass(formula, weights)
  if (!mass.ok) return null
  const change = waters - substance.waters
  const others = substance.entersWater.filter((e) => e.species !== 'H2O')
  const water = (substance.entersWater.find((e) => e.species === 'H2O')?.count ?? 0) + change
  return {
    ...substance,
    id: `${substance.family}-${hydrateWord(waters)}`,
    name: `${splitHydrateName(substance.name).compound} ${waters === 0 ? '(anhydrous)' : hydrateWord(waters)}`,
    formula,
    cas: null,
    waters,
    molarMassGPerMol: mass.value.value,
    molarMassUncertaintyGPerMol: mass.value.uncertainty,
    entersWater: water === 0 ? others : [...others, { species: 'H2O', count: water }],
    form: 'as on its label',
    source: `${substance.source}; this hydrate is not in the table: formula and molar mass made from "${substance.name}"`,
  }
}

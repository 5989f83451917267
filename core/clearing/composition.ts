/** What the treated liquid holds, mg/L, for the label of the bottle and the question to the authority. Over independent species. */
import type { SpeciesId } from '../matter/index.ts'
import type { ClearingFacts } from './clearing-facts.ts'
import type { Range } from './clearing-plan.ts'
import { rangeOf } from './leftovers.ts'
import type { Masters } from './liquid.ts'

interface Line {
  readonly name: string
  readonly species: Readonly<Record<SpeciesId, number>>
  /** Atoms of what it is reported as. */
  readonly as: Readonly<Record<string, number>>
}

const LINES: readonly Line[] = [
  { name: 'sulfate', species: { 'SO4^2-': 1 }, as: { S: 1, O: 4 } },
  { name: 'sulfite and thiosulfate', species: { 'SO3^2-': 1, 'S2O3^2-': 1 }, as: { S: 1, O: 3 } },
  { name: 'tetrathionate', species: { 'S4O6^2-': 1 }, as: { S: 4, O: 6 } },
  { name: 'trithionate', species: { 'S3O6^2-': 1 }, as: { S: 3, O: 6 } },
  { name: 'iodide', species: { 'I-': 1 }, as: { I: 1 } },
  { name: 'iodate', species: { 'IO3-': 1 }, as: { I: 1, O: 3 } },
  { name: 'bromide', species: { 'Br-': 1 }, as: { Br: 1 } },
  { name: 'chloride', species: { 'Cl-': 1 }, as: { Cl: 1 } },
  { name: 'nitrate', species: { 'NO3-': 1 }, as: { N: 1, O: 3 } },
  { name: 'ammonium', species: { NH3: 1 }, as: { N: 1, H: 4 } },
  { name: 'sodium', species: { 'Na+': 1 }, as: { Na: 1 } },
  { name: 'potassium', species: { 'K+': 1 }, as: { K: 1 } },
  {
    name: 'malonic and halomalonic acids, as malonic acid',
    species: { 'MA^2-': 1, 'IMA^2-': 1, IMAenol: 1, 'I2MA^2-': 1, 'BrMA^2-': 1, 'Br2MA^2-': 1, MAenol: 1 },
    as: { C: 3, H: 4, O: 4 },
  },
  { name: 'citric acid', species: { 'Cit^3-': 1 }, as: { C: 6, H: 8, O: 7 } },
  { name: 'dehydroascorbic acid', species: { DHAsc: 1 }, as: { C: 6, H: 6, O: 6 } },
  { name: 'ascorbic acid', species: { 'HAsc-': 1 }, as: { C: 6, H: 8, O: 6 } },
  { name: 'oxalic acid', species: { 'C2O4^2-': 1 }, as: { C: 2, H: 2, O: 4 } },
  { name: 'glucose and what became of it, as glucose', species: { GLC: 1, 'ENE-': 1, GLON: 1 }, as: { C: 6, H: 12, O: 6 } },
  { name: 'methylene blue', species: { 'MB+': 1, MBH: 1 }, as: { C: 16, H: 18, Cl: 1, N: 3, S: 1 } },
]

/** Less than this in mg/L is a rounding and no content. */
const NOTHING_MG_PER_L = 1e-3

/** Lines of the treated liquids, range over the cases; lines with nothing in them are left out. */
export function compositionOf(
  treated: readonly { readonly amounts: Masters; readonly volumeL: number }[],
  facts: ClearingFacts,
): readonly { readonly name: string; readonly mgPerL: Range }[] {
  return LINES.flatMap((line) => {
    const mass = Object.entries(line.as).reduce((m, [element, n]) => m + n * (facts.atomicMass[element] ?? Number.NaN), 0)
    const mgPerL = rangeOf(
      treated.map(
        (t) =>
          (1000 * mass * Object.entries(line.species).reduce((sum, [s, n]) => sum + n * Math.max(0, t.amounts[s] ?? 0), 0)) / t.volumeL,
      ),
    )
    return mgPerL.high > NOTHING_MG_PER_L ? [{ name: line.name, mgPerL }] : []
  })
}

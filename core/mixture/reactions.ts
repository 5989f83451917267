/**
 * The list of fast equilibria as data: read from the table `equilibrium_reactions`, whose constants stand in
 * `tables/equilibria` or in the row itself. Oxidation states never change here (two hydrolyses of halogens are
 * marked "on-request" and stay off): what oxidises what, and how fast, is the mechanism's affair.
 */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Seen, type Sourced, seenFrom } from '@beakertide/basis/sources'
import { ATMOSPHERE_PA, ZERO_CELSIUS_K } from '@beakertide/basis/units'
import { type MatterFacts, reactionEnthalpy, type SpeciesId } from '../matter/index.ts'

/** `acid` includes hydrolysis of metal ions; all but solids and gases define a dissolved species. */
export type ReactionKind = 'acid' | 'complex' | 'solid' | 'gas'

/** log10 of an equilibrium constant (mol/L and atm) at one temperature. */
export interface ConstantPoint {
  readonly temperatureK: number
  readonly log10K: number
}

/** One fast equilibrium. It defines exactly one species (or solid, or gas) by others. */
export interface EquilibriumReaction {
  readonly id: string
  readonly kind: ReactionKind
  /** The species, solid "X(s)" or gas "X(g)" that this reaction defines. */
  readonly defines: SpeciesId
  /** As written, e.g. "HSO4- = SO4^2- + H+". */
  readonly text: string
  /** Stoichiometric numbers: products positive, reactants negative; water under "H2O". */
  readonly numbers: Readonly<Record<SpeciesId, number>>
  /** Ascending in temperature; at least one. */
  readonly points: readonly ConstantPoint[]
  /** `table`: interpolate the points; `enthalpy`: van 't Hoff from the point at 25 degC; `constant`: the same at every temperature. */
  readonly variation: 'table' | 'enthalpy' | 'constant'
  /** Reaction enthalpy at 25 degC as written, kJ/mol; null when unknown. */
  readonly deltaHKJPerMol: number | null
  /** Heat capacity of reaction, J/(mol K); 0 when unknown. */
  readonly deltaCpJPerMolK: number
  /** Ionic strength (mol/L) of the quotient in `points`; 0 for a thermodynamic constant. */
  readonly ionicStrengthMolPerL: number
  /** Taken part in only when asked for. */
  readonly isOnRequest: boolean
  readonly source: string
  readonly seen: Seen
  readonly remark: string
}

/** Everything settle() needs from the world. Plain data. */
export interface EquilibriumFacts {
  readonly reactions: readonly EquilibriumReaction[]
  /** Charges of species whose name does not show it ("ferroin": 2). */
  readonly charges: Readonly<Record<SpeciesId, number>>
}

/** Tables from which `readEquilibriumFacts` reads. */
export interface EquilibriumTables {
  /** data/equilibrium_reactions */
  readonly reactions: Rows
  /** data/tables/equilibria */
  readonly equilibria: Rows
}

/** Where most constants stand; the `source` of rows that rest on nothing else. */
const CONSTANTS_TABLE = 'tables/equilibria'

/** 25 degC, where single values stand. */
export const REFERENCE_TEMPERATURE_K = ZERO_CELSIUS_K + 25

/**
 * Charge told by a species name: "^2-" or "^3+" after a group of atoms, "Mn2+" for a single atom (the digits are
 * the charge), "HSO4-" (digits belong to the formula, charge one); none otherwise, as for "H2O2", "I2(s)" or "ferroin".
 */
export function chargeFromName(id: SpeciesId): number {
  const group = /\^(\d+)([+-])$/.exec(id)
  if (group) return Number(group[1]) * (group[2] === '+' ? 1 : -1)
  const atom = /^[A-Z][a-z]?(\d+)([+-])$/.exec(id)
  // "I3-", "O2-", "Br3-": of single elements only cations of metals carry their charge as digits.
  if (atom) return atom[2] === '+' ? Number(atom[1]) : -1
  const one = /([+-])$/.exec(id)
  return one ? (one[1] === '+' ? 1 : -1) : 0
}

/** Reads "Mn2+ + 2 OH-" into stoichiometric coefficients. */
function readSide(side: string, sign: 1 | -1, numbers: Record<SpeciesId, number>): void {
  for (const term of side.split(' + ')) {
    const parts = /^(?:(\d+) )?(\S+)$/.exec(term.trim())
    invariant(parts !== null, `"${term}" in the equilibrium list is not "n species"`)
    const id = parts[2]!
    numbers[id] = (numbers[id] ?? 0) + sign * Number(parts[1] ?? 1)
  }
}

/** Stoichiometric numbers of "A + 2 B = C": products positive. The list is ours, so a bad line is our bug. */
export function readReaction(text: string): Readonly<Record<SpeciesId, number>> {
  const sides = text.split(' = ')
  invariant(sides.length === 2, `"${text}" in the equilibrium list has no " = "`)
  const numbers: Record<SpeciesId, number> = {}
  readSide(sides[0]!, -1, numbers)
  readSide(sides[1]!, 1, numbers)
  return numbers
}

/** log10 K in mol/L and atm from a row of tables/equilibria, whatever way that row states it. */
function log10KOf(row: Readonly<Record<string, string>>, isGas: boolean): number {
  const value = Number(row.value)
  const quantity = row.quantity ?? ''
  if (quantity.startsWith('pK')) return -value
  if (quantity.startsWith('log10')) return value
  if (isGas && row.unit === 'mol/(L atm)') return Math.log10(value)
  if (isGas && row.unit === 'mol/(m3 Pa)') return Math.log10((value * ATMOSPHERE_PA) / 1000)
  invariant(quantity === 'K', `quantity "${quantity}" of ${row.system ?? ''} in tables/equilibria is not understood`)
  return Math.log10(value)
}

/** The cell as one of the words allowed there. */
function oneOf<W extends string>(words: readonly W[], text: string | undefined, where: string): W {
  const found = words.find((w) => w === text)
  invariant(found !== undefined, `${where} is "${text ?? ''}"; allowed: ${words.join(', ')}`)
  return found
}

const optional = (text: string | undefined): number | null => (text === undefined || text.trim() === '' ? null : Number(text))

/** Enthalpy of a reaction from formation enthalpies, kJ/mol. */
function fromFormation(numbers: Readonly<Record<SpeciesId, number>>, matter: MatterFacts): Sourced | null {
  const terms = Object.entries(numbers).map(([species, number]) => ({ species, coefficient: number }))
  const reactants = terms.filter((t) => t.coefficient < 0).map((t) => ({ ...t, coefficient: -t.coefficient }))
  return reactionEnthalpy(
    reactants,
    terms.filter((t) => t.coefficient > 0),
    matter,
  )
}

/**
 * The list of fast equilibria with their constants. A row's `table` names "kind|system|reaction" of
 * tables/equilibria; of the rows found there, those count that have the quantity and ionic strength of the first
 * (so a textbook column or a quotient in a salt medium beside it is left out). `delta_h_kj_mol` is a number, or
 * "formation": then it is computed from the formation enthalpies that matter knows.
 */
export function readEquilibriumFacts(tables: EquilibriumTables, matter: MatterFacts): EquilibriumFacts {
  const byKey = new Map<string, Readonly<Record<string, string>>[]>()
  for (const row of tables.equilibria) {
    const key = `${row.kind}|${row.system}|${row.reaction}`
    const there = byKey.get(key)
    if (there) there.push(row)
    else byKey.set(key, [row])
  }
  const reactions = tables.reactions.map((row): EquilibriumReaction => {
    const id = row.id ?? ''
    const kind = oneOf(['acid', 'complex', 'solid', 'gas'], row.kind, `kind of equilibrium "${id}"`)
    const found = row.table ? (byKey.get(row.table) ?? []) : []
    const first = found[0]
    invariant(!row.table || first !== undefined, `equilibrium "${id}": no row "${row.table ?? ''}" in tables/equilibria`)
    const same = found.filter((r) => r.quantity === first?.quantity && Number(r.ionic_strength) === Number(first?.ionic_strength))
    const points =
      first === undefined
        ? [{ temperatureK: REFERENCE_TEMPERATURE_K, log10K: Number(row.log_k25) }]
        : same
            .map((r) => ({ temperatureK: Number(r.temperature_c) + ZERO_CELSIUS_K, log10K: log10KOf(r, kind === 'gas') }))
            .sort((a, b) => a.temperatureK - b.temperatureK)
    invariant(
      points.every((p) => Number.isFinite(p.log10K) && Number.isFinite(p.temperatureK)),
      `equilibrium "${id}" has no number for its constant`,
    )
    const variation = oneOf(['table', 'enthalpy', 'constant'], row.variation, `variation of equilibrium "${id}"`)
    const numbers = readReaction(row.reaction ?? '')
    const formation = row.delta_h_kj_mol === 'formation' ? fromFormation(numbers, matter) : null
    invariant(row.delta_h_kj_mol !== 'formation' || formation !== null, `equilibrium "${id}": a formation enthalpy is missing`)
    const deltaH = formation?.value ?? optional(row.delta_h_kj_mol)
    invariant(variation !== 'enthalpy' || deltaH !== null, `equilibrium "${id}" varies by an enthalpy that is not given`)
    const defines = row.defines ?? ''
    invariant(Math.abs(numbers[defines] ?? 0) === 1, `equilibrium "${id}" must hold "${defines}" once`)
    const constantSource = first?.source
    return {
      id,
      kind,
      defines,
      text: row.reaction ?? '',
      numbers,
      points,
      variation,
      deltaHKJPerMol: deltaH,
      deltaCpJPerMolK: optional(row.delta_cp_j_mol_k) ?? 0,
      ionicStrengthMolPerL: Number(first?.ionic_strength ?? 0),
      isOnRequest: row.use === 'on-request',
      // A row that adds nothing of its own to its constant says so with the name of that table.
      source: [constantSource, row.source === CONSTANTS_TABLE ? '' : row.source, formation?.source]
        .filter((s) => s !== undefined && s !== '')
        .join('; '),
      seen: seenFrom(first?.read_or_memory ?? row.read_or_memory ?? ''),
      remark: row.remark ?? '',
    }
  })
  const charges: Record<SpeciesId, number> = {}
  for (const species of Object.values(matter.species)) {
    if (species.charge !== chargeFromName(species.id)) charges[species.id] = species.charge
  }
  return { reactions, charges }
}

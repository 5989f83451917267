/** Metals as carbonate or hydroxide: floor at equilibrium, honest expectation, dry and wet solid. */
import type { SpeciesId } from '../matter/index.ts'
import type { ClearingFacts, ClearingMetal } from './clearing-facts.ts'
import type { MetalLeft, Range } from './clearing-plan.ts'

/** Water in a filter cake (cleanup notes, section 5; memory). */
const CAKE_WATER: Range = { low: 0.7, high: 0.85 }
/** Ion product of water at 25 degC as pKw, for the hydroxide floors (IAPWS R11-24: 13.995, rounded). */
const PKW = 14
/** Malonate of the second column of metal_precipitation.csv, mol/L. */
const TABLE_MALONATE = 0.05

const amountOf = (metal: ClearingMetal, amounts: Readonly<Record<SpeciesId, number>>): number =>
  metal.species.reduce((n, s) => n + Math.max(0, amounts[s] ?? 0), 0)

/** Straight line in log concentration against pH between two rows; the end rows outside 7 to 11. */
function tableFloor(metal: string, pH: number, malonateMolPerL: number, facts: ClearingFacts): number | null {
  const rows = facts.residuals.filter((r) => r.metal === metal)
  if (rows.length === 0) return null
  // A ligand holds metal in proportion to its own strength: straight line between the two columns.
  const value = (r: (typeof rows)[number]): number =>
    r.carbonate20mM + ((r.withMalonate50mM - r.carbonate20mM) * malonateMolPerL) / TABLE_MALONATE
  const above = rows.findIndex((r) => r.pH >= pH)
  if (above === 0) return value(rows[0]!)
  if (above < 0) return value(rows.at(-1)!)
  const a = rows[above - 1]!
  const b = rows[above]!
  const share = (pH - a.pH) / (b.pH - a.pH)
  return Math.exp((1 - share) * Math.log(value(a)) + share * Math.log(value(b)))
}

/**
 * Dissolved metal at equilibrium, mg/L: 0.02 mol/L carbonate, 25 degC, raised by malonate in proportion; hydroxides by
 * their ion product. Null when nothing is known. A floor: fresh fine solids and slow settling leave more.
 */
export function residualFloor(metal: ClearingMetal, pH: number, malonateMolPerL: number, facts: ClearingFacts): number | null {
  const listed = tableFloor(metal.metal, pH, malonateMolPerL, facts)
  if (listed !== null) return listed
  if (metal.log10HydroxideProduct === null) return null
  return 10 ** (metal.log10HydroxideProduct - 3 * (pH - PKW)) * metal.atomicMass * 1000
}

/** The pH all metals here are brought to: the highest of their targets (middle of each band); null without metals. */
export function targetPH(amounts: Readonly<Record<SpeciesId, number>>, facts: ClearingFacts): number | null {
  const there = facts.metals.filter((m) => amountOf(m, amounts) > 0)
  return there.length === 0 ? null : Math.max(...there.map((m) => (m.targetPH[0] + m.targetPH[1]) / 2))
}

const LIGANDS: Readonly<Record<SpeciesId, number>> = { MA: 1, 'HMA-': 1, 'MA^2-': 1, IMA: 1, 'HIMA-': 1, BrMA: 1, 'HBrMA-': 1 }
/** Ligands for which no residual is held: the expectation then reaches up to all of the metal. */
const STRONG_LIGANDS = ['NH3', 'H3Cit', 'ferroin', 'phen', 'SCN-']

/** Malonate and its halogen derivatives in a liquid, mol/L: all taken to bind like malonate (assumed). */
export function malonateMolPerL(amounts: Readonly<Record<SpeciesId, number>>, volumeL: number): number {
  return Object.keys(LIGANDS).reduce((n, s) => n + (amounts[s] ?? 0), 0) / volumeL
}

/**
 * Every metal of the largest case, precipitated in `treatedL` at `pH`. `startL` is the volume before treatment.
 * `floors` are those of the mixture room's equilibrium, mg/L by metal, where they could be settled; the table is the least.
 */
export function metalsLeft(
  amounts: Readonly<Record<SpeciesId, number>>,
  startL: number,
  treatedL: number,
  pH: number,
  facts: ClearingFacts,
  floors: Readonly<Record<string, number>> | null,
): readonly MetalLeft[] {
  const malonate = malonateMolPerL(amounts, treatedL)
  const bound = STRONG_LIGANDS.some((s) => (amounts[s] ?? 0) > 0)
  const sodaAsh = facts.molarMass['Na2CO3'] ?? Number.NaN
  return facts.metals.flatMap((m): readonly MetalLeft[] => {
    const amount = amountOf(m, amounts)
    if (amount <= 0) return []
    const totalMg = amount * m.atomicMass * 1000
    const all = totalMg / treatedL
    const settled = floors?.[m.metal]
    // The list of equilibria lacks ion pairs and hydrolyses of some metals (Co, Ni): the larger of both is the floor.
    const listed = residualFloor(m, pH, malonate, facts)
    const floor = Math.min(all, settled === undefined ? (listed ?? all) : Math.max(settled, listed ?? 0))
    const high = bound ? all : Math.min(all, Math.max(m.expectMgPerL[1], 10 * floor))
    const dryG = amount * m.solidGPerMol
    return [
      {
        metal: m.metal,
        totalMg,
        startMgPerL: totalMg / startL,
        atPH: pH,
        floorMgPerL: floor,
        expectMgPerL: { low: Math.min(high, Math.max(m.expectMgPerL[0], floor)), high },
        solid: m.solid,
        dryG,
        wetG: { low: dryG / (1 - CAKE_WATER.low), high: dryG / (1 - CAKE_WATER.high) },
        carbonateG: amount * m.carbonatePerMol * sodaAsh,
        co2Mol: amount * m.co2PerMol,
        note: bound ? `${m.note}; a strong ligand is there, so it may stay dissolved` : m.note,
        source:
          settled === undefined
            ? { source: `${facts.residualSource.source}; ${m.source.source}`, seen: m.source.seen }
            : {
                source: `equilibrium of this treated liquid (data/equilibrium_reactions, fresh precipitate); ${m.source.source}`,
                seen: 'computed',
              },
      },
    ]
  })
}

/** "Cu2(OH)2CO3(s)" holds 2 of Cu, "MnMA" 1 of Mn, "CO3^2-" none of Co. */
export function metalCount(species: SpeciesId, metal: string): number {
  const m = new RegExp(`^${metal}(\\d*)(?![a-z])`).exec(species)
  if (!m) return 0
  // In "Mn2+" the digits are the charge.
  const bare = new RegExp(`^${metal}\\d*[+-]$`).test(species)
  return bare || m[1] === '' ? 1 : Number(m[1])
}

/** The fact tables of clearing, read from text rows into typed records. */
import { invariant } from '@beakertide/basis/problems'
import { type Source, type Sourced, seenFrom } from '@beakertide/basis/sources'
import { type Tables, sourceReader } from '../cautions/index.ts'
import type { SpeciesId } from '../matter/index.ts'
import { type HalfReaction, parseEquation } from './half-reactions.ts'
import { isFamily, isPace, type Way } from './reduction-ways.ts'

/** How many protons a species carries and lets go, step by step. */
export interface AcidCount {
  readonly species: SpeciesId
  readonly carries: number
  /** pKa values in order; empty: strong, all of it counts. */
  readonly pKas: readonly number[]
  readonly source: Source
}

/** A metal that is precipitated. */
export interface ClearingMetal {
  readonly metal: string
  readonly species: readonly SpeciesId[]
  readonly solid: string
  readonly atomicMass: number
  /** g of dry solid a mole of metal. */
  readonly solidGPerMol: number
  readonly carbonatePerMol: number
  readonly co2PerMol: number
  readonly targetPH: readonly [number, number]
  /** log10 of the ion product with 3 OH-, for metals without a table. */
  readonly log10HydroxideProduct: number | null
  readonly expectMgPerL: readonly [number, number]
  readonly note: string
  readonly source: Source
}

/** Dissolved metal at equilibrium with its carbonate or hydroxide, 25 degC, mg/L. */
export interface ResidualPoint {
  readonly metal: string
  readonly pH: number
  readonly carbonate20mM: number
  readonly withMalonate50mM: number
}

export interface CollectOnly {
  readonly species: readonly SpeciesId[]
  readonly name: string
  readonly collect: string
  readonly never: string
  readonly severity: 1 | 2 | 3 | 4
  readonly source: Source
}

export interface EndTest {
  readonly test: string
  readonly how: string
  readonly limits: string
  readonly source: Source
}

/** An example of a published limit: shown as an example, never as permission. */
export interface ExampleLimit {
  readonly parameter: string
  readonly mgPerL: number
  readonly authority: string
  readonly source: Source
}

export interface ClearingFacts {
  readonly oxidants: readonly HalfReaction[]
  readonly reductantHalves: Readonly<Record<string, HalfReaction>>
  /** Which half-reaction a reductant takes with which oxidant, by pH. */
  readonly ways: readonly Way[]
  /** kJ/mol; see `formationOf`. */
  readonly formation: Readonly<Record<SpeciesId, Sourced>>
  readonly acids: readonly AcidCount[]
  readonly metals: readonly ClearingMetal[]
  readonly residuals: readonly ResidualPoint[]
  readonly residualSource: Source
  readonly collectOnly: readonly CollectOnly[]
  readonly endTests: Readonly<Record<string, EndTest>>
  readonly exampleLimits: readonly ExampleLimit[]
  readonly atomicMass: Readonly<Record<string, number>>
  /** g/mol by formula on the label: "NaHCO3", "Na2S2O3·5H2O". */
  readonly molarMass: Readonly<Record<string, number>>
}

/**
 * Heat of the reaction of ascorbic acid with hydrogen peroxide, kJ/mol: not known, a cautious figure
 * (data/hazards/cleanup_reactions.csv, HP-asc). Heats of all ascorbic acid equations hang on it.
 */
export const ASCORBIC_PEROXIDE_KJ: Sourced = {
  value: -300,
  unit: 'kJ per mol H2O2',
  source: 'cleanup_reactions row HP-asc: heat not known, use 300 kJ/mol as a cautious figure',
  seen: 'assumed',
}

/**
 * Heat of 4 H2O2 + 2 S2O3^2- -> S3O6^2- + SO4^2- + 4 H2O, kJ a mole of peroxide: about -586 kJ a mole of thiosulfate in the
 * literature of reactor stability (data/hazards/cleanup_reactions.csv, HP-tri). The enthalpy of trithionate is taken from it.
 */
export const TRITHIONATE_PEROXIDE_KJ: Sourced = {
  value: -293,
  unit: 'kJ per mol H2O2',
  source: 'cleanup_reactions row HP-tri (M-Vejtasa1970)',
  seen: 'memory',
}

/** "S2O3 2-(aq)" -> "S2O3^2-", "H2O(l)" -> "H2O", "SO2(aq)" -> "SO2"; solids and gases keep their mark. */
function speciesId(text: string): SpeciesId {
  return text.replace(/\((aq|l)\)$/, '').replace(/ (\d?[+-])/, (_, charge: string) => (charge.length > 1 ? `^${charge}` : charge))
}

function readFormation(tables: Tables, source: (k: string, s: string) => Source): Record<SpeciesId, Sourced> {
  const formation: Record<SpeciesId, Sourced> = {}
  for (const r of tables('hazards/thermo_inputs')) {
    const written = speciesId(r['species'] ?? '')
    const id = written === 'OCl-' ? 'ClO-' : written
    formation[id] = {
      value: Number(r['dfH_298_kJ_per_mol']),
      unit: 'kJ/mol',
      valid: '25 degC, infinite dilution',
      ...source(r['source_key'] ?? '', r['status'] ?? ''),
    }
  }
  const value = (id: SpeciesId): number => {
    const found = formation[id]
    invariant(found !== undefined, `thermo_inputs has no row for ${id}`)
    return found.value
  }
  const assumed = { unit: 'kJ/mol', source: ASCORBIC_PEROXIDE_KJ.source, seen: 'assumed' as const }
  formation['H2Asc'] = { ...assumed, value: 0, valid: 'zero by choice: only the difference to dehydroascorbic acid counts' }
  formation['DHAsc'] = {
    ...assumed,
    value: ASCORBIC_PEROXIDE_KJ.value - 2 * value('H2O') + value('H2O2'),
    valid: 'from the cautious figure',
  }
  formation['S3O6^2-'] = {
    ...TRITHIONATE_PEROXIDE_KJ,
    unit: 'kJ/mol',
    value: 4 * TRITHIONATE_PEROXIDE_KJ.value + 4 * value('H2O2') + 2 * value('S2O3^2-') - value('SO4^2-') - 4 * value('H2O'),
    valid: 'from the heat of its making out of thiosulfate and peroxide',
  }
  return formation
}

function readAcids(tables: Tables): readonly AcidCount[] {
  const constants = new Map<string, { readonly pKa: number; readonly source: Source }>()
  for (const r of tables('tables/equilibria')) {
    if (r['quantity'] !== 'pKa' || r['temperature_c'] !== '25' || Number(r['ionic_strength'] || 0) > 0) continue
    const key = `${r['system']}|${r['reaction']}`
    const source = { source: `${r['system']}: ${r['source']}`, seen: seenFrom(r['read_or_memory'] ?? '') }
    if (!constants.has(key)) constants.set(key, { pKa: Number(r['value']), source })
  }
  return tables('hazards/acid_counts').map((r) => {
    const steps = (r['steps'] ?? '').split(';')
    const found = steps[0] === 'strong' ? [] : steps.map((s) => constants.get(s))
    invariant(
      found.every((f) => f !== undefined),
      `acid_counts: ${r['species']} names an acid step that equilibria.csv does not hold`,
    )
    const assumed: Source = { source: `data/hazards/acid_counts.csv: ${r['note']}`, seen: seenFrom(r['status'] ?? '') }
    return {
      species: r['species'] ?? '',
      carries: Number(r['carries']),
      pKas: found.map((f) => f.pKa),
      source: r['status'] === 'as the cited row' ? (found[0]?.source ?? assumed) : assumed,
    }
  })
}

function readWays(tables: Tables, source: (k: string, s: string) => Source): readonly Way[] {
  return tables('hazards/reduction_ways').map((r): Way => {
    const [reductant, pace, oxidants] = [r['reductant'] ?? '', r['pace'] ?? '', r['oxidants'] ?? '']
    invariant(isFamily(reductant) && isPace(pace), `reduction_ways: "${reductant}" or "${pace}" is no word of that table`)
    return {
      reductant,
      oxidants: oxidants === '*' ? [] : oxidants.split(';'),
      pH: [Number(r['pH_from']), Number(r['pH_to'])],
      halves: (r['halves'] ?? '').split(';'),
      pace,
      note: r['note'] ?? '',
      source: source(r['source_key'] ?? '', r['status'] ?? ''),
    }
  })
}

/** "Cu 1 O 2.5 H 1 C 0.5" -> g/mol. */
function massOf(atoms: string, weights: Readonly<Record<string, number>>): number {
  let mass = 0
  for (const m of atoms.matchAll(/([A-Z][a-z]?) ([\d.]+)/g)) {
    const weight = weights[m[1]!]
    invariant(weight !== undefined, `no atomic weight of ${m[1]}`)
    mass += weight * Number(m[2])
  }
  return mass
}

/** All tables the clearing uses. Throws only when a table of ours is malformed. */
export function readClearingFacts(tables: Tables): ClearingFacts {
  const source = sourceReader(tables)
  const atomicMass = Object.fromEntries(tables('tables/atomic_weights').map((r) => [r['symbol'] ?? '', Number(r['abridged_value'])]))
  const halves = tables('hazards/half_reactions').map((r): HalfReaction => {
    const side = r['side']
    invariant(side === 'oxidant' || side === 'reductant', `half-reaction ${r['id']} is neither oxidant nor reductant`)
    return {
      id: r['id'] ?? '',
      side,
      species: r['species'] ?? '',
      equation: parseEquation(r['equation'] ?? ''),
      electrons: Number(r['electrons']),
      thiosulfateRoute: r['thiosulfate_route'] === 'both' ? 'both' : 'tetrathionate',
      note: r['note'] ?? '',
      source: source(r['source_key'] ?? '', r['status'] ?? ''),
    }
  })
  const products = new Map(tables('hazards/solubility_and_complex_constants').map((r) => [r['item'] ?? '', Number(r['log10_K_25C'])]))
  const residualRows = tables('hazards/metal_precipitation')
  return {
    oxidants: halves.filter((h) => h.side === 'oxidant'),
    reductantHalves: Object.fromEntries(halves.filter((h) => h.side === 'reductant').map((h) => [h.id, h])),
    ways: readWays(tables, source),
    formation: readFormation(tables, source),
    acids: readAcids(tables),
    metals: tables('hazards/clearing_metals').map((r) => ({
      metal: r['metal'] ?? '',
      species: (r['species'] ?? '').split(';'),
      solid: r['solid'] ?? '',
      atomicMass: atomicMass[r['metal'] ?? ''] ?? Number.NaN,
      solidGPerMol: massOf(r['atoms_per_metal'] ?? '', atomicMass),
      carbonatePerMol: Number(r['carbonate_per_mol']),
      co2PerMol: Number(r['co2_per_mol']),
      targetPH: [Number(r['target_pH_from']), Number(r['target_pH_to'])],
      log10HydroxideProduct: r['ksp_item'] ? (products.get(r['ksp_item']) ?? null) : null,
      expectMgPerL: [Number(r['expect_low_mg_per_L']), Number(r['expect_high_mg_per_L'])],
      note: r['note'] ?? '',
      source: { source: 'data/hazards/clearing_metals.csv, after cleanup notes section 5', seen: seenFrom(r['status'] ?? '') },
    })),
    residuals: residualRows.map((r) => ({
      metal: r['metal'] ?? '',
      pH: Number(r['pH']),
      carbonate20mM: Number(r['dissolved_mg_per_L_carbonate_0.02_M']),
      withMalonate50mM: Number(r['same_with_0.05_M_malonate']),
    })),
    residualSource: { source: `data/hazards/metal_precipitation.csv: ${residualRows[0]?.['basis'] ?? ''}`, seen: 'memory' },
    collectOnly: tables('hazards/collect_only').map((r) => {
      const severity = Number(r['severity'])
      invariant(severity === 1 || severity === 2 || severity === 3 || severity === 4, `collect_only ${r['name']}: severity`)
      return {
        species: (r['species'] ?? '').split(';'),
        name: r['name'] ?? '',
        collect: r['do'] ?? '',
        never: r['never'] ?? '',
        severity,
        source: { source: r['source'] ?? '', seen: seenFrom(r['status'] ?? '') },
      }
    }),
    endTests: Object.fromEntries(
      tables('hazards/end_point_tests').map((r) => [
        r['test'] ?? '',
        {
          test: r['test'] ?? '',
          how: r['how'] ?? '',
          limits: r['limits'] ?? '',
          source: source(r['source_key'] ?? '', r['status'] ?? ''),
        },
      ]),
    ),
    exampleLimits: tables('hazards/sewer_limits').flatMap((r) => {
      const mgPerL = Number(r['limit'])
      if (!Number.isFinite(mgPerL) || r['unit'] !== 'mg/L') return []
      return [
        {
          parameter: r['parameter'] ?? '',
          mgPerL,
          authority: r['authority'] ?? '',
          source: source(r['source_key'] ?? '', r['status'] ?? ''),
        },
      ]
    }),
    atomicMass,
    molarMass: Object.fromEntries(tables('tables/substances').map((r) => [r['formula'] ?? '', Number(r['molar_mass_g_per_mol'])])),
  }
}

import { invariant } from '@beakertide/basis/problems'
import { distinctSources, type Rows, type Seen, type Sourced } from '@beakertide/basis/sources'
import { hillText, soluteKey } from './composition-key.ts'
import { along, curveThrough } from './curve.ts'
import { splitHydrateName } from './hydrates.ts'
import type { FormationValues, HeatCurve, HeatOfSolution, MatterFacts, Phase, SpeciesFacts, Thermochemistry } from './matter-facts.ts'
import { parseFormula } from './parse-formula.ts'
import { speciesNamed } from './read-species.ts'
import type { SpeciesId, Substance } from './substance.ts'
import { cell, numberCell, optionalNumberCell, own, type Row, sourceOf } from './table-cells.ts'
import { waterHeatCapacity } from './water.ts'

/** Reads thermochemistry.csv. Of several values of one family for one species the first is taken. */
export function readThermochemistry(rows: Rows, names: Pick<SpeciesFacts, 'species' | 'speciesNames'>): Thermochemistry {
  const formation: Record<string, FormationValues> = {}
  const solution: Record<string, HeatOfSolution> = {}
  const heats = new Map<string, Row[]>()
  for (const row of rows) {
    const kind = cell(row, 'kind')
    const text = cell(row, 'species_or_reaction')
    const quantity = cell(row, 'quantity')
    if (kind === 'formation' && quantity === 'enthalpy of formation') {
      const state = cell(row, 'state')
      // "aq (1 mol/kg ideal)" is the sum of a salt's ions, not a dissolved molecule.
      if (state.includes('mol/kg')) continue
      const key = keyOf(text, phaseOf(state), names)
      const before = own(formation, key) ?? { codata: null, nbs: null }
      const isCodata = cell(row, 'source').includes('CODATA')
      formation[key] = isCodata ? { ...before, codata: before.codata ?? sourced(row) } : { ...before, nbs: before.nbs ?? sourced(row) }
    } else if (kind === 'enthalpy of solution') {
      const phase = phaseOf(cell(row, 'state'))
      solution[keyOf(text, phase, names).split('|')[0]!] = { ...sourced(row), from: phase }
    } else if (kind === 'integral heat' || kind === 'heat of dilution' || kind === 'solution heat capacity') {
      const key = `${kind}|${text}`
      const list = heats.get(key)
      if (list) list.push(row)
      else heats.set(key, [row])
    }
  }
  const heatCapacity: Record<string, HeatCurve> = {}
  for (const [key, list] of heats) {
    if (!key.startsWith('solution heat capacity|')) continue
    const solute = soluteKey(key.split('|')[1]!)
    invariant(solute !== null, `thermochemistry.csv: "${key}" names no formula`)
    heatCapacity[solute] = heatCurve(list, /([\d.]+) mass percent/, (percent) => percent / 100)
  }
  return {
    formation,
    solution,
    sulfuricAcid: heatCurve(heats.get('integral heat|H2SO4') ?? [], /r = ([\d.]+|infinite)/, Math.log),
    hydrochloricAcid: heatCurve(heats.get('heat of dilution|HCl') ?? [], /molality ([\d.]+)/, (b) => b),
    heatCapacity,
  }
}

function heatCurve(rows: readonly Row[], where: RegExp, place: (value: number) => number): HeatCurve {
  const points: [number, number][] = []
  let limit: Sourced | undefined
  for (const row of rows) {
    const found = where.exec(cell(row, 'conditions'))
    invariant(found !== null, `thermochemistry.csv: "${cell(row, 'conditions')}" does not say where the value holds`)
    if (found[1] === 'infinite') limit = sourced(row)
    else points.push([place(Number(found[1])), numberCell(row, 'value')])
  }
  const first = rows[0]
  invariant(first !== undefined, 'thermochemistry.csv lacks a table of heats')
  return { curve: curveThrough(points), first: sourced(first), limit: limit ?? sourced(rows.at(-1)!) }
}

function sourced(row: Row): Sourced {
  const uncertainty = optionalNumberCell(row, 'uncertainty')
  return {
    value: numberCell(row, 'value'),
    unit: cell(row, 'unit'),
    ...(uncertainty === null ? {} : { uncertainty }),
    valid: `${cell(row, 'temperature_k')} K, ${cell(row, 'conditions')}`,
    ...sourceOf(row),
  }
}

function phaseOf(state: string): Phase {
  if (state.startsWith('aq')) return 'aq'
  return state === 'l' || state === 'g' ? state : 's'
}

/** Names in the table: formulas ("SO4 2-", "CaCO3 (calcite)", "H2O2 (l)") and words ("malonic acid", "alpha-D-glucose"). */
function keyOf(text: string, phase: Phase, names: Pick<SpeciesFacts, 'species' | 'speciesNames'>): string {
  const plain = text.replace(/ \([a-z]+\)$/, '').replace(/^alpha-/, '')
  const formula = parseFormula(plain)
  if (formula.ok) return `${hillText(formula.value.elements)}|${formula.value.charge}|${phase}`
  const { compound, waters } = splitHydrateName(plain)
  const known = speciesNamed(compound, names)
  invariant(known !== null, `thermochemistry.csv: "${text}" is no formula and no name of species.csv`)
  const elements = { ...known.composition }
  elements['H'] = (elements['H'] ?? 0) + 2 * (waters ?? 0)
  elements['O'] = (elements['O'] ?? 0) + (waters ?? 0)
  return `${hillText(elements)}|${known.charge}|${phase}`
}

const phaseOfSpecies = { dissolved: 'aq', solvent: 'l', solid: 's', gas: 'g' } as const
type EnthalpyFacts = Pick<MatterFacts, 'species' | 'speciesNames' | 'enthalpyFrom' | 'thermochemistry'>

export interface EnthalpyTerm {
  readonly species: SpeciesId
  readonly coefficient: number
}

/** The table values a species stands for: one, or a few where species.csv says "SO2(aq) + H2O"; null when there is none. */
function valuesOf(species: SpeciesId, facts: EnthalpyFacts): readonly FormationValues[] | null {
  const { formation } = facts.thermochemistry
  const known = own(facts.species, species)
  const from = own(facts.enthalpyFrom, known?.id ?? species)
  if (from === 'none') return null
  if (from !== undefined) {
    const parts = from.split(' + ').map((term) => valuesOf(term, facts))
    return parts.includes(null) ? null : parts.flatMap((part) => part ?? [])
  }
  const keys: string[] = []
  if (known) keys.push(`${hillText(known.composition)}|${known.charge}|${phaseOfSpecies[known.phase]}`)
  else {
    const formula = parseFormula(species)
    if (formula.ok) {
      const elements = hillText(formula.value.elements)
      keys.push(`${elements}|${formula.value.charge}|${formula.value.phase ?? (elements === 'H2O' ? 'l' : 'aq')}`)
    }
  }
  const direct = keys.map((key) => own(formation, key)).find((found) => found !== undefined)
  if (direct) return [direct]
  const renamed = known ? null : speciesNamed(species, facts)
  return renamed && renamed.id !== species ? valuesOf(renamed.id, facts) : null
}

/** H+(aq) and the elements in their standard state are 0 in every family of tables. */
function isZeroByDefinition(values: FormationValues): boolean {
  return (values.codata ?? values.nbs)?.value === 0
}

/** Sum of formation enthalpies within one family of tables where that is possible. */
function sum(terms: readonly EnthalpyTerm[], facts: EnthalpyFacts): Sourced | null {
  const parts: { readonly values: FormationValues; readonly coefficient: number }[] = []
  for (const { species, coefficient } of terms) {
    if (coefficient === 0) continue
    const values = valuesOf(species, facts)
    if (values === null) return null
    parts.push(...values.map((v) => ({ values: v, coefficient })))
  }
  const allCodata = parts.every((p) => p.values.codata !== null || isZeroByDefinition(p.values))
  const used = parts.map(({ values, coefficient }) => {
    const one = allCodata ? (values.codata ?? values.nbs) : (values.nbs ?? values.codata)
    invariant(one !== null, 'a formation entry without a value')
    return { one, coefficient }
  })
  let value = 0
  let variance: number | null = 0
  for (const { one, coefficient } of used) {
    value += coefficient * one.value
    const u: number | undefined = one.value === 0 ? 0 : one.uncertainty
    variance = variance === null || u === undefined ? null : variance + (coefficient * u) ** 2
  }
  if (used.length === 1 && used[0]!.coefficient === 1) return used[0]!.one
  const sources = distinctSources(used.filter(({ one }) => one.value !== 0).map(({ one }) => one))
  const seen: Seen = sources.every((s) => s.seen === 'read' || s.seen === 'computed') ? 'computed' : 'memory'
  return {
    value,
    unit: 'kJ/mol',
    ...(variance === null ? {} : { uncertainty: Math.sqrt(variance) }),
    valid: '298.15 K, infinite dilution',
    source: `sum of formation enthalpies: ${sources.map((s) => s.source).join('; ')}`,
    seen,
  }
}

/**
 * Standard enthalpy of formation of a species at 298.15 K, kJ/mol, CODATA before NBS: dissolved ions and molecules at infinite
 * dilution (1 mol/kg ideal scale, H+ = 0), solids, gases and liquids by their suffix "(s)", "(g)", "(l)". Null when no value is
 * known; nothing is estimated. For a reaction use `reactionEnthalpy`, which does not mix the two families of tables.
 */
export function formationEnthalpy(species: SpeciesId, facts: EnthalpyFacts): Sourced | null {
  return sum([{ species, coefficient: 1 }], facts)
}

/**
 * Enthalpy of a reaction as written, kJ (a mole of reaction as written), at 298.15 K and infinite dilution:
 * sum over products minus sum over reactants of coefficient x formation enthalpy. Negative warms. Null when one value is missing.
 * CODATA values when every species has one, else NBS values wherever there is one: the two differ by up to 2 kJ/mol a species
 * (iodide) and must not be mixed. The uncertainty is given only when every value used has one.
 */
export function reactionEnthalpy(
  reactants: readonly EnthalpyTerm[],
  products: readonly EnthalpyTerm[],
  facts: EnthalpyFacts,
): Sourced | null {
  // Terms of one species on both sides are joined first, so that its uncertainty is not counted twice.
  const net = new Map<SpeciesId, number>()
  for (const t of products) net.set(t.species, (net.get(t.species) ?? 0) + t.coefficient)
  for (const t of reactants) net.set(t.species, (net.get(t.species) ?? 0) - t.coefficient)
  return sum(
    [...net].map(([species, coefficient]) => ({ species, coefficient })),
    facts,
  )
}

/**
 * Enthalpy of dissolving a mole of the substance as in its bottle in much water at 25 degC, kJ/mol, positive cools: the tabulated
 * value of this very hydrate, else formation enthalpies of what it becomes minus that of the solid. Null when unknown, and for bottles
 * that hold a solution already (their heat is one of dilution: see `integralHeatOfSulfuricAcid`, `heatOfDilutingHydrochloricAcid`).
 */
export function heatOfSolution(substance: Substance, facts: EnthalpyFacts): Sourced | null {
  const formula = parseFormula(substance.formula)
  if (!formula.ok || substance.soldAs === 'aqueous') return null
  const tabulated = own(facts.thermochemistry.solution, hillText(formula.value.elements))
  if (tabulated && tabulated.from !== 'g') return tabulated
  const pure = [`${substance.formula}(s)`, `${substance.formula}(l)`].find((id) => formationEnthalpy(id, facts) !== null)
  if (pure === undefined || substance.entersWater.length === 0) return null
  const products = substance.entersWater.map((e) => ({ species: e.species, coefficient: e.count }))
  return reactionEnthalpy([{ species: pure, coefficient: 1 }], products, facts)
}

/** Below this the table starts; the heat then rises straight from 0 with the water added. */
const LEAST_WATER_MOL = 0.5

/**
 * Heat of dissolving a mole of pure liquid sulfuric acid in r mol of water at 25 degC, kJ/mol (negative warms), r >= 0; monotone cubic
 * in ln r over 0.5 to 500000, straight from 0 below, the value at infinite dilution beyond. Diluting from r1 to r2 takes H(r2) - H(r1).
 */
export function integralHeatOfSulfuricAcid(molWaterPerMolAcid: number, facts: Pick<MatterFacts, 'thermochemistry'>): Sourced {
  const { curve, first, limit } = facts.thermochemistry.sulfuricAcid
  const most = Math.exp(curve.x.at(-1)!)
  const r = Math.max(0, molWaterPerMolAcid)
  const value =
    r > most
      ? limit.value
      : r < LEAST_WATER_MOL
        ? (r / LEAST_WATER_MOL) * along(curve, Math.log(LEAST_WATER_MOL))
        : along(curve, Math.log(r))
  return { ...first, value, valid: `25 degC, ${Number(r.toPrecision(4))} mol water a mol acid` }
}

/**
 * Heat of diluting hydrochloric acid from one molality to a lower one (mol/kg), kJ a mole HCl at 25 degC (negative warms).
 * Table to 15 mol/kg; straight on above, 0 at infinite dilution.
 */
export function heatOfDilutingHydrochloricAcid(
  fromMolPerKg: number,
  toMolPerKg: number,
  facts: Pick<MatterFacts, 'thermochemistry'>,
): Sourced {
  const { curve, first } = facts.thermochemistry.hydrochloricAcid
  const released = (b: number): number => (b <= 0 ? 0 : Math.max(0, along(curve, b)))
  return { ...first, value: released(toMolPerKg) - released(fromMolPerKg), valid: '25 degC' }
}

/**
 * Specific heat capacity of a solution of one solute, J/(g K), near 25 degC, by mass fraction of the anhydrous solute: monotone cubic
 * through the table and water at 0. Null without a table or beyond its last mass fraction.
 */
export function solutionHeatCapacity(
  formula: string,
  massFraction: number,
  facts: Pick<MatterFacts, 'thermochemistry' | 'water'>,
): Sourced | null {
  const TABLE_CELSIUS = 25
  const key = soluteKey(formula)
  const found = key === null ? undefined : own(facts.thermochemistry.heatCapacity, key)
  if (!found || !(massFraction >= 0 && massFraction <= found.curve.x.at(-1)!)) return null
  const points = found.curve.x.map((x, i): [number, number] => [x, found.curve.y[i]!])
  const curve = curveThrough([[0, waterHeatCapacity(TABLE_CELSIUS, facts)], ...points])
  return { ...found.first, value: along(curve, massFraction), valid: '25 degC' }
}

/** The strength a label states, in every way labels state it, on both bases: mol a gram and mol a litre. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import type { Quantity } from '@beakertide/basis/units'
import { densityOf, type MatterFacts, type Substance } from '../matter/index.ts'
import { peroxideFromVolumes } from './assay.ts'
import { anhydrousFormula, DENSITY_RISE, isElectrolyte, massFractionAt, solutionDensity } from './liquid.ts'
import type { Bottle } from './recipe.ts'
import { rectangular, relative, type Uncertain, type UncertaintyPart } from './uncertainty.ts'
import { labelUncertainty } from './written-number.ts'

/** Density given on a label, half-width relative (rectangular): assumed. */
const STATED_DENSITY_SHARE = 0.001

/** Place of the bottle in its document. */
export const at = (bottle: Bottle): { readonly span?: NonNullable<Bottle['span']> } => (bottle.span ? { span: bottle.span } : {})

/** A problem of this bottle. */
export function bottleProblem(bottle: Bottle, code: string, what: string, todo: string): Problem {
  return { code: `makeup/${code}`, where: `bottle "${bottle.id}"`, what, todo, ...at(bottle) }
}

/** Strength as the label gives it, before an assay. */
export interface Label {
  /** Which of the two is primary: the other follows with the density. */
  readonly basis: 'per-litre' | 'per-gram'
  readonly strength: Uncertain
  readonly part: UncertaintyPart
  readonly sources: readonly Source[]
}

/** Density of the bottle at a mass fraction of the labelled formula, g/mL. */
export type DensityAt = (massFraction: number) => {
  readonly gPerMl: number
  readonly uncertainty: number
  readonly from: string
  readonly sources: readonly Source[]
}

/** Density against mass fraction for this bottle: as given, by the table, or estimated. */
export function densityModel(
  bottle: Bottle,
  substance: Substance,
  celsius: number,
  matter: MatterFacts,
  anhydrousShare: number,
): DensityAt {
  const stated = bottle.density
  if (stated) {
    const u = stated.uncertainty ?? Math.max(labelUncertainty(stated), rectangular(STATED_DENSITY_SHARE * stated.value))
    return () => ({ gPerMl: stated.value, uncertainty: u, from: `density given, ${stated.text}`, sources: [] })
  }
  const formula = anhydrousFormula(substance)
  const electrolyte = isElectrolyte(substance)
  return (massFraction) => {
    // a gram of solution: the volume follows from the density, the density from the concentration
    const w = massFraction * anhydrousShare
    const table = densityOf(formula, w, celsius, matter)
    if (table) {
      return {
        gPerMl: table.gPerMl,
        uncertainty: table.extrapolated ? 0.05 * Math.abs(table.gPerMl - 1) + 0.0005 : 0.0005,
        from: `density table of ${formula}${table.extrapolated ? ', stretched beyond its rows' : ''}`,
        sources: [table.source],
      }
    }
    const water = solutionDensity([], 1, celsius, matter).gPerMl
    const rise = electrolyte ? DENSITY_RISE.electrolyte : DENSITY_RISE.molecular
    // rho = water + k w rho
    const gPerMl = water / (1 - rise.value * Math.min(0.9, w))
    return {
      gPerMl,
      uncertainty: rectangular(rise.halfWidth * w * gPerMl),
      from: `estimate for ${formula} (no density table)`,
      sources: [],
    }
  }
}

/** Volume fractions count both volumes at this temperature (alcohol tables, trade usage; memory). */
export const VOLUME_FRACTION_CELSIUS = 20

/** Density of the undiluted liquid at 20 degC, for v/v; null when no table reaches it. */
export function pureDensity(substance: Substance, matter: MatterFacts): { readonly gPerMl: number; readonly source: Source } | null {
  const found = densityOf(anhydrousFormula(substance), 1, VOLUME_FRACTION_CELSIUS, matter)
  return found && !found.extrapolated ? found : null
}

/** The strength a label states, on the basis it states it. */
export function readLabel(bottle: Bottle, strength: Quantity, substance: Substance, matter: MatterFacts): Outcome<Label> {
  const M = substance.molarMassGPerMol
  const u = labelUncertainty(strength)
  const part = (value: number): UncertaintyPart => ({
    what: `strength on the label, ${strength.text}`,
    shape: strength.uncertainty === undefined ? 'rectangular' : 'normal',
    relative: value === 0 ? 0 : u / value,
  })
  const label = (basis: Label['basis'], perUnit: number, sources: readonly Source[] = []): Outcome<Label> =>
    done({ basis, strength: { value: strength.value * perUnit, u: u * perUnit }, part: part(strength.value), sources })
  switch (strength.kind) {
    case 'mass-fraction':
    case 'fraction':
      return label('per-gram', 1 / M)
    case 'mass-concentration':
      return label('per-litre', 1 / M)
    case 'amount-concentration':
      return label('per-litre', 1)
    case 'molality': {
      // b mol in a kilogram of water: w = b M / (1000 + b M)
      const perGram = strength.value / (1000 + strength.value * M)
      const slope = 1000 / (1000 + strength.value * M) ** 2
      return done({
        basis: 'per-gram',
        strength: { value: perGram, u: u * slope },
        part: { ...part(strength.value), relative: perGram === 0 ? 0 : (u * slope) / perGram },
        sources: [],
      })
    }
    case 'volume-fraction': {
      const pure = pureDensity(substance, matter)
      if (!pure) {
        return refuse(
          bottleProblem(
            bottle,
            'no-pure-density',
            `${strength.text} needs the density of pure ${substance.name}, which is not on file`,
            'give the strength in % w/w or mol/L',
          ),
        )
      }
      return label('per-litre', (1000 * pure.gPerMl) / M, [pure.source])
    }
    case 'oxygen-volumes':
      if (!substance.entersWater.some((e) => e.species === 'H2O2')) {
        return refuse(
          bottleProblem(
            bottle,
            'volumes-of-no-peroxide',
            `"${strength.text}" is a strength of hydrogen peroxide; the bottle holds ${substance.name}`,
            'give the strength in % w/w or mol/L',
          ),
        )
      }
      return label('per-litre', peroxideFromVolumes(1))
    default:
      return refuse(
        bottleProblem(
          bottle,
          'strength-kind',
          `"${strength.text}" does not state a strength`,
          'write % w/w, % w/v, % v/v, mol/L, mol/kg or volumes',
        ),
      )
  }
}

/** Strength a gram and a litre from the primary one, through the density. `molarMass` of the labelled formula, g/mol. */
export function bothBases(
  label: Pick<Label, 'basis' | 'strength'>,
  densityAt: DensityAt,
  molarMass: number,
): {
  readonly molPerG: Uncertain
  readonly molPerL: Uncertain
  readonly density: Uncertain
  readonly from: string
  readonly sources: readonly Source[]
  readonly massFraction: number
} {
  const w =
    label.basis === 'per-gram'
      ? label.strength.value * molarMass
      : massFractionAt(label.strength.value * molarMass, (x) => densityAt(x).gPerMl)
  const rho = densityAt(Math.min(1, w))
  const density = { value: rho.gPerMl, u: rho.uncertainty }
  const joint = Math.hypot(relative(label.strength), relative(density))
  const gPerL = 1000 * rho.gPerMl
  const other = label.basis === 'per-gram' ? label.strength.value * gPerL : label.strength.value / gPerL
  const derived: Uncertain = { value: other, u: Math.abs(other) * joint }
  return {
    molPerG: label.basis === 'per-gram' ? label.strength : derived,
    molPerL: label.basis === 'per-litre' ? label.strength : derived,
    density,
    from: rho.from,
    sources: rho.sources,
    massFraction: w,
  }
}

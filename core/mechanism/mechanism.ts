/** A mechanism as data: species, steps, constants with their sources, known faults, stated bands. */
import type { Seen } from '@beakertide/basis/sources'
import type { Span } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'

export interface MechanismSpecies {
  readonly id: SpeciesId
  readonly name: string
  /** Atoms by element; null for a lumped species that stands for no formula. */
  readonly composition: Readonly<Record<string, number>> | null
  readonly charge: number
  /** `held`: its concentration is kept at the value of the mixture (a buffer, a great excess). */
  readonly role: 'dynamic' | 'held' | 'solvent'
  /** Mixture species whose equilibrium concentrations are added to start this one; default: the same id. */
  readonly startsFrom?: readonly SpeciesId[]
  /** Smallest start value (trace impurity), mol/L, with its reason in `traceWhy`. */
  readonly traceMolPerL?: number
  readonly traceWhy?: string
  /**
   * Estimated standard enthalpy of formation, kJ/mol, for a species that no table lists. For a short-lived intermediate
   * any value gives the same heat over a whole turnover, because what it adds when formed it takes back when used.
   */
  readonly formationKJPerMol?: number
  readonly formationWhy?: string
  readonly note?: string
}

export type ConstantStatus = 'published' | 'adjusted-in-range' | 'adjusted-outside-range' | 'assumed' | 'placeholder'

export interface RateConstant {
  /** "k", "kf", "kr", "k1" … as the rate expression names it. */
  readonly name: string
  /** In mol, L, s, K. */
  readonly value: number
  /** Canonical, "L^2 mol^-2 s^-1"; "1" for a pure number. */
  readonly unit: string
  /** As the file has it, when written in other units ("4.5 mol L^-1 min^-1"). */
  readonly written?: string
  /** kJ/mol; null when none is known. */
  readonly activationKJPerMol: number | null
  readonly activationSeen?: Seen
  /** Temperature of the value when it is not that of the mechanism; the activation energy counts from here. */
  readonly referenceK?: number
  readonly literatureRange?: string
  readonly status: ConstantStatus
  readonly seen: Seen
  readonly sources: readonly string[]
  /** The rehearsal replaces the value by that of the mixture (mol/L): ionic strength, or free hydrogen ion. */
  readonly setBy?: 'ionic-strength' | 'hydrogen-ion'
  readonly note?: string
}

/** A parsed rate expression; see expression.ts. Numbers in mol/L, s, K. */
export type Expression =
  | { readonly op: 'number'; readonly value: number }
  | { readonly op: 'concentration'; readonly species: SpeciesId }
  | { readonly op: 'constant'; readonly name: string }
  | { readonly op: 'temperature' }
  | { readonly op: 'neg'; readonly a: Expression }
  | { readonly op: 'add' | 'sub' | 'mul' | 'div' | 'pow' | 'min' | 'max'; readonly a: Expression; readonly b: Expression }
  | { readonly op: 'sqrt' | 'exp' | 'ln' | 'log10'; readonly a: Expression }

export interface Term {
  readonly species: SpeciesId
  readonly coefficient: number
}

export interface Step {
  readonly id: string
  readonly equation: string
  readonly reactants: readonly Term[]
  readonly products: readonly Term[]
  readonly reversible: boolean
  /** Mass action with constants k (or kf, kr), or an expression. */
  readonly law: { readonly kind: 'mass-action' } | { readonly kind: 'expression'; readonly text: string; readonly expression: Expression }
  readonly constants: readonly RateConstant[]
  /** Lumped steps are not balanced by construction and say why. */
  readonly lumped?: string
  /** Enthalpy of the step as written, kJ/mol, where known. */
  readonly enthalpyKJPerMol?: number
  readonly note?: string
  readonly span?: Span
}

/** A feature in which the model is known to be wrong; shown beside that feature. */
export interface KnownFault {
  readonly feature: 'induction' | 'period' | 'cycles' | 'length' | 'end' | 'colour' | 'temperature' | 'gas' | 'range' | 'other'
  readonly text: string
  readonly source: string
}

/** Stated model uncertainty: multiply/divide factors, e.g. period 1.5 means 2/3 to 3/2. */
export interface StatedBand {
  readonly feature: 'first-turn' | 'period' | 'cycles' | 'length' | 'iodine'
  readonly factorUp: number
  readonly factorDown: number
  readonly why: string
}

export interface Mechanism {
  /** Catalogue name, "iodate-peroxide-malonate/batch". */
  readonly name: string
  readonly title: string
  readonly overall: string
  readonly referenceK: number
  readonly grade: 'published' | 'remembered' | 'assembled, fitted' | 'skeleton' | 'placeholder'
  /** Temperature span in which it may be used, K. */
  readonly validK: readonly [number, number]
  readonly species: readonly MechanismSpecies[]
  /** Species that occur only in `netReactions` (they are not rehearsed). */
  readonly netSpecies?: readonly MechanismSpecies[]
  readonly steps: readonly Step[]
  /** Absorber of absorbers*.csv for each coloured species: { "I2": "I2(aq)" }. */
  readonly absorbers: Readonly<Record<SpeciesId, string>>
  /** Absorbers that replace those above when another substance is in the vessel: { "starch": { "I3-": "starch-triiodide …" } }. */
  readonly absorbersWith?: Readonly<Record<SpeciesId, Readonly<Record<SpeciesId, string>>>>
  /** What is known of the reaction heat, in words. */
  readonly heat?: string
  /** Reaction heat a mole of turnover of each step with no own enthalpy is computed from formation data where all are known. */
  readonly faults: readonly KnownFault[]
  readonly bands: readonly StatedBand[]
  readonly sources: Readonly<Record<string, { readonly cite: string; readonly doi?: string; readonly access: string }>>
  /** Overall net reactions used to judge dead limits and limiting reagents. */
  readonly netReactions: readonly NetReaction[]
  readonly notes: readonly string[]
}

/** A balanced net reaction of the demonstration with the role of each reactant. */
export interface NetReaction {
  readonly id: string
  readonly equation: string
  readonly reactants: readonly Term[]
  readonly products: readonly Term[]
  readonly what: string
  /** The visible species that this reaction makes. */
  readonly shows?: SpeciesId
  /** The visible species whose disappearance is the effect. */
  readonly fades?: SpeciesId
  /** Species that hide the colour: nothing is seen before they are used up. */
  readonly after?: readonly SpeciesId[]
  /** Catalysts and partners that must be there though this equation does not use them. */
  readonly needs?: readonly SpeciesId[]
  readonly span?: Span
}

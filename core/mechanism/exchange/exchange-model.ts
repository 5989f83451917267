/**
 * A model as the open exchange standard describes it (SBML Level 3 Version 2 Core, release 2, section 4), functions
 * written out and local names resolved. Plain data; numbers in the model's own units.
 */
import type { Span } from '@beakertide/basis/problems'
import type { MathNode } from './math-tree.ts'

interface Described {
  readonly id: string
  readonly name?: string
  readonly span: Span
  /** Paragraphs for a reader, written as notes; not filled by reading. */
  readonly notes?: readonly string[]
}

export interface ExchangeCompartment extends Described {
  /** Absent in the file: null. A compartment of 0 dimensions has no size, its species are amounts. */
  readonly dimensions: number | null
  /** Not given: not a number. */
  readonly size: number
  readonly constant: boolean
  readonly units?: string
}

export interface ExchangeSpecies extends Described {
  readonly compartment: string
  /** As given: at most one of the two; neither: the value must come from elsewhere or stays not a number. */
  readonly initialAmount?: number
  readonly initialConcentration?: number
  /** Its symbol in a formula is an amount; else a concentration. */
  readonly hasOnlySubstanceUnits: boolean
  readonly boundaryCondition: boolean
  readonly constant: boolean
  readonly conversionFactor?: string
  readonly substanceUnits?: string
}

export interface ExchangeParameter extends Described {
  readonly value: number
  readonly constant: boolean
  readonly units?: string
}

/** A reactant or product. */
export interface ExchangeParticipant {
  readonly species: string
  /** Its own identifier: then it is a symbol like any other, that rules and events may govern. */
  readonly id?: string
  /** Not given: not a number. Level 2 formulas stand in `formula`. */
  readonly stoichiometry: number
  readonly formula?: MathNode
  readonly constant: boolean
}

export interface ExchangeReaction extends Described {
  readonly reversible: boolean
  readonly reactants: readonly ExchangeParticipant[]
  readonly products: readonly ExchangeParticipant[]
  readonly modifiers: readonly string[]
  /** Extent per time; null where no rate law is given. Local names are written `reaction.name`, a sign that no identifier holds. */
  readonly law: MathNode | null
  readonly locals: readonly ExchangeParameter[]
}

export interface ExchangeAssignment {
  readonly symbol: string
  readonly math: MathNode
  readonly span: Span
}

export interface ExchangeEvent {
  readonly id: string
  readonly span: Span
  /** Absent: it never fires. */
  readonly trigger?: MathNode
  /** Truth of the trigger before the start. */
  readonly initialValue: boolean
  readonly persistent: boolean
  readonly useValuesFromTriggerTime: boolean
  readonly delay?: MathNode
  readonly priority?: MathNode
  readonly assignments: readonly ExchangeAssignment[]
}

export interface ExchangeConstraint {
  readonly math: MathNode
  readonly message: string
  readonly span: Span
}

/** A base unit with its exponent: (multiplier × 10^scale × kind)^exponent. */
export interface UnitFactor {
  readonly kind: string
  readonly exponent: number
  readonly scale: number
  readonly multiplier: number
}

export interface ExchangeModel {
  readonly file: string
  readonly level: number
  readonly version: number
  readonly id: string
  readonly name?: string
  readonly notes?: readonly string[]
  readonly conversionFactor?: string
  /** As the model states them, e.g. `substance: "mole"`. */
  readonly units: Readonly<Partial<Record<'substance' | 'time' | 'volume' | 'area' | 'length' | 'extent', string>>>
  readonly unitDefinitions: Readonly<Record<string, readonly UnitFactor[]>>
  readonly compartments: readonly ExchangeCompartment[]
  readonly species: readonly ExchangeSpecies[]
  readonly parameters: readonly ExchangeParameter[]
  readonly initialAssignments: readonly ExchangeAssignment[]
  readonly assignmentRules: readonly ExchangeAssignment[]
  readonly rateRules: readonly ExchangeAssignment[]
  readonly reactions: readonly ExchangeReaction[]
  readonly events: readonly ExchangeEvent[]
  readonly constraints: readonly ExchangeConstraint[]
}

/**
 * A mechanism of ours -> ExchangeModel: one vessel of one litre that stays, species as concentrations in mol/L, time in
 * seconds, a rate constant as a parameter that follows the temperature parameter by its activation energy.
 */
import { done, type Outcome, type Problem } from '@beakertide/basis/problems'
import { GAS_CONSTANT } from '@beakertide/basis/units'
import type { SpeciesId } from '../../matter/index.ts'
import type { Expression, Mechanism, MechanismSpecies, RateConstant, Step, Term } from '../mechanism.ts'
import type { HeatModel } from '../network.ts'
import type {
  ExchangeAssignment,
  ExchangeModel,
  ExchangeParameter,
  ExchangeReaction,
  ExchangeSpecies,
  UnitFactor,
} from './exchange-model.ts'
import { apply, type MathNode, name, number } from './math-tree.ts'
import { unitFactorsOf } from './unit-definitions.ts'

export const VESSEL = 'vessel'
export const TEMPERATURE = 'T'

export interface ExportOptions {
  /** Held: the constants follow the parameter T. Free: T follows the heat of the steps. Default: held at the mechanism's temperature. */
  readonly heat?: HeatModel
  /** kJ/mol a step id; a step's own enthalpy goes first. Needed only for free temperature. */
  readonly enthalpies?: Readonly<Record<string, number>>
  /** Start of dynamic species and values of held ones, mol/L. A dynamic one not named starts at zero. */
  readonly molPerL?: Readonly<Record<SpeciesId, number>>
  /** Values of constants that the mixture sets ("P1.I"), in their unit. */
  readonly constants?: Readonly<Record<string, number>>
}

const HERE = { line: 1, column: 1 }

/** Identifiers of the standard for our names: "SO4^2-" -> SO4_2m, "I2(s)" -> I2_s; the true name stands in `name`. */
export class ExchangeNames {
  private readonly taken = new Set<string>()
  private readonly given = new Map<string, string>()
  constructor(reserved: readonly string[]) {
    for (const id of reserved) this.taken.add(id)
  }
  of(ours: string): string {
    const before = this.given.get(ours)
    if (before !== undefined) return before
    const plain = ours.replace(/\^/g, '_').replace(/\+/g, 'p').replace(/-/g, 'm').replace(/\W+/g, '_').replace(/_+$/, '')
    const base = /^[A-Za-z_]/.test(plain) ? plain : `_${plain}`
    let id = base
    for (let i = 2; this.taken.has(id); i++) id = `${base}_${i}`
    this.taken.add(id)
    this.given.set(ours, id)
    return id
  }
}

/** k exp(-(Ea/R) (1/T - 1/Tref)). */
function arrhenius(c: RateConstant, referenceK: number): MathNode {
  const eaOverR = ((c.activationKJPerMol ?? 0) * 1000) / GAS_CONSTANT
  const inverse = apply('sub', apply('div', number(1), name(TEMPERATURE)), apply('div', number(1), number(c.referenceK ?? referenceK)))
  return apply('mul', number(c.value), apply('exp', apply('neg', apply('mul', number(eaOverR), inverse))))
}

function constantNotes(c: RateConstant, mechanism: Mechanism): readonly string[] {
  const cites = c.sources.map((key) => mechanism.sources[key]?.cite ?? key)
  return [
    `${c.status}${c.written === undefined ? '' : `, written ${c.written}`}${c.literatureRange === undefined ? '' : `, literature ${c.literatureRange}`}`,
    ...(cites.length > 0 ? [`Source (${c.seen}): ${cites.join('; ')}`] : []),
    ...(c.note === undefined ? [] : [c.note]),
  ]
}

class Export {
  private readonly m: Mechanism
  private readonly options: ExportOptions
  private readonly heat: HeatModel
  private readonly names = new ExchangeNames([VESSEL, TEMPERATURE])
  private readonly roles: ReadonlyMap<SpeciesId, MechanismSpecies['role']>
  private readonly parameters: ExchangeParameter[] = []
  private readonly initialAssignments: ExchangeAssignment[] = []
  private readonly assignmentRules: ExchangeAssignment[] = []
  private readonly unitDefinitions: Record<string, readonly UnitFactor[]> = {}
  readonly warnings: Problem[] = []

  constructor(mechanism: Mechanism, options: ExportOptions) {
    this.m = mechanism
    this.options = options
    this.heat = options.heat ?? { kind: 'held', temperatureK: mechanism.referenceK }
    this.roles = new Map(mechanism.species.map((s) => [s.id, s.role]))
    // species first, so that they get the plain names
    for (const s of mechanism.species) this.names.of(s.id)
    for (const step of mechanism.steps) this.names.of(`step ${step.id}`)
  }

  private warn(code: string, what: string, todo: string): void {
    this.warnings.push({ code: `mechanism/${code}`, where: this.m.name, what, todo })
  }
  private unit(text: string): string {
    const id = text === '1' ? 'dimensionless' : `u_${text}`.replace(/\^/g, '').replace(/-/g, 'm').replace(/\W+/g, '_')
    if (id !== 'dimensionless') this.unitDefinitions[id] ??= unitFactorsOf(text)
    return id
  }
  private readonly constantId = (step: Step, constant: string): string => this.names.of(`${step.id}_${constant}`)
  private reactionId(step: Step): string {
    return this.names.of(`step ${step.id}`)
  }

  private species(): readonly ExchangeSpecies[] {
    const unset = this.m.species.filter((s) => s.role === 'held' && this.options.molPerL?.[s.id] === undefined)
    if (unset.length > 0) {
      this.warn(
        'export-held',
        `no value is given for the held ${unset.map((s) => s.id).join(', ')}; the file leaves it open`,
        'give it in mol/L',
      )
    }
    return this.m.species.map((s) => {
      const given = this.options.molPerL?.[s.id] ?? (s.role === 'dynamic' ? 0 : undefined)
      const isFixed = s.role !== 'dynamic'
      return {
        id: this.names.of(s.id),
        name: s.id,
        span: HERE,
        compartment: VESSEL,
        ...(given === undefined ? {} : { initialConcentration: given }),
        hasOnlySubstanceUnits: false,
        boundaryCondition: isFixed,
        constant: isFixed,
        notes: [s.name, ...(s.note === undefined ? [] : [s.note])],
      }
    })
  }

  private constant(step: Step, c: RateConstant): void {
    const id = this.constantId(step, c.name)
    const key = `${step.id}.${c.name}`
    const set = this.options.constants?.[key]
    const follows = set === undefined && (c.activationKJPerMol ?? 0) !== 0
    if (c.setBy !== undefined && set === undefined) {
      this.warn(
        'export-constant',
        `"${key}" follows the mixture (${c.setBy}); the file holds the fixed value ${c.value}`,
        'give the value of your mixture',
      )
    }
    this.parameters.push({
      id,
      name: key,
      span: HERE,
      value: set ?? c.value,
      constant: !(follows && this.heat.kind === 'free'),
      units: this.unit(c.unit),
      notes: constantNotes(c, this.m),
    })
    if (!follows) return
    const list = this.heat.kind === 'free' ? this.assignmentRules : this.initialAssignments
    list.push({ symbol: id, math: arrhenius(c, this.m.referenceK), span: HERE })
  }

  private law(step: Step): MathNode {
    const { law } = step
    if (law.kind === 'expression') return this.expression(law.expression, step)
    const action = (constant: string, terms: readonly Term[]): MathNode =>
      terms.reduce<MathNode>(
        (product, { species, coefficient }) => {
          if (this.roles.get(species) === 'solvent') return product
          const concentration = name(this.names.of(species))
          return apply('mul', product, coefficient === 1 ? concentration : apply('pow', concentration, number(coefficient)))
        },
        name(this.constantId(step, constant)),
      )
    if (!step.reversible) return action('k', step.reactants)
    return apply('sub', action('kf', step.reactants), action('kr', step.products))
  }
  private expression(e: Expression, step: Step): MathNode {
    switch (e.op) {
      case 'number':
        return number(e.value)
      case 'concentration':
        return name(this.names.of(e.species))
      case 'constant':
        return name(this.constantId(step, e.name))
      case 'temperature':
        return name(TEMPERATURE)
      case 'neg':
      case 'sqrt':
      case 'exp':
      case 'ln':
      case 'log10':
        return apply(e.op, this.expression(e.a, step))
      default:
        return apply(e.op, this.expression(e.a, step), this.expression(e.b, step))
    }
  }

  private reaction(step: Step): ExchangeReaction {
    for (const c of step.constants) this.constant(step, c)
    const law = this.law(step)
    const side = (terms: readonly Term[]): ExchangeReaction['reactants'] =>
      terms.map((t) => ({ species: this.names.of(t.species), stoichiometry: t.coefficient, constant: true }))
    const written = new Set([...step.reactants, ...step.products].map((t) => this.names.of(t.species)))
    const species = new Set(this.m.species.map((s) => this.names.of(s.id)))
    return {
      id: this.reactionId(step),
      name: step.id,
      span: HERE,
      reversible: step.reversible,
      reactants: side(step.reactants),
      products: side(step.products),
      // the standard wants every species that a law reads named on its reaction
      modifiers: namesIn(law).filter((id) => species.has(id) && !written.has(id)),
      law: apply('mul', name(VESSEL), law),
      locals: [],
      notes: [
        step.equation,
        ...(step.lumped === undefined ? [] : [`Lumped: ${step.lumped}`]),
        ...(step.note === undefined ? [] : [step.note]),
      ],
    }
  }

  /** dT/dt = sum of (-enthalpy) rate / heat capacity - loss (T - room). */
  private temperatureRule(heat: HeatModel & { readonly kind: 'free' }): ExchangeAssignment {
    const terms = this.m.steps.flatMap((step): readonly MathNode[] => {
      const own = step.enthalpyKJPerMol ?? this.options.enthalpies?.[step.id] ?? 0
      if (own === 0) return []
      const perMol = number((-own * 1000) / heat.heatCapacityJPerLK)
      return [apply('mul', perMol, apply('div', name(this.reactionId(step)), name(VESSEL)))]
    })
    const loss = apply('mul', number(heat.lossPerS), apply('sub', name(TEMPERATURE), number(heat.roomK)))
    const warming = terms.reduce<MathNode | null>((sum, term) => (sum ? apply('add', sum, term) : term), null)
    return { symbol: TEMPERATURE, math: warming ? apply('sub', warming, loss) : apply('neg', loss), span: HERE }
  }

  model(): ExchangeModel {
    const { m, heat } = this
    const species = this.species()
    const reactions = m.steps.map((step) => this.reaction(step))
    this.unitDefinitions['mol_per_L'] = unitFactorsOf('mol L^-1')
    const isFree = heat.kind === 'free'
    this.warn(
      'export-left-out',
      'the file holds species, steps and constants; absorbers, net reactions, stated bands and gas or solid leaving the liquid have no place in the standard',
      'keep the mechanism file beside it',
    )
    return {
      file: '',
      level: 3,
      version: 2,
      id: new ExchangeNames([]).of(m.name),
      name: m.title,
      notes: [
        m.overall,
        `Grade: ${m.grade}. Valid ${m.validK[0]} to ${m.validK[1]} K.`,
        ...m.faults.map((f) => `Known fault (${f.feature}): ${f.text} [${f.source}]`),
        ...m.notes,
      ].filter((text) => text !== ''),
      units: { substance: 'mole', time: 'second', volume: 'litre', extent: 'mole' },
      unitDefinitions: this.unitDefinitions,
      compartments: [{ id: VESSEL, span: HERE, dimensions: 3, size: 1, constant: true, units: 'litre' }],
      species,
      parameters: [
        {
          id: TEMPERATURE,
          name: 'temperature',
          span: HERE,
          value: isFree ? heat.roomK : heat.temperatureK,
          constant: !isFree,
          units: 'kelvin',
        },
        ...this.parameters,
      ],
      initialAssignments: this.initialAssignments,
      assignmentRules: this.assignmentRules,
      rateRules: heat.kind === 'free' ? [this.temperatureRule(heat)] : [],
      constraints: [],
      reactions,
      events: [],
    }
  }
}

function namesIn(node: MathNode): readonly string[] {
  if (node.op === 'name') return [node.id]
  return 'args' in node ? [...new Set(node.args.flatMap(namesIn))] : []
}

/** A mechanism for exchange; warnings say what the standard has no place for and which values are left open. */
export function exchangeOf(mechanism: Mechanism, options: ExportOptions = {}): Outcome<ExchangeModel> {
  const work = new Export(mechanism, options)
  const model = work.model()
  return done(model, work.warnings)
}

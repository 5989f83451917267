/** The `model` element: its lists, one after another, into plain data; then every name is checked. */
import { elementsOf, textOf, type XmlElement } from '@beakertide/basis/text'
import type { Problem } from '@beakertide/basis/problems'
import { checkNames } from './check-names.ts'
import type {
  ExchangeAssignment,
  ExchangeCompartment,
  ExchangeConstraint,
  ExchangeEvent,
  ExchangeModel,
  ExchangeParameter,
  ExchangeParticipant,
  ExchangeReaction,
  ExchangeSpecies,
  UnitFactor,
} from './exchange-model.ts'
import { apply, type MathNode } from './math-tree.ts'
import { asTruth, MathReader } from './mathml-read.ts'
import { ModelReading, type Source } from './model-reading.ts'
import { checkDimensions } from './check-dimensions.ts'
import { checkUnits } from './unit-definitions.ts'
import { FunctionBook } from './write-out-functions.ts'

/** Lists of a model that are read; Level 2 types of compartments and species only classify. */
const modelLists = [
  'listOfFunctionDefinitions',
  'listOfUnitDefinitions',
  'listOfCompartmentTypes',
  'listOfSpeciesTypes',
  'listOfCompartments',
  'listOfSpecies',
  'listOfParameters',
  'listOfInitialAssignments',
  'listOfRules',
  'listOfConstraints',
  'listOfReactions',
  'listOfEvents',
]
const rules = ['assignmentRule', 'rateRule', 'algebraicRule']
const unitAttributes = ['substance', 'time', 'volume', 'area', 'length', 'extent'] as const

export interface ReadModel {
  readonly model: ExchangeModel
  readonly problems: readonly Problem[]
  readonly warnings: readonly Problem[]
}

class ModelReader {
  private readonly r: ModelReading
  private readonly model: XmlElement
  private readonly functions: FunctionBook
  /** Level 2 has defaults where Level 3 wants every attribute. */
  private readonly isLevel2: boolean

  constructor(model: XmlElement, source: Source) {
    this.model = model
    this.r = new ModelReading(source)
    this.functions = new FunctionBook(this.r)
    this.isLevel2 = source.level === 2
  }

  private flag(element: XmlElement, attribute: string, level2: boolean): boolean {
    if (!this.isLevel2 && this.r.text(element, attribute) === undefined) {
      this.r.refuse(
        'exchange-attribute',
        element,
        `"${element.name}" does not say ${attribute}; Level 3 has no default`,
        `add ${attribute}="true" or "false"`,
      )
    }
    return this.r.flag(element, attribute, level2)
  }
  private named(element: XmlElement): { readonly id: string; readonly name?: string; readonly span: XmlElement['span'] } {
    const name = this.r.text(element, 'name')
    return { id: this.r.needed(element, 'id'), span: element.span, ...(name === undefined ? {} : { name }) }
  }
  private optional<K extends string>(element: XmlElement, attribute: K): Partial<Record<K, string>> {
    const met = this.r.text(element, attribute)
    return (met === undefined ? {} : { [attribute]: met }) as Partial<Record<K, string>>
  }
  private formula(element: XmlElement, what: string): MathNode | undefined {
    const read = this.r.formula(element, what)
    return read && this.functions.writeOut(read, element)
  }

  private readFunctions(): void {
    for (const element of this.r.list(this.model, 'listOfFunctionDefinitions', 'functionDefinition')) {
      const id = this.r.needed(element, 'id')
      const math = this.r.inside(element, ['math'])[0]
      const reader = new MathReader(`the function "${id}"`)
      this.functions.add(id, (math && reader.lambda(math)) ?? null)
      this.r.problems.push(...reader.problems)
    }
  }

  private unitDefinitions(): Readonly<Record<string, readonly UnitFactor[]>> {
    const found: [string, readonly UnitFactor[]][] = []
    for (const element of this.r.list(this.model, 'listOfUnitDefinitions', 'unitDefinition')) {
      const factors = this.r.list(element, 'listOfUnits', 'unit').map((unit) => ({
        kind: this.r.needed(unit, 'kind'),
        exponent: this.r.number(unit, 'exponent') ?? (this.isLevel2 ? 1 : Number.NaN),
        scale: this.r.number(unit, 'scale') ?? (this.isLevel2 ? 0 : Number.NaN),
        multiplier: this.r.number(unit, 'multiplier') ?? (this.isLevel2 ? 1 : Number.NaN),
      }))
      found.push([this.r.needed(element, 'id'), factors])
    }
    return Object.fromEntries(found)
  }

  private compartments(): readonly ExchangeCompartment[] {
    return this.r.list(this.model, 'listOfCompartments', 'compartment').map((element) => {
      if (this.r.text(element, 'compartmentType') !== undefined) this.r.passOver('compartment types')
      if (this.r.text(element, 'outside') !== undefined) this.r.passOver('which compartment lies outside')
      return {
        ...this.named(element),
        dimensions: this.r.number(element, 'spatialDimensions') ?? (this.isLevel2 ? 3 : null),
        size: this.r.number(element, 'size') ?? Number.NaN,
        constant: this.flag(element, 'constant', true),
        ...this.optional(element, 'units'),
      }
    })
  }

  private species(): readonly ExchangeSpecies[] {
    return this.r.list(this.model, 'listOfSpecies', 'species').map((element) => {
      const amount = this.r.number(element, 'initialAmount')
      const concentration = this.r.number(element, 'initialConcentration')
      if (amount !== undefined && concentration !== undefined) {
        this.r.refuse('exchange-attribute', element, 'an initial amount and an initial concentration are given', 'keep one of the two')
      }
      if (this.r.text(element, 'speciesType') !== undefined) this.r.passOver('species types')
      if (this.r.text(element, 'charge') !== undefined) this.r.passOver('charges of species')
      if (this.r.text(element, 'spatialSizeUnits') !== undefined) {
        this.r.refuse('exchange-attribute', element, '"spatialSizeUnits" is not part of Level 2 Version 4', 'remove it')
      }
      return {
        ...this.named(element),
        compartment: this.r.needed(element, 'compartment'),
        ...(amount === undefined ? {} : { initialAmount: amount }),
        ...(concentration === undefined ? {} : { initialConcentration: concentration }),
        hasOnlySubstanceUnits: this.flag(element, 'hasOnlySubstanceUnits', false),
        boundaryCondition: this.flag(element, 'boundaryCondition', false),
        constant: this.flag(element, 'constant', false),
        ...this.optional(element, 'conversionFactor'),
        ...this.optional(element, 'substanceUnits'),
      }
    })
  }

  private parameter(element: XmlElement, isLocal: boolean): ExchangeParameter {
    return {
      ...this.named(element),
      value: this.r.number(element, 'value') ?? Number.NaN,
      constant: isLocal || this.flag(element, 'constant', true),
      ...this.optional(element, 'units'),
    }
  }

  private assignments(list: string, item: string, attribute: string, what: string): readonly ExchangeAssignment[] {
    return this.r.list(this.model, list, item === '' ? rules : item).flatMap((element) => {
      const symbol = this.r.needed(element, attribute)
      const math = this.formula(element, `${what} of "${symbol}"`)
      return math ? [{ symbol, math, span: element.span }] : []
    })
  }

  private rules(): { readonly assignmentRules: readonly ExchangeAssignment[]; readonly rateRules: readonly ExchangeAssignment[] } {
    const assignmentRules: ExchangeAssignment[] = []
    const rateRules: ExchangeAssignment[] = []
    for (const element of this.r.list(this.model, 'listOfRules', rules)) {
      if (element.name === 'algebraicRule') {
        this.r.refuse(
          'exchange-algebraic',
          element,
          'an algebraic rule (an equation to be solved at every moment) is not integrated here',
          'solve it for its variable and write an assignment rule',
        )
        continue
      }
      const symbol = this.r.needed(element, 'variable')
      const math = this.formula(element, `the rule of "${symbol}"`)
      if (math) (element.name === 'rateRule' ? rateRules : assignmentRules).push({ symbol, math, span: element.span })
    }
    return { assignmentRules, rateRules }
  }

  private constraints(): readonly ExchangeConstraint[] {
    return this.r.list(this.model, 'listOfConstraints', 'constraint').flatMap((element) => {
      const math = this.formula(element, 'a constraint')
      const message = elementsOf(element).find((e) => e.name === 'message')
      const words = message ? allText(message).replace(/\s+/g, ' ').trim() : ''
      return math ? [{ math: asTruth(math), message: words, span: element.span }] : []
    })
  }

  private participants(reaction: XmlElement, list: string): readonly ExchangeParticipant[] {
    return this.r.list(reaction, list, 'speciesReference').map((element) => {
      const given = elementsOf(element).find((e) => e.name === 'stoichiometryMath')
      const formula = given && this.formula(given, 'a stoichiometry')
      return {
        species: this.r.needed(element, 'species'),
        ...this.optional(element, 'id'),
        stoichiometry: this.r.number(element, 'stoichiometry') ?? (this.isLevel2 ? 1 : Number.NaN),
        ...(formula ? { formula } : {}),
        constant: this.isLevel2 ? true : this.flag(element, 'constant', true),
      }
    })
  }

  private reactions(): readonly ExchangeReaction[] {
    return this.r.list(this.model, 'listOfReactions', 'reaction').map((element) => {
      const named = this.named(element)
      if (this.r.flag(element, 'fast', false)) {
        this.r.refuse(
          'exchange-fast',
          element,
          `the reaction "${named.id}" is marked fast (in equilibrium at every moment), which is not integrated here`,
          'give it finite rates in both directions',
        )
      }
      this.r.inside(element, ['listOfReactants', 'listOfProducts', 'listOfModifiers', 'kineticLaw'])
      const law = elementsOf(element).find((e) => e.name === 'kineticLaw' && e.namespace === this.r.source.namespace)
      const locals = law
        ? [...this.r.list(law, 'listOfLocalParameters', 'localParameter'), ...this.r.list(law, 'listOfParameters', 'parameter')].map((e) =>
            this.parameter(e, true),
          )
        : []
      const hidden = new Set(locals.map((p) => p.id))
      const math = law && this.formula(law, `the rate law of "${named.id}"`)
      return {
        ...named,
        reversible: this.flag(element, 'reversible', true),
        reactants: this.participants(element, 'listOfReactants'),
        products: this.participants(element, 'listOfProducts'),
        modifiers: this.r.list(element, 'listOfModifiers', 'modifierSpeciesReference').map((e) => this.r.needed(e, 'species')),
        law: math ? localised(math, named.id, hidden) : null,
        locals: locals.map((p) => ({ ...p, id: `${named.id}.${p.id}` })),
      }
    })
  }

  private events(): readonly ExchangeEvent[] {
    return this.r.list(this.model, 'listOfEvents', 'event').map((element, index) => {
      const id = this.r.text(element, 'id') ?? `event ${index + 1}`
      const parts = this.r.inside(element, ['trigger', 'delay', 'priority', 'listOfEventAssignments'])
      const part = (name: string): XmlElement | undefined => parts.find((e) => e.name === name)
      const [trigger, delay, priority] = [part('trigger'), part('delay'), part('priority')]
      if (!trigger) this.r.warn('exchange-no-math', element, `the event "${id}" has no trigger; it never fires`, 'add a trigger')
      const condition = trigger && this.formula(trigger, `the trigger of "${id}"`)
      const wait = delay && this.formula(delay, `the delay of "${id}"`)
      const rank = priority && this.formula(priority, `the priority of "${id}"`)
      const assignments = this.r.list(element, 'listOfEventAssignments', 'eventAssignment').flatMap((e) => {
        const symbol = this.r.needed(e, 'variable')
        const math = this.formula(e, `the assignment of "${id}" to "${symbol}"`)
        return math ? [{ symbol, math, span: e.span }] : []
      })
      return {
        id,
        span: element.span,
        ...(condition ? { trigger: asTruth(condition) } : {}),
        initialValue: trigger && !this.isLevel2 ? this.flag(trigger, 'initialValue', true) : true,
        persistent: trigger && !this.isLevel2 ? this.flag(trigger, 'persistent', true) : true,
        useValuesFromTriggerTime: this.flag(element, 'useValuesFromTriggerTime', true),
        ...(wait ? { delay: wait } : {}),
        ...(rank ? { priority: rank } : {}),
        assignments,
      }
    })
  }

  read(): ReadModel {
    const { r, model } = this
    r.inside(model, modelLists)
    if (r.list(model, 'listOfSpeciesTypes', 'speciesType').length > 0) r.passOver('the list of species types')
    if (r.list(model, 'listOfCompartmentTypes', 'compartmentType').length > 0) r.passOver('the list of compartment types')
    this.readFunctions()
    const units: Partial<Record<(typeof unitAttributes)[number], string>> = {}
    for (const kind of unitAttributes) {
      const met = r.text(model, `${kind}Units`)
      if (met !== undefined) units[kind] = met
    }
    const result: ExchangeModel = {
      file: r.source.file,
      level: r.source.level,
      version: r.source.version,
      id: r.text(model, 'id') ?? '',
      ...this.optional(model, 'name'),
      ...this.optional(model, 'conversionFactor'),
      units,
      unitDefinitions: this.unitDefinitions(),
      compartments: this.compartments(),
      species: this.species(),
      parameters: r.list(model, 'listOfParameters', 'parameter').map((e) => this.parameter(e, false)),
      initialAssignments: this.assignments('listOfInitialAssignments', 'initialAssignment', 'symbol', 'the initial assignment'),
      ...this.rules(),
      constraints: this.constraints(),
      reactions: this.reactions(),
      events: this.events(),
    }
    return {
      model: result,
      problems: [...r.problems, ...checkNames(result)],
      warnings: [...unitWarnings(result, r.problems.length > 0), ...r.allWarnings()],
    }
  }
}

/** Units that do not exist; only when all do, and the formulas were read, whether they fit together. */
function unitWarnings(model: ExchangeModel, isBroken: boolean): readonly Problem[] {
  const missing = checkUnits(model)
  return missing.length > 0 || isBroken ? missing : checkDimensions(model)
}

function allText(element: XmlElement): string {
  return textOf(element) + elementsOf(element).map(allText).join(' ')
}

/** The law with the names of its own parameters written `reaction.name`. */
function localised(node: MathNode, reaction: string, hidden: ReadonlySet<string>): MathNode {
  if (node.op === 'name' || node.op === 'rate-of') return hidden.has(node.id) ? { ...node, id: `${reaction}.${node.id}` } : node
  if (!('args' in node) || node.op === 'call') return node
  return apply(node.op, ...node.args.map((a) => localised(a, reaction, hidden)))
}

/** Reads a `model` element. The model is only of use when there are no problems. */
export function readModel(model: XmlElement, source: Source): ReadModel {
  return new ModelReader(model, source).read()
}

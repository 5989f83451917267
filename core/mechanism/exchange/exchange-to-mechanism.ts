/**
 * ExchangeModel -> a mechanism of ours, for use in a demonstration: reactions in one vessel of constant size whose rate
 * laws are expressions of concentrations and constants. Numbers go to mol, L, s by the units the model states; anything
 * that a mechanism cannot hold (events, rate rules, explicit time, piecewise laws) is refused by name.
 */
import { done, type Outcome, place, type Problem, refuse, type Span, suggestion } from '@beakertide/basis/problems'
import { GAS_CONSTANT } from '@beakertide/basis/units'
import type { SpeciesId } from '../../matter/index.ts'
import { printExpression } from '../expression.ts'
import type { Expression, Mechanism, MechanismSpecies, RateConstant, Step, Term } from '../mechanism.ts'
import { assemble, type Assembled } from './assemble.ts'
import type { ExchangeModel, ExchangeReaction, ExchangeSpecies } from './exchange-model.ts'
import { eachNode, type MathNode } from './math-tree.ts'
import { AVOGADRO_OF_STANDARD } from './mathml-read.ts'
import { unitMeaning } from './unit-definitions.ts'

/** What one species of the file is in the vessel. */
export interface ImportedSpecies {
  readonly id: SpeciesId
  readonly composition?: Readonly<Record<string, number>>
  readonly charge?: number
  /** Mixture species that start it; default: the same id. */
  readonly startsFrom?: readonly SpeciesId[]
}

export interface ImportOptions {
  /** Catalogue name to give, "imported/name". */
  readonly name: string
  /** Identifier in the file -> ours. A species not named keeps the name or identifier it has in the file. */
  readonly species?: Readonly<Record<string, ImportedSpecies>>
  /** Parameter of the file that is the temperature, K: constants that follow it follow ours. */
  readonly temperature?: string
  /** Where the file comes from: stands as source of every constant. */
  readonly cite: string
  /** Temperature to which the constants belong, K, and the span in which the mechanism may be used. */
  readonly referenceK: number
  readonly validK?: readonly [number, number]
  readonly grade?: Mechanism['grade']
}

export interface ImportedMechanism {
  readonly mechanism: Mechanism
  /** Start values of the file, mol/L, by our ids; a demonstration replaces them by those of its mixture. */
  readonly molPerL: Readonly<Record<SpeciesId, number>>
}

/** Of one law; far above any published one. */
const MOST_PARTS = 5000
const SOURCE = 'file'
const reservedNames: readonly string[] = ['T', 'sqrt', 'exp', 'ln', 'log10', 'min', 'max']
const num = (value: number): Expression => ({ op: 'number', value })
const isOne = (e: Expression): boolean => e.op === 'number' && e.value === 1
const times = (a: Expression, b: Expression): Expression => (isOne(a) ? b : isOne(b) ? a : { op: 'mul', a, b })
const over = (a: Expression, b: Expression): Expression => (isOne(b) ? a : { op: 'div', a, b })

class Import {
  readonly problems: Problem[] = []
  readonly warnings: Problem[] = []
  private readonly model: ExchangeModel
  private readonly assembled: Assembled
  private readonly options: ImportOptions
  private readonly starts: ReadonlyMap<string, number>
  private readonly rules: ReadonlyMap<string, MathNode>
  private readonly initial: ReadonlyMap<string, MathNode>
  private readonly species: ReadonlyMap<string, ExchangeSpecies>
  private readonly ids = new Map<string, SpeciesId>()
  /** Unit of amount in mol, of size in L, of time in s. */
  private readonly unit: { readonly amount: number; readonly size: number; readonly time: number }
  private size = 1
  private readonly readBefore = new Map<string, boolean>()
  /** Parts of the present law so far: rules that double one another would never end. */
  private parts = 0

  constructor(model: ExchangeModel, assembled: Assembled, options: ImportOptions) {
    this.model = model
    this.assembled = assembled
    this.options = options
    this.starts = new Map([
      ...assembled.kept.map((q, i) => [q.symbol, assembled.startOfKept[i]!] as const),
      ...assembled.states.map((q, i) => [q.symbol, assembled.startOfStates[i]!] as const),
    ])
    this.rules = new Map(model.assignmentRules.map((r) => [r.symbol, r.math]))
    this.initial = new Map(model.initialAssignments.map((a) => [a.symbol, a.math]))
    this.species = new Map(model.species.map((s) => [s.id, s]))
    this.unit = {
      amount: this.unitOf('substance', model.units.extent ?? model.units.substance, [0, 0, 0, 0, 0, 1, 0], 1, 'mole'),
      size: this.unitOf('volume', model.compartments[0]?.units ?? model.units.volume, [3, 0, 0, 0, 0, 0, 0], 1e-3, 'litre'),
      time: this.unitOf('time', model.units.time, [0, 0, 1, 0, 0, 0, 0], 1, 'second'),
    }
  }

  private fail(code: string, span: Span | undefined, what: string, todo: string): void {
    const where = place({ file: this.model.file, line: 1, column: 1, ...span })
    this.problems.push({ code: `mechanism/${code}`, where, what, todo, ...(span ? { span } : {}) })
  }

  /** How many of our unit one unit of the model is. Not stated: taken as ours, said in a warning. */
  private unitOf(
    kind: 'substance' | 'volume' | 'time',
    stated: string | undefined,
    powers: readonly number[],
    ours: number,
    usual: string,
  ): number {
    const unit = stated ?? (this.model.level === 2 ? kind : undefined)
    const meaning = unit === undefined ? null : unitMeaning(this.model, unit)
    if (!meaning) {
      const what = `the file does not say its unit of ${kind}; ${usual} is taken`
      this.warnings.push({ code: 'mechanism/import-unit', where: this.model.file, what, todo: 'compare with the paper' })
      return 1
    }
    const isCount = kind === 'substance' && meaning.powers.every((p) => p === 0)
    if (isCount) return meaning.factor / AVOGADRO_OF_STANDARD
    if (meaning.powers.every((p, i) => p === powers[i])) return meaning.factor / ours
    this.fail('import-unit', undefined, `the unit of ${kind} ("${unit}") is no ${kind}`, `use one that can be converted to ${usual}`)
    return 1
  }

  private vessel(): void {
    const used = [...new Set(this.model.species.map((s) => s.compartment))]
    if (used.length > 1) {
      this.fail(
        'import-compartments',
        undefined,
        `species stand in ${used.length} compartments (${used.join(', ')}); a mechanism has one vessel`,
        'import one phase',
      )
      return
    }
    const compartment = this.model.compartments.find((c) => c.id === used[0])
    if (!compartment) return
    if (this.rules.has(compartment.id) || this.model.rateRules.some((r) => r.symbol === compartment.id)) {
      this.fail('import-compartments', compartment.span, `the size of "${compartment.id}" changes`, 'a mechanism needs a constant volume')
      return
    }
    this.size = this.starts.get(compartment.id) ?? 1
    if (!(this.size > 0))
      this.fail('import-compartments', compartment.span, `the size of "${compartment.id}" is ${this.size}`, 'give a size above zero')
  }

  /** The parameter that is the temperature, or the one in kelvin that could be. */
  private temperature(): void {
    const named = this.options.temperature
    const inKelvin = this.model.parameters.filter((p) => {
      const meaning = p.units === undefined ? null : unitMeaning(this.model, p.units)
      return meaning !== null && meaning.factor === 1 && meaning.powers.every((power, i) => power === (i === 4 ? 1 : 0))
    })
    if (named === undefined) {
      const [likely] = inKelvin.filter((p) => [...this.initial.keys(), ...this.rules.keys()].some((id) => this.reads(id, p.id)))
      if (!likely) return
      const what = `constants of the file follow its parameter "${likely.id}" (${this.starts.get(likely.id)} K); they are kept at that temperature`
      this.warnings.push({
        code: 'mechanism/import-temperature',
        where: place(likely.span),
        what,
        todo: `say that "${likely.id}" is the temperature`,
        span: likely.span,
      })
      return
    }
    const parameter = this.model.parameters.find((p) => p.id === named)
    if (!parameter) {
      const hint = suggestion(
        named,
        this.model.parameters.map((p) => p.id),
      )
      this.fail(
        'import-temperature',
        undefined,
        `the file has no parameter "${named}" that could be the temperature`,
        hint || 'name one of its parameters',
      )
    } else if (parameter.units !== undefined && !inKelvin.includes(parameter)) {
      this.fail(
        'import-temperature',
        parameter.span,
        `the parameter "${named}" has the unit "${parameter.units}", not kelvin`,
        'give the file a temperature in kelvin',
      )
    }
  }
  /** Whether the value of a symbol is computed from another, directly or through rules and initial assignments. */
  private reads(id: string, other: string): boolean {
    const key = `${id} ${other}`
    const before = this.readBefore.get(key)
    if (before !== undefined) return before
    const math = this.rules.get(id) ?? this.initial.get(id)
    let found = false
    if (math) eachNode(math, (node) => (found ||= node.op === 'name' && (node.id === other || this.reads(node.id, other))))
    this.readBefore.set(key, found)
    return found
  }
  /** Value, activation and reference of k exp(-(E/R)(1/T - 1/Tref)) as our own export writes it; null for any other formula. */
  private arrhenius(math: MathNode): Pick<RateConstant, 'value' | 'activationKJPerMol' | 'referenceK'> | null {
    const [k, power] = argsOf(math, 'mul')
    const [product] = argsOf(argsOf(power, 'exp')[0], 'neg')
    const [slope, difference] = argsOf(product, 'mul')
    const [here, there] = argsOf(difference, 'sub')
    const [, temperature] = argsOf(here, 'div')
    const [, reference] = argsOf(there, 'div')
    const isIt = temperature?.op === 'name' && temperature.id === this.options.temperature
    if (!isIt || k?.op !== 'number' || slope?.op !== 'number' || reference?.op !== 'number') return null
    if (!isNumberOne(argsOf(here, 'div')[0]) || !isNumberOne(argsOf(there, 'div')[0])) return null
    return { value: k.value, activationKJPerMol: (slope.value * GAS_CONSTANT) / 1000, referenceK: reference.value }
  }

  private refuseOthers(): void {
    const { model } = this
    for (const e of model.events)
      this.fail('import-event', e.span, `the event "${e.id}" cannot stand in a mechanism`, 'make it a pour of the demonstration')
    for (const r of model.rateRules) {
      if (r.symbol === this.options.temperature) {
        const what = `the file's own heat balance of "${r.symbol}" is not kept; the demonstration has its own`
        this.warnings.push({ code: 'mechanism/import-left-out', where: place(r.span), what, todo: 'nothing', span: r.span })
        continue
      }
      this.fail('import-rule', r.span, `"${r.symbol}" follows a rate rule, not reactions`, 'write its change as reactions')
    }
    for (const s of model.species) {
      if (this.rules.has(s.id))
        this.fail('import-rule', s.span, `the species "${s.id}" follows an assignment rule`, 'remove the species or write reactions')
    }
    for (const c of model.constraints) {
      const what = `a constraint is not kept${c.message === '' ? '' : `: ${c.message}`}`
      this.warnings.push({ code: 'mechanism/import-left-out', where: place(c.span), what, todo: 'watch for it', span: c.span })
    }
    for (const id of Object.keys(this.options.species ?? {})) {
      if (this.species.has(id)) continue
      const hint = suggestion(id, [...this.species.keys()])
      this.fail('import-species', undefined, `the mapping names "${id}", which the file does not have`, hint || 'correct the mapping')
    }
  }

  private speciesList(): readonly MechanismSpecies[] {
    const taken = new Map<SpeciesId, string>()
    return this.model.species.map((s) => {
      const mapped = this.options.species?.[s.id]
      const id = mapped?.id ?? s.name ?? s.id
      const before = taken.get(id)
      if (before !== undefined)
        this.fail('import-species', s.span, `"${before}" and "${s.id}" would both be "${id}"`, 'map them to different substances')
      if (/[[\]]/.test(id) || id === '') this.fail('import-species', s.span, `"${id}" cannot name a species`, 'map it to a substance')
      taken.set(id, s.id)
      this.ids.set(s.id, id)
      return {
        id,
        name: s.name ?? s.id,
        composition: mapped?.composition ?? null,
        charge: mapped?.charge ?? 0,
        role: s.boundaryCondition || s.constant ? 'held' : 'dynamic',
        ...(mapped?.startsFrom ? { startsFrom: mapped.startsFrom } : {}),
      }
    })
  }

  /** Concentration unit of the model in mol/L. */
  private get concentrationUnit(): number {
    return this.unit.amount / this.unit.size
  }
  private expression(node: MathNode, reaction: ExchangeReaction, constants: Map<string, RateConstant>): Expression {
    const inner = (n: MathNode): Expression => this.expression(n, reaction, constants)
    const cannot = (what: string): Expression => {
      this.fail(
        'import-law',
        reaction.span,
        `the rate law of "${reaction.id}" holds ${what}, which a mechanism cannot`,
        'write the law otherwise',
      )
      return num(Number.NaN)
    }
    if (++this.parts > MOST_PARTS) {
      return this.parts === MOST_PARTS + 1 ? cannot(`more than ${MOST_PARTS} parts once its rules are written out`) : num(Number.NaN)
    }
    switch (node.op) {
      case 'number':
        return node.value >= 0
          ? num(node.value)
          : Number.isNaN(node.value)
            ? cannot('a value that is no number')
            : { op: 'neg', a: num(-node.value) }
      case 'name':
        return this.named(node.id, reaction, constants)
      case 'time':
        return cannot('the time itself')
      case 'rate-of':
      case 'call':
        return cannot(`"${node.op}"`)
      case 'add':
      case 'sub':
      case 'pow':
      case 'min':
      case 'max':
        return { op: node.op, a: inner(node.args[0]!), b: inner(node.args[1]!) }
      case 'mul':
        return times(inner(node.args[0]!), inner(node.args[1]!))
      case 'div':
        return over(inner(node.args[0]!), inner(node.args[1]!))
      case 'neg':
      case 'sqrt':
      case 'exp':
      case 'ln':
      case 'log10':
        return { op: node.op, a: inner(node.args[0]!) }
      case 'root':
        return { op: 'pow', a: inner(node.args[0]!), b: over(num(1), inner(node.args[1]!)) }
      case 'abs': {
        const a = inner(node.args[0]!)
        return { op: 'max', a, b: { op: 'neg', a } }
      }
      default:
        return cannot(`"${node.op}"`)
    }
  }

  private named(id: string, reaction: ExchangeReaction, constants: Map<string, RateConstant>): Expression {
    const species = this.species.get(id)
    if (species) {
      const ours: Expression = { op: 'concentration', species: this.ids.get(id) ?? id }
      const theirs = over(ours, num(this.concentrationUnit))
      return this.assembled.concentrations.has(id) ? theirs : times(theirs, num(this.size))
    }
    const { temperature } = this.options
    if (id === temperature) return { op: 'temperature' }
    const follows = temperature !== undefined && this.reads(id, temperature)
    const formula = this.rules.get(id) ?? (follows ? this.initial.get(id) : undefined)
    const known = formula ? this.arrhenius(formula) : null
    if (formula && !known) return this.expression(formula, reaction, constants)
    if (this.model.compartments.some((c) => c.id === id)) return num(this.starts.get(id) ?? Number.NaN)
    if (this.model.reactions.some((r) => r.id === id)) {
      this.fail('import-law', reaction.span, `the rate law of "${reaction.id}" reads the rate of "${id}"`, 'write the law out')
      return num(Number.NaN)
    }
    const value = this.starts.get(id) ?? Number.NaN
    if (!Number.isFinite(value))
      this.fail('import-law', reaction.span, `"${id}" in the rate law of "${reaction.id}" has no value`, 'give it one')
    const short = id.slice(id.indexOf('.') + 1)
    const name = reservedNames.includes(short) || !/^[A-Za-z]/.test(short) ? `k_${short}` : short
    const parameter = [...this.model.parameters, ...reaction.locals].find((p) => p.id === id)
    constants.set(name, {
      name,
      value,
      ...known,
      unit: '1',
      written: `${value}${parameter?.units === undefined ? ', no unit stated' : ` ${parameter.units}`}`,
      activationKJPerMol: known?.activationKJPerMol ?? null,
      status: 'assumed',
      seen: 'read',
      sources: [SOURCE],
      note: 'in the unit of the file; the law converts',
    })
    return { op: 'constant', name }
  }

  private terms(list: ExchangeReaction['reactants'], reaction: ExchangeReaction): readonly Term[] {
    return list.map((p) => {
      const isRuled = p.id !== undefined && (this.rules.has(p.id) || this.model.rateRules.some((r) => r.symbol === p.id))
      const coefficient = p.id === undefined ? p.stoichiometry : (this.starts.get(p.id) ?? p.stoichiometry)
      if (p.formula || isRuled || !Number.isFinite(coefficient)) {
        this.fail(
          'import-stoichiometry',
          reaction.span,
          `the stoichiometry of "${p.species}" in "${reaction.id}" is not a fixed number`,
          'split the reaction',
        )
      }
      const factor = this.species.get(p.species)?.conversionFactor ?? this.model.conversionFactor
      return {
        species: this.ids.get(p.species) ?? p.species,
        coefficient: coefficient * (factor === undefined ? 1 : (this.starts.get(factor) ?? 1)),
      }
    })
  }

  private steps(): readonly Step[] {
    return this.model.reactions.flatMap((reaction): readonly Step[] => {
      if (!reaction.law) {
        this.fail('exchange-no-law', reaction.span, `the reaction "${reaction.id}" has no rate law`, 'add a kinetic law')
        return []
      }
      const [reactants, products] = [this.terms(reaction.reactants, reaction), this.terms(reaction.products, reaction)]
      const net = reaction.reversible ? splitNet(reaction.law) : null
      const forward = this.step(reaction, reaction.id, net ? net[0] : reaction.law, reactants, products)
      return net ? [forward, this.step(reaction, `${reaction.id}-back`, net[1], products, reactants)] : [forward]
    })
  }
  private step(reaction: ExchangeReaction, id: string, law: MathNode, reactants: readonly Term[], products: readonly Term[]): Step {
    const constants = new Map<string, RateConstant>()
    this.parts = 0
    const extentPerTime = this.expression(law, reaction, constants)
    // mol/L/s = extent/time of the file, over its volume, times its concentration unit, over its time unit
    const expression = times(over(extentPerTime, num(this.size)), num(this.concentrationUnit / this.unit.time))
    const side = (terms: readonly Term[]): string =>
      terms.map((t) => (t.coefficient === 1 ? t.species : `${t.coefficient} ${t.species}`)).join(' + ') || 'nothing'
    return {
      id,
      equation: `${side(reactants)} -> ${side(products)}`,
      reactants,
      products,
      reversible: false,
      law: { kind: 'expression', text: printExpression(expression), expression },
      constants: [...constants.values()],
      lumped: `imported from ${this.model.file}; its balance of atoms is not known`,
      ...(reaction.name === undefined ? {} : { note: reaction.name }),
      span: reaction.span,
    }
  }

  result(): ImportedMechanism {
    this.vessel()
    this.refuseOthers()
    this.temperature()
    const species = this.speciesList()
    const steps = this.steps()
    const { options, model } = this
    const molPerL = Object.fromEntries(
      model.species.flatMap((s): readonly (readonly [string, number])[] => {
        const amount = this.starts.get(s.id)
        return amount === undefined || Number.isNaN(amount) ? [] : [[this.ids.get(s.id)!, (amount / this.size) * this.concentrationUnit]]
      }),
    )
    const mechanism: Mechanism = {
      name: options.name,
      title: model.name ?? model.id,
      overall: '',
      referenceK: options.referenceK,
      grade: options.grade ?? 'remembered',
      validK: options.validK ?? [options.referenceK, options.referenceK],
      species,
      steps,
      absorbers: {},
      faults: [],
      bands: [],
      sources: { [SOURCE]: { cite: options.cite, access: `file ${model.file}` } },
      netReactions: [],
      notes: [`Imported from ${model.file} (SBML Level ${model.level} Version ${model.version}).`],
    }
    return { mechanism, molPerL }
  }
}

/** Operands of a node if it is that operation; none otherwise. */
function argsOf(node: MathNode | undefined, op: MathNode['op']): readonly MathNode[] {
  return node !== undefined && node.op === op && 'args' in node ? node.args : []
}
const isNumberOne = (node: MathNode | undefined): boolean => node?.op === 'number' && node.value === 1

/** f and b of a law f - b, also behind common factors; null where the law is not a difference. */
function splitNet(law: MathNode): readonly [MathNode, MathNode] | null {
  if (!('args' in law) || law.op === 'call') return null
  const [a, b] = law.args
  if (!a || !b) return null
  if (law.op === 'sub') return [a, b]
  if (law.op !== 'mul' && law.op !== 'div') return null
  const left = splitNet(a)
  if (left)
    return [
      { op: law.op, args: [left[0], b] },
      { op: law.op, args: [left[1], b] },
    ]
  const right = law.op === 'mul' ? splitNet(b) : null
  return (
    right && [
      { op: 'mul', args: [a, right[0]] },
      { op: 'mul', args: [a, right[1]] },
    ]
  )
}

/** The model as a mechanism, or everything in it that a mechanism cannot hold. */
export function mechanismOf(model: ExchangeModel, options: ImportOptions): Outcome<ImportedMechanism> {
  const assembled = assemble(model)
  if (!assembled.ok) return assembled
  const work = new Import(model, assembled.value, options)
  const result = work.result()
  return work.problems.length > 0 ? refuse(...work.problems) : done(result, work.warnings)
}

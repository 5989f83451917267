/**
 * ExchangeModel -> one tape with everything that is computed while it runs, and one for the start.
 *
 * Quantities that may be set stand as inputs of the running tape: `states` change continuously (amounts of species that
 * reactions change, targets of rate rules), `kept` values change only by events. A species that is an amount behind a
 * concentration keeps its amount when its compartment changes (Level 3 Version 2 Core, section 4.6).
 */
import { done, type Outcome, place, type Problem, refuse, type Span } from '@beakertide/basis/problems'
import type { ExchangeModel, ExchangeParticipant, ExchangeReaction, ExchangeSpecies } from './exchange-model.ts'
import type { MathNode } from './math-tree.ts'
import { type Tape, TapeBuilder } from './tape.ts'

/** What an input holds for its symbol. */
export type Held = 'value' | 'amount'

export interface Quantity {
  readonly symbol: string
  readonly holds: Held
  /** Input on the running tape. */
  readonly input: number
}

export interface AssembledEvent {
  readonly id: string
  /** Node; -1: never. */
  readonly trigger: number
  readonly initialValue: boolean
  readonly persistent: boolean
  readonly valuesFromTrigger: boolean
  /** Nodes; -1: none. */
  readonly delay: number
  readonly priority: number
  readonly assignments: readonly { readonly symbol: string; readonly node: number }[]
}

export interface Assembled {
  readonly model: ExchangeModel
  readonly tape: Tape
  readonly timeInput: number
  readonly states: readonly Quantity[]
  /** Node of the rate of each state, per unit of time. */
  readonly stateRates: readonly number[]
  readonly kept: readonly Quantity[]
  /** Start of each state and kept value, same order. */
  readonly startOfStates: readonly number[]
  readonly startOfKept: readonly number[]
  /** Node of every symbol's value as a formula sees it. */
  readonly valueNodes: ReadonlyMap<string, number>
  /** Nodes of the amount of each species and the size of its compartment (a node of 1 where there is none). */
  readonly amountNodes: ReadonlyMap<string, number>
  readonly sizeNodes: ReadonlyMap<string, number>
  readonly reactionNodes: ReadonlyMap<string, number>
  /** Species whose symbol is a concentration. */
  readonly concentrations: ReadonlySet<string>
  readonly events: readonly AssembledEvent[]
  readonly constraints: readonly { readonly node: number; readonly message: string; readonly span: Span }[]
}

/** Rules that refer to one another may make a chain this long, and formulas along it may nest this deep together. */
const DEEPEST = 400
const DEEPEST_NESTING = 1200

type Symbol_ =
  | { readonly kind: 'species'; readonly species: ExchangeSpecies }
  | { readonly kind: 'compartment' | 'parameter'; readonly given: number }
  | { readonly kind: 'participant'; readonly participant: ExchangeParticipant }
  | { readonly kind: 'reaction'; readonly reaction: ExchangeReaction }

/** What both the start and the running model need to know of the model. */
class Facts {
  readonly model: ExchangeModel
  readonly symbols = new Map<string, Symbol_>()
  readonly assigned: ReadonlyMap<string, MathNode>
  readonly rated: ReadonlyMap<string, MathNode>
  readonly starts: ReadonlyMap<string, MathNode>
  private readonly dimensions = new Map<string, number | null>()
  private readonly sizeless = new Set<string>()
  /** Species -> what changes it. */
  readonly changedBy = new Map<
    string,
    { readonly reaction: ExchangeReaction; readonly participant: ExchangeParticipant; readonly sign: 1 | -1 }[]
  >()

  constructor(model: ExchangeModel) {
    this.model = model
    this.assigned = new Map(model.assignmentRules.map((r) => [r.symbol, r.math]))
    this.rated = new Map(model.rateRules.map((r) => [r.symbol, r.math]))
    this.starts = new Map(model.initialAssignments.map((a) => [a.symbol, a.math]))
    for (const c of model.compartments) {
      this.symbols.set(c.id, { kind: 'compartment', given: c.size })
      this.dimensions.set(c.id, c.dimensions)
      const isGoverned = this.assigned.has(c.id) || this.rated.has(c.id) || this.starts.has(c.id)
      if (c.dimensions === 0 && Number.isNaN(c.size) && !isGoverned) this.sizeless.add(c.id)
    }
    for (const p of model.parameters) this.symbols.set(p.id, { kind: 'parameter', given: p.value })
    for (const species of model.species) this.symbols.set(species.id, { kind: 'species', species })
    for (const reaction of model.reactions) {
      this.symbols.set(reaction.id, { kind: 'reaction', reaction })
      for (const p of reaction.locals) this.symbols.set(p.id, { kind: 'parameter', given: p.value })
      for (const [list, sign] of [
        [reaction.reactants, -1],
        [reaction.products, 1],
      ] as const) {
        for (const participant of list) {
          if (participant.id !== undefined) this.symbols.set(participant.id, { kind: 'participant', participant })
          this.noteChange(reaction, participant, sign)
        }
      }
    }
  }
  private noteChange(reaction: ExchangeReaction, participant: ExchangeParticipant, sign: 1 | -1): void {
    const found = this.symbols.get(participant.species)
    if (found?.kind !== 'species' || found.species.boundaryCondition || found.species.constant) return
    const list = this.changedBy.get(participant.species) ?? []
    list.push({ reaction, participant, sign })
    this.changedBy.set(participant.species, list)
  }
  /** Whether the species' symbol is its amount: by declaration, or because its compartment has no size. */
  isAmount(species: ExchangeSpecies): boolean {
    return species.hasOnlySubstanceUnits || this.sizeless.has(species.compartment)
  }
  isSizeless(compartment: string): boolean {
    return this.sizeless.has(compartment)
  }
}

/** A formula that cannot be entered; caught where the model as a whole is refused. */
interface Fault {
  readonly code: string
  readonly what: string
  readonly todo: string
}

/** Enters formulas into a tape; the start and the running model differ in where a symbol's value comes from. */
abstract class Entering {
  readonly builder = new TapeBuilder()
  readonly timeInput: number
  readonly faults: Fault[] = []
  protected readonly facts: Facts
  private readonly open: string[] = []
  private nesting = 0
  private readonly known = new Map<string, number>()
  private readonly entered = new Map<MathNode, number>()

  constructor(facts: Facts) {
    this.facts = facts
    // no identifier holds a blank
    this.timeInput = this.builder.input('the time')
  }

  /** The value of a symbol where nothing is said by `computed`. */
  protected abstract valueOf(id: string, symbol: Symbol_): number
  /** Amount of a species. */
  protected abstract amountOf(species: ExchangeSpecies): number

  fail(code: string, what: string, todo: string): number {
    if (!this.faults.some((f) => f.what === what)) this.faults.push({ code, what, todo })
    return this.builder.number(Number.NaN)
  }

  private tooDeep(): number {
    const what = `more than ${DEEPEST} rules refer to one another in a chain, or their formulas nest more than ${DEEPEST_NESTING} deep together`
    return this.fail('exchange-too-large', what, 'shorten the chain')
  }

  /** One computation a key, guarded against circles. */
  protected once(key: string, what: string, make: () => number): number {
    const before = this.known.get(key)
    if (before !== undefined) return before
    if (this.open.includes(what)) {
      const circle = [...this.open.slice(this.open.indexOf(what)), what].join(' -> ')
      return this.fail('exchange-circle', `values depend on themselves: ${circle}`, 'break the circle; equations to be solved are not read')
    }
    if (this.open.length > DEEPEST) return this.tooDeep()
    this.open.push(what)
    const node = make()
    this.open.pop()
    this.known.set(key, node)
    return node
  }

  formula(math: MathNode): number {
    const before = this.entered.get(math)
    if (before !== undefined) return before
    if (this.nesting > DEEPEST_NESTING) return this.tooDeep()
    this.nesting++
    const node = this.enter(math)
    this.nesting--
    this.entered.set(math, node)
    return node
  }
  private enter(math: MathNode): number {
    switch (math.op) {
      case 'number':
        return this.builder.number(math.value)
      case 'name':
        return this.symbol(math.id)
      case 'time':
        return this.timeInput
      case 'rate-of':
        return this.rateOf(math.id)
      case 'call':
        return this.fail('exchange-unknown', `the function "${math.id}" was not written out`, 'report this')
      default: {
        const [a, b, c] = math.args.map((arg) => this.formula(arg))
        return this.builder.apply(math.op, a ?? this.builder.number(Number.NaN), b, c)
      }
    }
  }

  symbol(id: string): number {
    return this.once(`value ${id}`, id, () => {
      const symbol = this.facts.symbols.get(id)
      if (!symbol) return this.fail('exchange-unknown', `there is no "${id}"`, 'define it')
      if (symbol.kind === 'reaction') return this.reactionRate(symbol.reaction)
      return this.valueOf(id, symbol)
    })
  }

  /** Size of a species' compartment; 1 where it has none. */
  sizeOf(species: ExchangeSpecies): number {
    return this.facts.isSizeless(species.compartment) ? this.builder.number(1) : this.symbol(species.compartment)
  }
  amount(species: ExchangeSpecies): number {
    return this.once(`amount ${species.id}`, `amount of ${species.id}`, () => this.amountOf(species))
  }
  protected asConcentration(species: ExchangeSpecies, amount: number): number {
    return this.facts.isAmount(species) ? amount : this.builder.apply('div', amount, this.sizeOf(species))
  }
  protected asAmount(species: ExchangeSpecies, value: number): number {
    return this.facts.isAmount(species) ? value : this.builder.apply('mul', value, this.sizeOf(species))
  }

  /** Extent per time. */
  reactionRate(reaction: ExchangeReaction): number {
    return this.once(`rate ${reaction.id}`, `rate of the reaction ${reaction.id}`, () => {
      if (reaction.law) return this.formula(reaction.law)
      return this.fail('exchange-no-law', `the reaction "${reaction.id}" has no rate law, but its rate is needed`, 'add a kinetic law')
    })
  }
  private stoichiometry(participant: ExchangeParticipant): number {
    if (participant.formula) return this.formula(participant.formula)
    return participant.id === undefined ? this.builder.number(participant.stoichiometry) : this.symbol(participant.id)
  }
  /** Change of a species' amount by reactions. */
  amountRate(species: ExchangeSpecies): number {
    return this.once(`amount rate ${species.id}`, `rate of ${species.id}`, () => {
      const factor = species.conversionFactor ?? this.facts.model.conversionFactor
      let sum = this.builder.number(0)
      for (const { reaction, participant, sign } of this.facts.changedBy.get(species.id) ?? []) {
        const turnover = this.builder.apply('mul', this.stoichiometry(participant), this.reactionRate(reaction))
        const change = factor === undefined ? turnover : this.builder.apply('mul', this.symbol(factor), turnover)
        sum = this.builder.apply(sign === 1 ? 'add' : 'sub', sum, change)
      }
      return sum
    })
  }

  /** Rate of change of a symbol's value (section 3.4.6). */
  rateOf(id: string): number {
    const symbol = this.facts.symbols.get(id)
    return this.once(`change ${id}`, `change of ${id}`, () => {
      const rule = this.facts.rated.get(id)
      if (rule) return this.formula(rule)
      if (this.facts.assigned.has(id)) {
        return this.fail(
          'exchange-rate-of',
          `the rate of change of "${id}" is asked for, which an assignment rule governs`,
          'the standard excludes this',
        )
      }
      if (symbol?.kind === 'reaction') {
        return this.fail('exchange-rate-of', `the rate of change of the reaction "${id}" is asked for`, 'the standard excludes this')
      }
      if (symbol?.kind !== 'species') return this.builder.number(0)
      return this.rateOfSpecies(symbol.species)
    })
  }
  /** (n/V)' = (n' - (n/V) V')/V; of an amount n'. */
  private rateOfSpecies(species: ExchangeSpecies): number {
    const change = this.amountRate(species)
    if (this.facts.isAmount(species)) return change
    if (this.facts.assigned.has(species.compartment)) {
      const what = `the rate of change of the concentration of "${species.id}" is asked for, whose compartment an assignment rule governs`
      return this.fail('exchange-rate-of', what, 'ask for the rate of an amount')
    }
    const dilution = this.builder.apply('mul', this.symbol(species.id), this.rateOf(species.compartment))
    return this.builder.apply('div', this.builder.apply('sub', change, dilution), this.sizeOf(species))
  }
}

/** Values at time zero: attributes, overridden by initial assignments and assignment rules. */
class Starting extends Entering {
  protected valueOf(id: string, symbol: Symbol_): number {
    const set = this.facts.starts.get(id) ?? this.facts.assigned.get(id)
    if (set) return this.formula(set)
    if (symbol.kind === 'species') return this.given(symbol.species, 'value')
    if (symbol.kind === 'participant') {
      return symbol.participant.formula ? this.formula(symbol.participant.formula) : this.builder.number(symbol.participant.stoichiometry)
    }
    return this.builder.number(symbol.kind === 'reaction' ? Number.NaN : symbol.given)
  }
  protected amountOf(species: ExchangeSpecies): number {
    const isSet = this.facts.starts.has(species.id) || this.facts.assigned.has(species.id)
    return isSet ? this.asAmount(species, this.symbol(species.id)) : this.given(species, 'amount')
  }
  private given(species: ExchangeSpecies, wanted: Held): number {
    const { initialAmount, initialConcentration } = species
    if (initialConcentration !== undefined) {
      const concentration = this.builder.number(initialConcentration)
      const wantsConcentration = wanted === 'value' && !this.facts.isAmount(species)
      return wantsConcentration ? concentration : this.builder.apply('mul', concentration, this.sizeOf(species))
    }
    const amount = this.builder.number(initialAmount ?? Number.NaN)
    return wanted === 'amount' ? amount : this.asConcentration(species, amount)
  }
}

/** Values while time passes. */
class Running extends Entering {
  readonly states: Quantity[] = []
  readonly kept: Quantity[] = []

  private input(symbol: string, holds: Held, isState: boolean): number {
    const input = this.builder.input(symbol)
    ;(isState ? this.states : this.kept).push({ symbol, holds, input })
    return input
  }
  protected valueOf(id: string, symbol: Symbol_): number {
    const rule = this.facts.assigned.get(id)
    if (rule) return this.formula(rule)
    if (this.facts.rated.has(id)) return this.input(id, 'value', true)
    if (symbol.kind === 'species') return this.asConcentration(symbol.species, this.amount(symbol.species))
    return this.input(id, 'value', false)
  }
  protected amountOf(species: ExchangeSpecies): number {
    const isRuled = this.facts.assigned.has(species.id) || this.facts.rated.has(species.id)
    if (isRuled) return this.asAmount(species, this.symbol(species.id))
    return this.input(species.id, 'amount', this.facts.changedBy.has(species.id))
  }
}

function startValue(start: Starting, facts: Facts, quantity: Quantity): number {
  const symbol = facts.symbols.get(quantity.symbol)
  return quantity.holds === 'amount' && symbol?.kind === 'species' ? start.amount(symbol.species) : start.symbol(quantity.symbol)
}

/** Enters the whole model. Circles and what cannot be expressed are problems. */
export function assemble(model: ExchangeModel): Outcome<Assembled> {
  const facts = new Facts(model)
  const running = new Running(facts)
  const valueNodes = new Map<string, number>()
  const amountNodes = new Map<string, number>()
  const sizeNodes = new Map<string, number>()
  const reactionNodes = new Map<string, number>()
  for (const [id, symbol] of facts.symbols) {
    if (symbol.kind === 'reaction') {
      const isUsed = [...symbol.reaction.reactants, ...symbol.reaction.products].some((p) => facts.changedBy.has(p.species))
      if (symbol.reaction.law || isUsed) reactionNodes.set(id, running.reactionRate(symbol.reaction))
      continue
    }
    valueNodes.set(id, running.symbol(id))
    if (symbol.kind !== 'species') continue
    amountNodes.set(id, running.amount(symbol.species))
    sizeNodes.set(id, running.sizeOf(symbol.species))
  }
  const node = (math: MathNode | undefined): number => (math ? running.formula(math) : -1)
  const events = model.events.map((event) => ({
    id: event.id,
    trigger: node(event.trigger),
    initialValue: event.initialValue,
    persistent: event.persistent,
    valuesFromTrigger: event.useValuesFromTriggerTime,
    delay: node(event.delay),
    priority: node(event.priority),
    assignments: event.assignments.map((a) => ({ symbol: a.symbol, node: running.formula(a.math) })),
  }))
  const constraints = model.constraints.map((c) => ({ node: running.formula(c.math), message: c.message, span: c.span }))
  const stateRates = running.states.map(({ symbol, holds }) => {
    const found = facts.symbols.get(symbol)
    return holds === 'amount' && found?.kind === 'species' ? running.amountRate(found.species) : running.rateOf(symbol)
  })

  const start = new Starting(facts)
  const all = [...running.states, ...running.kept]
  const startNodes = all.map((quantity) => startValue(start, facts, quantity))
  const faults = [...running.faults, ...start.faults]
  if (faults.length > 0) {
    const where = place({ file: model.file, line: 1, column: 1 })
    return refuse(...faults.map((f): Problem => ({ code: `mechanism/${f.code}`, where, what: f.what, todo: f.todo })))
  }
  const startTape = start.builder.tape()
  startTape.set(start.timeInput, 0)
  startTape.run(startTape.programFor(startNodes))
  const starts = startNodes.map((n) => startTape.values[n]!)
  return done({
    model,
    tape: running.builder.tape(),
    timeInput: running.timeInput,
    states: running.states,
    stateRates,
    kept: running.kept,
    startOfStates: starts.slice(0, running.states.length),
    startOfKept: starts.slice(running.states.length),
    valueNodes,
    amountNodes,
    sizeNodes,
    reactionNodes,
    concentrations: new Set(model.species.filter((species) => !facts.isAmount(species)).map((species) => species.id)),
    events,
    constraints,
  })
}

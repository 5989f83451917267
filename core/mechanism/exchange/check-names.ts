/** Every identifier stands once, every name used exists and may be used there, nothing is governed twice. */
import { place, type Problem, type Span, suggestion } from '@beakertide/basis/problems'
import type { ExchangeModel } from './exchange-model.ts'
import { eachNode, type MathNode } from './math-tree.ts'

const SID = /^[A-Za-z_][A-Za-z0-9_]*$/

class NameCheck {
  readonly problems: Problem[] = []
  private readonly model: ExchangeModel
  private readonly known = new Map<string, 'compartment' | 'species' | 'parameter' | 'reaction' | 'participant' | 'local'>()
  private readonly fixed = new Set<string>()

  constructor(model: ExchangeModel) {
    this.model = model
  }
  private fail(code: string, span: Span, what: string, todo: string): void {
    this.problems.push({ code: `mechanism/${code}`, where: place(span), what, todo, span })
  }
  private add(id: string, kind: 'compartment' | 'species' | 'parameter' | 'reaction' | 'participant', span: Span, fixed: boolean): void {
    if (!SID.test(id))
      this.fail('exchange-name', span, `"${id}" is no identifier of this standard`, 'letters, digits and "_", no digit first')
    if (this.known.has(id)) this.fail('exchange-twice', span, `"${id}" stands for two things`, 'rename one')
    this.known.set(id, kind)
    if (fixed) this.fixed.add(id)
  }

  private unknown(id: string, span: Span, what: string): void {
    const names = [...this.known.keys()].filter((n) => !n.includes('.'))
    this.fail('exchange-unknown', span, `${what} names "${id}", which the model does not have`, suggestion(id, names) || 'define it')
  }
  private formula(math: MathNode, span: Span, what: string): void {
    const said = new Set<string>()
    eachNode(math, (node) => {
      if ((node.op !== 'name' && node.op !== 'rate-of') || said.has(node.id) || this.known.has(node.id)) return
      said.add(node.id)
      this.unknown(node.id, span, what)
    })
  }
  /** A symbol that may be governed by a rule or changed by an event. */
  private target(id: string, span: Span, what: string, mayBeFixed: boolean): void {
    const kind = this.known.get(id)
    if (kind === undefined) this.unknown(id, span, what)
    else if (kind === 'reaction' || kind === 'local') this.fail('exchange-target', span, `${what} sets "${id}", a ${kind}`, 'set another')
    else if (this.fixed.has(id) && !mayBeFixed) {
      this.fail('exchange-constant', span, `${what} changes "${id}", which is declared constant`, `write constant="false" on it`)
    }
  }

  check(): readonly Problem[] {
    const { model } = this
    for (const c of model.compartments) this.add(c.id, 'compartment', c.span, c.constant)
    for (const s of model.species) this.add(s.id, 'species', s.span, s.constant)
    for (const p of model.parameters) this.add(p.id, 'parameter', p.span, p.constant)
    for (const reaction of model.reactions) {
      this.add(reaction.id, 'reaction', reaction.span, true)
      for (const p of [...reaction.reactants, ...reaction.products]) {
        if (p.id !== undefined) this.add(p.id, 'participant', reaction.span, p.constant)
      }
    }
    for (const reaction of model.reactions) {
      const met = new Set<string>()
      for (const local of reaction.locals) {
        if (met.has(local.id))
          this.fail('exchange-twice', local.span, `"${local.id.split('.').at(-1)}" stands twice in one rate law`, 'rename one')
        met.add(local.id)
        this.known.set(local.id, 'local')
      }
    }
    this.references()
    this.governed()
    return this.problems
  }

  private references(): void {
    const { model } = this
    const expect = (id: string | undefined, kind: string, span: Span, what: string): void => {
      if (id === undefined || this.known.get(id) === kind) return
      if (this.known.has(id)) this.fail('exchange-target', span, `${what} names "${id}", which is no ${kind}`, `name a ${kind}`)
      else this.unknown(id, span, what)
    }
    for (const s of model.species) {
      expect(s.compartment, 'compartment', s.span, `the species "${s.id}"`)
      expect(s.conversionFactor, 'parameter', s.span, `the conversion factor of "${s.id}"`)
    }
    const first = model.compartments[0]?.span ?? model.species[0]?.span ?? { line: 1, column: 1 }
    expect(model.conversionFactor, 'parameter', first, 'the conversion factor of the model')
    const isConstant = new Map(model.species.map((s) => [s.id, s.constant && !s.boundaryCondition]))
    for (const reaction of model.reactions) {
      for (const p of [...reaction.reactants, ...reaction.products]) {
        expect(p.species, 'species', reaction.span, `the reaction "${reaction.id}"`)
        if (isConstant.get(p.species) === true) {
          const what = `the reaction "${reaction.id}" changes "${p.species}", which is declared constant`
          this.fail('exchange-constant', reaction.span, what, 'write boundaryCondition="true" on it if it is to stay')
        }
        if (p.formula) this.formula(p.formula, reaction.span, `a stoichiometry of "${reaction.id}"`)
      }
      for (const m of reaction.modifiers) expect(m, 'species', reaction.span, `the reaction "${reaction.id}"`)
      if (reaction.law) this.formula(reaction.law, reaction.span, `the rate law of "${reaction.id}"`)
    }
  }

  private governed(): void {
    const { model } = this
    const by = new Map<string, string>()
    for (const [list, what] of [
      [model.assignmentRules, 'an assignment rule'],
      [model.rateRules, 'a rate rule'],
    ] as const) {
      for (const rule of list) {
        this.target(rule.symbol, rule.span, what, false)
        this.formula(rule.math, rule.span, `${what} for "${rule.symbol}"`)
        if (by.has(rule.symbol)) this.fail('exchange-twice', rule.span, `"${rule.symbol}" is governed by two rules`, 'keep one')
        by.set(rule.symbol, what)
      }
    }
    const free = new Set(model.species.filter((s) => !s.boundaryCondition).map((s) => s.id))
    for (const reaction of model.reactions) {
      for (const p of [...reaction.reactants, ...reaction.products]) {
        if (!free.has(p.species) || !by.has(p.species)) continue
        const what = `"${p.species}" is changed by the reaction "${reaction.id}" and governed by ${by.get(p.species)}`
        this.fail('exchange-twice', reaction.span, what, 'write boundaryCondition="true" on it or remove one')
      }
    }
    const initial = new Set<string>()
    for (const a of model.initialAssignments) {
      this.target(a.symbol, a.span, 'an initial assignment', true)
      this.formula(a.math, a.span, `the initial assignment of "${a.symbol}"`)
      if (initial.has(a.symbol) || by.get(a.symbol) === 'an assignment rule') {
        this.fail('exchange-twice', a.span, `the start of "${a.symbol}" is set twice`, 'keep one')
      }
      initial.add(a.symbol)
    }
    for (const event of model.events) {
      for (const [math, part] of [
        [event.trigger, 'trigger'],
        [event.delay, 'delay'],
        [event.priority, 'priority'],
      ] as const) {
        if (math) this.formula(math, event.span, `the ${part} of "${event.id}"`)
      }
      for (const a of event.assignments) {
        this.target(a.symbol, a.span, `the event "${event.id}"`, false)
        this.formula(a.math, a.span, `the event "${event.id}"`)
        if (by.get(a.symbol) === 'an assignment rule') {
          this.fail('exchange-twice', a.span, `the event "${event.id}" sets "${a.symbol}", which an assignment rule governs`, 'keep one')
        }
      }
    }
    for (const c of model.constraints) this.formula(c.math, c.span, 'a constraint')
  }
}

/** All faults of names in a model that has been read. */
export function checkNames(model: ExchangeModel): readonly Problem[] {
  return new NameCheck(model).check()
}

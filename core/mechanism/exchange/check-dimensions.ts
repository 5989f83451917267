/**
 * Do the units that a model states fit together? Rate laws must come out as extent a time, rules in the unit of their
 * symbol, sums of like with like. Only what is stated is checked: a number without unit may stand for any, and what it
 * multiplies is then not known. A mismatch is a warning; no number is changed (Level 3 Version 2 Core, section 3.3).
 */
import { place, type Problem, type Span } from '@beakertide/basis/problems'
import type { ExchangeModel } from './exchange-model.ts'
import type { MathNode } from './math-tree.ts'
import { type UnitMeaning, unitMeaning } from './unit-definitions.ts'

const pure: UnitMeaning = { factor: 1, powers: [0, 0, 0, 0, 0, 0, 0] }
const symbols = ['m', 'kg', 's', 'A', 'K', 'mol', 'cd']
/** Factors that differ less are the same unit, written otherwise. */
const SAME_FACTOR = 1e-9

const product = (a: UnitMeaning, b: UnitMeaning, sign: 1 | -1): UnitMeaning => ({
  factor: sign === 1 ? a.factor * b.factor : a.factor / b.factor,
  powers: a.powers.map((p, i) => p + sign * b.powers[i]!),
})
const raised = (a: UnitMeaning, power: number): UnitMeaning => ({ factor: a.factor ** power, powers: a.powers.map((p) => p * power) })
const fits = (a: UnitMeaning, b: UnitMeaning): boolean =>
  a.powers.every((p, i) => Math.abs(p - b.powers[i]!) < SAME_FACTOR) && Math.abs(a.factor / b.factor - 1) < SAME_FACTOR

/** "0.001 mol m^-3 s^-1" */
function words(unit: UnitMeaning): string {
  const powers = unit.powers.flatMap((p, i) => (p === 0 ? [] : [p === 1 ? symbols[i]! : `${symbols[i]}^${Number(p.toPrecision(6))}`]))
  const factor = Number(unit.factor.toPrecision(6))
  return [...(factor === 1 && powers.length > 0 ? [] : [String(factor)]), ...powers].join(' ')
}

class DimensionCheck {
  readonly problems: Problem[] = []
  private readonly model: ExchangeModel
  private readonly ofSymbol = new Map<string, UnitMeaning | null>()
  private readonly time: UnitMeaning | null
  private readonly extent: UnitMeaning | null

  constructor(model: ExchangeModel) {
    this.model = model
    const level2 = (name: string): string | undefined => (model.level === 2 ? name : undefined)
    const unit = (stated: string | undefined): UnitMeaning | null => (stated === undefined ? null : unitMeaning(model, stated))
    this.time = unit(model.units.time ?? level2('time'))
    this.extent = unit(model.units.extent ?? level2('substance'))
    const bySize: Readonly<Record<number, string | undefined>> = {
      3: model.units.volume ?? level2('volume'),
      2: model.units.area ?? level2('area'),
      1: model.units.length ?? level2('length'),
    }
    for (const c of model.compartments) this.ofSymbol.set(c.id, unit(c.units ?? (c.dimensions === null ? undefined : bySize[c.dimensions])))
    for (const s of model.species) {
      const substance = unit(s.substanceUnits ?? model.units.substance ?? level2('substance'))
      const size = this.ofSymbol.get(s.compartment) ?? null
      const dimensions = model.compartments.find((c) => c.id === s.compartment)?.dimensions
      const isAmount = s.hasOnlySubstanceUnits || dimensions === 0
      this.ofSymbol.set(s.id, isAmount || !substance ? substance : size && product(substance, size, -1))
    }
    for (const p of [...model.parameters, ...model.reactions.flatMap((r) => r.locals)]) this.ofSymbol.set(p.id, unit(p.units))
    for (const r of model.reactions) {
      this.ofSymbol.set(r.id, this.perTime(this.extent))
      for (const p of [...r.reactants, ...r.products]) if (p.id !== undefined) this.ofSymbol.set(p.id, pure)
    }
  }

  private perTime(unit: UnitMeaning | null): UnitMeaning | null {
    return unit && this.time && product(unit, this.time, -1)
  }
  private warn(span: Span, what: string): void {
    if (this.problems.some((p) => p.what === what)) return
    const where = place({ file: this.model.file, ...span })
    this.problems.push({
      code: 'mechanism/exchange-unit-mismatch',
      where,
      what,
      todo: 'compare with the paper; the numbers are taken as they stand',
      span,
    })
  }

  /** Unit of a formula; null where it is not known. */
  unitOf(node: MathNode, span: Span, what: string): UnitMeaning | null {
    const inner = (n: MathNode): UnitMeaning | null => this.unitOf(n, span, what)
    switch (node.op) {
      case 'number':
      case 'call':
        return null
      case 'name':
        return this.ofSymbol.get(node.id) ?? null
      case 'time':
        return this.time
      case 'rate-of':
        return this.perTime(this.ofSymbol.get(node.id) ?? null)
      default:
        break
    }
    const [a = null, b = null, c = null] = node.args.map(inner)
    switch (node.op) {
      case 'add':
      case 'sub':
      case 'min':
      case 'max':
      case 'rem':
        return this.alike(a, b, span, what)
      case 'lt':
      case 'leq':
      case 'gt':
      case 'geq':
      case 'eq':
      case 'neq':
        this.alike(a, b, span, what)
        return pure
      case 'choose':
        return this.alike(b, c, span, what)
      case 'mul':
      case 'div':
        return a && b && product(a, b, node.op === 'mul' ? 1 : -1)
      case 'neg':
      case 'abs':
      case 'floor':
      case 'ceiling':
        return a
      case 'sqrt':
        return a && raised(a, 1 / 2)
      case 'pow': {
        const exponent = node.args[1]
        return a && exponent?.op === 'number' ? raised(a, exponent.value) : null
      }
      default:
        return pure
    }
  }
  private alike(a: UnitMeaning | null, b: UnitMeaning | null, span: Span, what: string): UnitMeaning | null {
    if (a && b && !fits(a, b)) this.warn(span, `${what} sets a value in ${words(a)} beside one in ${words(b)}`)
    return a ?? b
  }
  private expect(math: MathNode, wanted: UnitMeaning | null, span: Span, what: string): void {
    const found = this.unitOf(math, span, what)
    if (found && wanted && !fits(found, wanted))
      this.warn(span, `${what} comes out in ${words(found)}; by the units stated it must be in ${words(wanted)}`)
  }

  check(): readonly Problem[] {
    const { model } = this
    for (const r of model.reactions) if (r.law) this.expect(r.law, this.perTime(this.extent), r.span, `the rate law of "${r.id}"`)
    for (const r of model.rateRules) {
      this.expect(r.math, this.perTime(this.ofSymbol.get(r.symbol) ?? null), r.span, `the rate rule of "${r.symbol}"`)
    }
    for (const r of [...model.assignmentRules, ...model.initialAssignments]) {
      this.expect(r.math, this.ofSymbol.get(r.symbol) ?? null, r.span, `the value of "${r.symbol}"`)
    }
    for (const e of model.events) {
      if (e.trigger) this.unitOf(e.trigger, e.span, `the trigger of "${e.id}"`)
      if (e.delay) this.expect(e.delay, this.time, e.span, `the delay of "${e.id}"`)
      for (const a of e.assignments) this.expect(a.math, this.ofSymbol.get(a.symbol) ?? null, a.span, `the event "${e.id}"`)
    }
    return this.problems
  }
}

/** Warnings for formulas whose stated units do not fit. */
export function checkDimensions(model: ExchangeModel): readonly Problem[] {
  return new DimensionCheck(model).check()
}

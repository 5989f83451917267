/**
 * Content MathML of the standard's subset (SBML Level 3 Version 2 Core, section 3.4) -> MathNode. Derived functions
 * (sec, implies, n-ary sums …) become the operations there are; anything unknown is a problem that names it.
 */
import { elementsOf, type XmlElement, textOf } from '@beakertide/basis/text'
import { place, type Problem, suggestion } from '@beakertide/basis/problems'
import { apply, type MathFunction, type MathNode, number } from './math-tree.ts'
import { givesTruth, type Operation } from './operations.ts'

export const MATHML = 'http://www.w3.org/1998/Math/MathML'
/** Value that the standard gives its symbol for the Avogadro constant, 1/mol (Level 3 Version 2 Core, section 3.4.6; CODATA 2006). */
export const AVOGADRO_OF_STANDARD = 6.02214179e23

const unary: Readonly<Record<string, Operation>> = {
  abs: 'abs',
  exp: 'exp',
  ln: 'ln',
  floor: 'floor',
  ceiling: 'ceiling',
  factorial: 'factorial',
  sin: 'sin',
  cos: 'cos',
  tan: 'tan',
  sinh: 'sinh',
  cosh: 'cosh',
  tanh: 'tanh',
  arcsin: 'arcsin',
  arccos: 'arccos',
  arctan: 'arctan',
  arcsinh: 'arcsinh',
  arccosh: 'arccosh',
  arctanh: 'arctanh',
}
/** 1/f(x). */
const reciprocals: Readonly<Record<string, Operation>> = { sec: 'cos', csc: 'sin', cot: 'tan', sech: 'cosh', csch: 'sinh', coth: 'tanh' }
/** f(1/x). */
const ofReciprocal: Readonly<Record<string, Operation>> = {
  arcsec: 'arccos',
  arccsc: 'arcsin',
  arccot: 'arctan',
  arcsech: 'arccosh',
  arccsch: 'arcsinh',
  arccoth: 'arctanh',
}
const binary: Readonly<Record<string, Operation>> = { divide: 'div', power: 'pow', quotient: 'quotient', rem: 'rem' }
/** Operation, and value without operands. */
const nary: Readonly<Record<string, readonly [Operation, number]>> = {
  plus: ['add', 0],
  times: ['mul', 1],
  min: ['min', Infinity],
  max: ['max', -Infinity],
  and: ['and', 1],
  or: ['or', 0],
  xor: ['xor', 0],
}
const relations: readonly string[] = ['lt', 'leq', 'gt', 'geq', 'eq', 'neq']
const constants: Readonly<Record<string, number>> = {
  pi: Math.PI,
  exponentiale: Math.E,
  infinity: Infinity,
  notanumber: Number.NaN,
  true: 1,
  false: 0,
}
const SYMBOLS = 'http://www.sbml.org/sbml/symbols/'
const NOTHING = number(Number.NaN)

/** Collects what is wrong in one formula. */
export class MathReader {
  readonly problems: Problem[] = []
  private readonly where: string
  constructor(where: string) {
    this.where = where
  }

  private fail(code: string, element: XmlElement, what: string, todo: string): MathNode {
    this.problems.push({ code: `mechanism/${code}`, where: `${this.where}, ${place(element.span)}`, what, todo, span: element.span })
    return NOTHING
  }

  /** The formula inside a `math` element; undefined when it is empty. */
  math(element: XmlElement): MathNode | undefined {
    const [first, second] = elementsOf(element)
    if (!first) return undefined
    if (second) return this.fail('exchange-math', second, 'a second formula stands in one "math"', 'keep one')
    return this.node(first)
  }

  /** The function inside a `math` element; undefined when there is none. */
  lambda(element: XmlElement): MathFunction | undefined {
    let first = elementsOf(element)[0]
    if (first?.name === 'semantics') first = elementsOf(first)[0]
    if (!first) return undefined
    if (first.name !== 'lambda') {
      this.fail('exchange-math', first, `a function is a "lambda", not "${first.name}"`, 'write lambda with bvar elements')
      return undefined
    }
    const inner = elementsOf(first)
    const parameters = inner.filter((e) => e.name === 'bvar').map((e) => textOf(elementsOf(e)[0] ?? e).trim())
    const body = inner.find((e) => e.name !== 'bvar')
    return body ? { parameters, body: this.node(body) } : undefined
  }

  node(element: XmlElement): MathNode {
    if (element.namespace !== MATHML) {
      return this.fail('exchange-math', element, `"${element.name}" is not MathML`, `declare xmlns="${MATHML}" on "math"`)
    }
    const value = constants[element.name]
    if (value !== undefined && Object.hasOwn(constants, element.name)) return number(value)
    switch (element.name) {
      case 'cn':
        return this.literal(element)
      case 'ci':
        return { op: 'name', id: textOf(element).trim() }
      case 'csymbol':
        return this.symbol(element)
      case 'apply':
        return this.apply(element)
      case 'piecewise':
        return this.piecewise(element)
      case 'semantics': {
        const first = elementsOf(element)[0]
        return first ? this.node(first) : this.fail('exchange-math', element, '"semantics" is empty', 'write the formula')
      }
      default: {
        const what = `"${element.name}" is no part of the mathematics of this standard`
        return this.fail('exchange-math', element, what, 'write it with the elements that the standard allows')
      }
    }
  }

  private literal(element: XmlElement): MathNode {
    const kind = element.attributes.find((a) => a.name === 'type')?.value ?? 'real'
    const pieces = [''] as string[]
    for (const child of element.children) {
      if (child.kind === 'text') pieces[pieces.length - 1] += child.text
      else pieces.push('')
    }
    const [first = '', second = ''] = pieces.map((p) => p.trim())
    const isNumber = (text: string): boolean => /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(text)
    const special = { INF: Infinity, '-INF': -Infinity, NaN: Number.NaN }[first]
    if (special !== undefined) return number(special)
    const pair = kind === 'rational' || kind === 'e-notation'
    if (
      !isNumber(first) ||
      (pair && !isNumber(second)) ||
      pieces.length !== (pair ? 2 : 1) ||
      !['real', 'integer', 'rational', 'e-notation'].includes(kind)
    ) {
      const met = pieces.join(' | ').trim().slice(0, 40)
      return this.fail('exchange-number', element, `"${met}" is no number of type "${kind}"`, 'write digits')
    }
    if (kind === 'rational') return number(Number(first) / Number(second))
    return number(kind === 'e-notation' ? Number(`${first}e${second}`) : Number(first))
  }

  private symbolName(element: XmlElement): string {
    const address = element.attributes.find((a) => a.name === 'definitionURL')?.value ?? ''
    return address.startsWith(SYMBOLS) ? address.slice(SYMBOLS.length) : address
  }
  private symbol(element: XmlElement): MathNode {
    const symbol = this.symbolName(element)
    if (symbol === 'time') return { op: 'time' }
    if (symbol === 'avogadro') return number(AVOGADRO_OF_STANDARD)
    return this.fail('exchange-symbol', element, `the symbol "${symbol}" is not known here`, 'known: time, avogadro, rateOf')
  }

  private apply(element: XmlElement): MathNode {
    const [head, ...rest] = elementsOf(element)
    if (!head) return this.fail('exchange-math', element, '"apply" is empty', 'write an operator and its operands')
    if (head.name === 'csymbol') return this.applySymbol(head, rest)
    if (head.name === 'ci') return { op: 'call', id: textOf(head).trim(), args: rest.map((e) => this.node(e)) }
    const qualifier = rest.find((e) => e.name === 'logbase' || e.name === 'degree')
    const args = rest.filter((e) => e !== qualifier).map((e) => this.node(e))
    if (args.includes(NOTHING)) return NOTHING
    return this.operator(head, qualifier, args)
  }

  private applySymbol(head: XmlElement, rest: readonly XmlElement[]): MathNode {
    const symbol = this.symbolName(head)
    if (symbol === 'delay') {
      const what = 'a value at an earlier time is asked for (symbol "delay"); such equations are not integrated here'
      return this.fail('exchange-delay', head, what, 'replace the delay by intermediate steps')
    }
    const only = rest[0]
    if (symbol !== 'rateOf') return this.symbol(head)
    if (!only || rest.length !== 1 || only.name !== 'ci') {
      return this.fail('exchange-math', head, 'rateOf takes one name', 'write one "ci" after it')
    }
    return { op: 'rate-of', id: textOf(only).trim() }
  }

  private operator(head: XmlElement, qualifier: XmlElement | undefined, args: readonly MathNode[]): MathNode {
    const { name } = head
    const [x, y] = args
    const wrong = (wanted: string): MathNode =>
      this.fail('exchange-math', head, `"${name}" takes ${wanted}, not ${args.length}`, 'check the operands')
    const known = (table: Readonly<Record<string, unknown>>): boolean => Object.hasOwn(table, name)
    if (known(unary)) return x && args.length === 1 ? apply(unary[name]!, x) : wrong('one operand')
    if (known(reciprocals)) return x && args.length === 1 ? apply('div', number(1), apply(reciprocals[name]!, x)) : wrong('one operand')
    if (known(ofReciprocal)) return x && args.length === 1 ? apply(ofReciprocal[name]!, apply('div', number(1), x)) : wrong('one operand')
    if (known(binary)) return x && y && args.length === 2 ? apply(binary[name]!, x, y) : wrong('two operands')
    if (known(nary)) {
      const [op, empty] = nary[name]!
      const isLogic = givesTruth(op)
      const given = isLogic ? args.map(asTruth) : args
      if (given.length === 0) return number(empty)
      return given.slice(1).reduce((sum, next) => apply(op, sum, next), given[0]!)
    }
    if (relations.includes(name)) {
      if (args.length < 2) return name === 'neq' ? wrong('two operands') : number(1)
      const pairs = args.slice(1).map((next, i) => apply(name as Operation, args[i]!, next))
      return pairs.slice(1).reduce((all, next) => apply('and', all, next), pairs[0]!)
    }
    switch (name) {
      case 'minus':
        if (x && args.length === 1) return apply('neg', x)
        return x && y && args.length === 2 ? apply('sub', x, y) : wrong('one or two operands')
      case 'not':
        return x && args.length === 1 ? apply('not', asTruth(x)) : wrong('one operand')
      case 'implies':
        return x && y && args.length === 2 ? apply('or', apply('not', asTruth(x)), asTruth(y)) : wrong('two operands')
      case 'log': {
        if (!x || args.length !== 1) return wrong('one operand')
        const base = this.inside(qualifier)
        return base === undefined || (base.op === 'number' && base.value === 10)
          ? apply('log10', x)
          : apply('div', apply('ln', x), apply('ln', base))
      }
      case 'root': {
        if (!x || args.length !== 1) return wrong('one operand')
        const degree = this.inside(qualifier)
        return degree === undefined || (degree.op === 'number' && degree.value === 2) ? apply('sqrt', x) : apply('root', x, degree)
      }
      default: {
        const all = [...Object.keys(unary), ...Object.keys(binary), ...Object.keys(nary), ...Object.keys(reciprocals), ...relations]
        const hint = suggestion(name, all)
        return this.fail('exchange-operator', head, `"${name}" is not an operator of this standard`, hint || 'use one that it has')
      }
    }
  }

  private inside(qualifier: XmlElement | undefined): MathNode | undefined {
    const first = qualifier && elementsOf(qualifier)[0]
    return first ? this.node(first) : undefined
  }

  private piecewise(element: XmlElement): MathNode {
    let result: MathNode = number(Number.NaN)
    const pieces: (readonly [MathNode, MathNode])[] = []
    for (const part of elementsOf(element)) {
      const [value, condition] = elementsOf(part).map((e) => this.node(e))
      if (part.name === 'otherwise' && value) result = value
      else if (part.name === 'piece' && value && condition) pieces.push([value, asTruth(condition)])
      else return this.fail('exchange-math', part, `"${part.name}" does not fit into "piecewise"`, 'write piece and otherwise')
    }
    return pieces.reduceRight((rest, [value, condition]) => apply('choose', condition, value, rest), result)
  }
}

/** A number where a truth value is wanted counts as true unless it is zero; made visible as a relation so that its change is met. */
export function asTruth(node: MathNode): MathNode {
  if (node.op === 'number') return number(Number(node.value !== 0))
  return givesTruth(node.op) ? node : apply('neq', node, number(0))
}

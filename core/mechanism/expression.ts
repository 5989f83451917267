/**
 * Rate expressions: text -> tree -> text. Our own recursive descent, nothing is ever executed as script.
 *
 *   sum     = product { ("+" | "-") product }
 *   product = signed { ("*" | "/") signed }
 *   signed  = ("-" | "+") signed | power
 *   power   = atom [ "^" signed ]                 binds tighter than a sign: -a^2 is -(a^2)
 *   atom    = number | constant | "T" | "[" species "]" | function "(" sum { "," sum } ")" | "(" sum ")"
 */
import { done, type Outcome, type Problem, refuse, type Span, suggestion } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import type { Expression } from './mechanism.ts'

/** Bounds far above any published rate law. */
export const expressionLimits = { mostCharacters: 2000, deepest: 40, mostNodes: 500 } as const

/** Functions and how many arguments they take. */
export const rateFunctions: Readonly<Record<string, 1 | 2>> = { sqrt: 1, exp: 1, ln: 1, log10: 1, min: 2, max: 2 }

/** Where the text stands, for messages. */
export interface ExpressionPlace {
  readonly where: string
  readonly span?: Span
}

type Token =
  | { readonly kind: 'number'; readonly value: number; readonly text: string; readonly at: number }
  | { readonly kind: 'name' | 'species' | 'mark' | 'end'; readonly text: string; readonly at: number }

interface Fault {
  readonly code: string
  readonly at: number
  readonly what: string
  readonly todo: string
}

const NUMBER = /^(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?/
const NAME = /^[A-Za-z][A-Za-z0-9_]*/
const ALLOWED = 'allowed: numbers, constants, [species], + - * / ^ ( ), sqrt exp ln log10 min max, T'
const otherSigns: Readonly<Record<string, string>> = { '·': '*', '×': '*', '−': '-' }

/** The token at the start of `rest`, with its length, or what is wrong there. */
function readToken(rest: string, at: number): { readonly token: Token; readonly length: number } | Fault {
  const number = NUMBER.exec(rest)?.[0]
  if (number !== undefined) {
    const value = Number(number)
    if (Number.isFinite(value)) return { token: { kind: 'number', value, text: number, at }, length: number.length }
    return { code: 'rate-number', at, what: `"${number}" is larger than any number a computer holds`, todo: 'check the exponent' }
  }
  const name = NAME.exec(rest)?.[0]
  if (name !== undefined) return { token: { kind: 'name', text: name, at }, length: name.length }
  if (rest.startsWith('[')) {
    const close = rest.indexOf(']')
    if (close >= 0) return { token: { kind: 'species', text: rest.slice(1, close).trim(), at }, length: close + 1 }
    return { code: 'rate-bracket', at, what: 'this square bracket is never closed', todo: 'close it after the species, as in [IO3-]' }
  }
  const met = rest[0] ?? ''
  const mark = otherSigns[met] ?? met
  if ('+-*/^(),'.includes(mark)) return { token: { kind: 'mark', text: mark, at }, length: 1 }
  return { code: 'rate-sign', at, what: `"${met}" has no meaning in a rate`, todo: ALLOWED }
}

/** All tokens up to the first fault, which is returned beside them. */
function tokenize(text: string): { readonly tokens: readonly Token[]; readonly fault?: Fault } {
  const tokens: Token[] = []
  let at = 0
  while (at < text.length) {
    const blank = /^\s+/.exec(text.slice(at))?.[0].length ?? 0
    at += blank
    if (at >= text.length) break
    const read = readToken(text.slice(at), at)
    if ('code' in read) return { tokens, fault: read }
    tokens.push(read.token)
    at += read.length
  }
  tokens.push({ kind: 'end', text: '', at: text.length })
  return { tokens }
}

/** Walks the tokens. After the first fault it stands at the end, so every loop stops and the tree is not used. */
class Parser {
  fault: Fault | undefined
  private next = 0
  private nodes = 0
  private readonly tokens: readonly Token[]
  private readonly end: Token
  constructor(tokens: readonly Token[], length: number) {
    this.tokens = tokens
    this.end = { kind: 'end', text: '', at: length }
  }

  whole(): Expression {
    const result = this.sum(0)
    const left = this.peek()
    if (left.kind === 'mark' && left.text === ')')
      return this.fail('rate-bracket', left.at, 'this ")" closes nothing', 'remove it or open it earlier')
    if (left.kind !== 'end') {
      return this.fail(
        'rate-sign-missing',
        left.at,
        `"${left.text}" follows without a sign between`,
        'write "*" where a multiplication is meant',
      )
    }
    return result
  }

  private fail(code: string, at: number, what: string, todo: string): Expression {
    this.fault ??= { code, at, what, todo }
    this.next = this.tokens.length
    return { op: 'number', value: 0 }
  }
  private peek(): Token {
    return this.tokens[this.next] ?? this.end
  }
  private take(mark: string): boolean {
    const token = this.peek()
    if (token.kind !== 'mark' || token.text !== mark) return false
    this.next++
    return true
  }
  private made(node: Expression): Expression {
    if (++this.nodes <= expressionLimits.mostNodes) return node
    return this.fail(
      'rate-too-large',
      this.peek().at,
      `the rate has more than ${expressionLimits.mostNodes} parts`,
      'split the step into several',
    )
  }
  private tooDeep(): Expression {
    return this.fail('rate-too-deep', this.peek().at, `the rate is nested more than ${expressionLimits.deepest} deep`, 'simplify the rate')
  }

  private sum(depth: number): Expression {
    if (depth > expressionLimits.deepest) return this.tooDeep()
    let left = this.product(depth)
    for (;;) {
      if (this.take('+')) left = this.made({ op: 'add', a: left, b: this.product(depth) })
      else if (this.take('-')) left = this.made({ op: 'sub', a: left, b: this.product(depth) })
      else return left
    }
  }
  private product(depth: number): Expression {
    let left = this.signed(depth)
    for (;;) {
      if (this.take('*')) left = this.made({ op: 'mul', a: left, b: this.signed(depth) })
      else if (this.take('/')) left = this.made({ op: 'div', a: left, b: this.signed(depth) })
      else return left
    }
  }
  private signed(depth: number): Expression {
    if (depth > expressionLimits.deepest) return this.tooDeep()
    if (this.take('-')) return this.made({ op: 'neg', a: this.signed(depth + 1) })
    if (this.take('+')) return this.signed(depth + 1)
    const base = this.atom(depth)
    return this.take('^') ? this.made({ op: 'pow', a: base, b: this.signed(depth + 1) }) : base
  }
  private atom(depth: number): Expression {
    const token = this.peek()
    this.next++
    if (token.kind === 'number') return this.made({ op: 'number', value: token.value })
    if (token.kind === 'species') return this.made({ op: 'concentration', species: token.text })
    if (token.kind === 'name') return this.named(token, depth)
    if (token.kind === 'mark' && token.text === '(') {
      const inside = this.sum(depth + 1)
      return this.take(')') ? inside : this.fail('rate-bracket', token.at, 'this bracket is never closed', 'add ")"')
    }
    if (token.kind === 'end') {
      return this.fail('rate-ends-early', token.at, 'the rate ends where a value should follow', 'complete it, as in "k*[A]*[B]"')
    }
    return this.fail(
      'rate-value-missing',
      token.at,
      `"${token.text}" stands where a value should be`,
      'write a number, a constant or a [species]',
    )
  }
  private named(token: Token, depth: number): Expression {
    const takes = Object.hasOwn(rateFunctions, token.text) ? rateFunctions[token.text] : undefined
    if (!this.take('(')) {
      if (takes !== undefined) {
        return this.fail('rate-function', token.at, `"${token.text}" is a function and has no bracket`, `write ${token.text}(…)`)
      }
      return this.made(token.text === 'T' ? { op: 'temperature' } : { op: 'constant', name: token.text })
    }
    if (takes === undefined) {
      const meant = suggestion(token.text, Object.keys(rateFunctions))
      return this.fail(
        'rate-function',
        token.at,
        `"${token.text}(" is not a function known here`,
        `${meant}; for a multiplication write "${token.text}*("`,
      )
    }
    const args = [this.sum(depth + 1)]
    while (this.take(',')) args.push(this.sum(depth + 1))
    if (!this.take(')')) return this.fail('rate-bracket', token.at, `the bracket of ${token.text} is never closed`, 'add ")"')
    const [a, b] = args
    if (args.length !== takes || !a) {
      const wanted = takes === 1 ? 'one value' : 'two values'
      return this.fail('rate-function', token.at, `${token.text} takes ${wanted}, not ${args.length}`, 'check the commas')
    }
    return takes === 2 && b
      ? this.made({ op: token.text as 'min' | 'max', a, b })
      : this.made({ op: token.text as 'sqrt' | 'exp' | 'ln' | 'log10', a })
  }
}

/** Reads a rate expression. A fault is one problem with the character where it stands; never throws. */
export function parseExpression(text: string, place: ExpressionPlace): Outcome<Expression> {
  const problem = (f: Fault): Problem => ({
    code: `mechanism/${f.code}`,
    where: `${place.where}, character ${f.at + 1}`,
    what: f.what,
    todo: f.todo,
    ...(place.span ? { span: { ...place.span, column: place.span.column + f.at } } : {}),
  })
  if (text.length > expressionLimits.mostCharacters) {
    const what = `the rate has ${text.length} characters; at most ${expressionLimits.mostCharacters} are read`
    return refuse(problem({ code: 'rate-too-large', at: 0, what, todo: 'split the step into several' }))
  }
  const { tokens, fault } = tokenize(text)
  if (fault) return refuse(problem(fault))
  const parser = new Parser(tokens, text.length)
  const tree = parser.whole()
  return parser.fault ? refuse(problem(parser.fault)) : done(tree)
}

const rank = (e: Expression): number => {
  if (e.op === 'add' || e.op === 'sub') return 1
  if (e.op === 'mul' || e.op === 'div') return 2
  if (e.op === 'neg') return 3
  return e.op === 'pow' ? 4 : 5
}

/** Text of an expression with as few brackets as keep its structure: parsing it again gives the same tree. Numbers must be 0 or more. */
export function printExpression(e: Expression): string {
  const part = (inner: Expression, atLeast: number): string =>
    rank(inner) >= atLeast ? printExpression(inner) : `(${printExpression(inner)})`
  switch (e.op) {
    case 'number':
      return String(e.value)
    case 'concentration':
      return `[${e.species}]`
    case 'constant':
      return e.name
    case 'temperature':
      return 'T'
    case 'neg':
      return `-${part(e.a, 3)}`
    case 'add':
      return `${part(e.a, 1)} + ${part(e.b, 2)}`
    case 'sub':
      return `${part(e.a, 1)} - ${part(e.b, 2)}`
    case 'mul':
      return `${part(e.a, 2)}*${part(e.b, 3)}`
    case 'div':
      return `${part(e.a, 2)}/${part(e.b, 3)}`
    case 'pow':
      return `${part(e.a, 5)}^${part(e.b, 3)}`
    case 'min':
    case 'max':
      return `${e.op}(${printExpression(e.a)}, ${printExpression(e.b)})`
    default:
      return `${e.op}(${printExpression(e.a)})`
  }
}

/** Calls `visit` for the expression and everything in it. */
export function eachPart(e: Expression, visit: (part: Expression) => void): void {
  visit(e)
  if ('a' in e) eachPart(e.a, visit)
  if ('b' in e) eachPart(e.b, visit)
}

/** Species whose concentration the expression reads, first mention first. */
export function speciesIn(e: Expression): readonly SpeciesId[] {
  const found = new Set<SpeciesId>()
  eachPart(e, (part) => part.op === 'concentration' && found.add(part.species))
  return [...found]
}

/** Constants that the expression names, first mention first. */
export function constantsIn(e: Expression): readonly string[] {
  const found = new Set<string>()
  eachPart(e, (part) => part.op === 'constant' && found.add(part.name))
  return [...found]
}

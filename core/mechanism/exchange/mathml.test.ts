import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { readXml, writeXml } from '@beakertide/basis/text'
import { apply, type MathNode, name, number } from './math-tree.ts'
import { MATHML, MathReader } from './mathml-read.ts'
import { mathPart } from './mathml-write.ts'
import { givesTruth, type Operation, operationNames } from './operations.ts'
import { TapeBuilder } from './tape.ts'

function readMath(inner: string): { readonly node: MathNode | undefined; readonly codes: readonly string[] } {
  const xml = readXml(`<math xmlns="${MATHML}">${inner}</math>`, 'formula.xml')
  if (!xml.ok) throw new Error('not XML')
  const reader = new MathReader('a formula')
  const node = reader.math(xml.value)
  return { node, codes: reader.problems.map((p) => p.code) }
}
/** Value of a formula with x = 0.3, y = -1.7 and time 2.5. */
function valueOf(node: MathNode): number {
  const builder = new TapeBuilder()
  const inputs = { x: builder.input('x'), y: builder.input('y'), time: builder.input('the time') }
  const enter = (n: MathNode): number => {
    if (n.op === 'number') return builder.number(n.value)
    if (n.op === 'name') return n.id === 'x' ? inputs.x : inputs.y
    if (n.op === 'time') return inputs.time
    if (n.op === 'rate-of' || n.op === 'call') throw new Error('not here')
    const [a, b, c] = n.args.map(enter)
    return builder.apply(n.op, a!, b, c)
  }
  const root = enter(node)
  const tape = builder.tape()
  tape.set(inputs.x, 0.3)
  tape.set(inputs.y, -1.7)
  tape.set(inputs.time, 2.5)
  tape.run(tape.programFor([root]))
  return tape.values[root]!
}
const valueOfText = (inner: string): number => {
  const { node, codes } = readMath(inner)
  if (!node || codes.length > 0) throw new Error(codes.join())
  return valueOf(node)
}
const f = (op: string, ...args: readonly string[]): string => `<apply><${op}/>${args.join('')}</apply>`
const x = '<ci> x </ci>'
const y = '<ci>y</ci>'

describe('content MathML', () => {
  // expected values: definitions of the functions (DLMF chapter 4), computed by the identities on the right
  it.each([
    ['an integer', '<cn type="integer"> 12 </cn>', 12],
    ['a decimal', '<cn> -0.5 </cn>', -0.5],
    ['a rational', '<cn type="rational"> 3 <sep/> 8 </cn>', 0.375],
    ['e-notation', '<cn type="e-notation"> 6.022 <sep/> 23 </cn>', 6.022e23],
    ['the number pi', '<pi/>', Math.PI],
    ['a truth', '<true/>', 1],
    ['time', '<csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/time">t</csymbol>', 2.5],
    // value fixed by the standard (Level 3 Version 2 Core, 3.4.6)
    ['Avogadro', '<csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/avogadro">N</csymbol>', 6.02214179e23],
    ['a sum of nothing', f('plus'), 0],
    ['a product of nothing', f('times'), 1],
    ['a sum of three', f('plus', x, y, x), 0.3 - 1.7 + 0.3],
    ['a sign', f('minus', x), -0.3],
    ['a difference', f('minus', x, y), 2],
    ['a power', f('power', y, '<cn>2</cn>'), 1.7 * 1.7],
    ['a cube root of a negative number', `<apply><root/><degree><cn>3</cn></degree><cn>-8</cn></apply>`, -2],
    ['a logarithm to 10', f('log', '<cn>1000</cn>'), 3],
    ['a logarithm to 2', `<apply><log/><logbase><cn>2</cn></logbase><cn>8</cn></apply>`, 3],
    ['a secant', f('sec', x), 1 / Math.cos(0.3)],
    ['an arc cotangent', f('arccot', x), Math.PI / 2 - Math.atan(0.3)],
    ['an inverse hyperbolic cosecant', f('arccsch', x), Math.log(1 / 0.3 + Math.sqrt(1 / 0.09 + 1))],
    ['a factorial', f('factorial', '<cn>5</cn>'), 120],
    ['a quotient towards zero', f('quotient', '<cn>-7</cn>', '<cn>2</cn>'), -3],
    ['its remainder', f('rem', '<cn>-7</cn>', '<cn>2</cn>'), -1],
    ['the least of three', f('min', x, y, '<cn>4</cn>'), -1.7],
    ['a chain of relations', f('lt', y, x, '<cn>1</cn>'), 1],
    ['a broken chain', f('lt', y, '<cn>1</cn>', x), 0],
    ['exclusive or of three', f('xor', '<true/>', '<true/>', '<true/>'), 1],
    ['an implication from false', f('implies', '<false/>', '<false/>'), 1],
    ['a number as condition', `<piecewise><piece><cn>7</cn>${y}</piece><otherwise><cn>8</cn></otherwise></piecewise>`, 7],
    ['the second piece', `<piecewise><piece><cn>7</cn>${f('gt', y, x)}</piece><piece><cn>9</cn>${f('gt', x, y)}</piece></piecewise>`, 9],
  ])('reads %s', (_what, text, expected) => {
    expect(valueOfText(text)).toBeCloseTo(expected, 12)
  })

  it('has no value where no piece holds and nothing stands otherwise', () => {
    expect(valueOfText(`<piecewise><piece><cn>7</cn>${f('gt', y, x)}</piece></piecewise>`)).toBeNaN()
  })

  it.each([
    ['an unknown operator', f('integrate', x), 'mechanism/exchange-operator'],
    ['a wrong number of operands', f('divide', x), 'mechanism/exchange-math'],
    ['no digits', '<cn>ten</cn>', 'mechanism/exchange-number'],
    [
      'a delay',
      `<apply><csymbol encoding="text" definitionURL="http://www.sbml.org/sbml/symbols/delay">d</csymbol>${x}<cn>1</cn></apply>`,
      'mechanism/exchange-delay',
    ],
    ['an unknown symbol', '<csymbol definitionURL="http://www.sbml.org/sbml/symbols/tomorrow">t</csymbol>', 'mechanism/exchange-symbol'],
    ['an element of no MathML', '<b xmlns="other">1</b>', 'mechanism/exchange-math'],
  ])('refuses %s', (_what, text, code) => {
    expect(readMath(text).codes).toEqual([code])
  })
})

const arity: Readonly<Partial<Record<Operation, 1 | 3>>> = {
  choose: 3,
  ...Object.fromEntries(
    [
      'neg',
      'abs',
      'exp',
      'ln',
      'log10',
      'sqrt',
      'floor',
      'ceiling',
      'factorial',
      'sin',
      'cos',
      'tan',
      'sinh',
      'cosh',
      'tanh',
      'arcsin',
      'arccos',
      'arctan',
      'arcsinh',
      'arccosh',
      'arctanh',
      'not',
    ].map((op) => [op, 1 as const]),
  ),
}
const truth = (tie: (n: string) => fc.Arbitrary<MathNode>): fc.Arbitrary<MathNode> =>
  fc
    .tuple(fc.constantFrom('lt', 'leq', 'gt', 'geq', 'eq', 'neq'), tie('math'), tie('math'))
    .map(([op, a, b]) => apply(op as Operation, a, b))
const { math } = fc.letrec<{ math: MathNode }>((tie) => ({
  math: fc.oneof(
    { maxDepth: 5 },
    fc.double({ noNaN: true, noDefaultInfinity: true }).map(number),
    fc.integer().map(number),
    fc.constantFrom('x', 'y').map(name),
    fc.constant<MathNode>({ op: 'time' }),
    fc.constantFrom(...operationNames).chain((op): fc.Arbitrary<MathNode> => {
      const inner = tie('math')
      if (op === 'choose')
        return fc
          .tuple(
            truth(() => inner),
            inner,
            inner,
          )
          .map((args) => ({ op, args }))
      if (['and', 'or', 'xor'].includes(op))
        return fc
          .tuple(
            truth(() => inner),
            truth(() => inner),
          )
          .map((args) => ({ op, args }))
      if (op === 'not') return truth(() => inner).map((a) => apply(op, a))
      return fc.array(inner, { minLength: arity[op] ?? 2, maxLength: arity[op] ?? 2 }).map((args) => ({ op, args }))
    }),
  ),
}))
/** Number nodes that reading writes as other nodes or folds: none but square roots of stated degree. */
const plain = (node: MathNode): MathNode => {
  if (!('args' in node) || node.op === 'call') return node
  const args = node.args.map(plain)
  const [a, degree] = args
  if (node.op === 'root' && a && degree?.op === 'number' && degree.value === 2) return apply('sqrt', a)
  return { op: node.op, args }
}

describe('written MathML', () => {
  it('reads back as the same tree', () => {
    fc.assert(
      fc.property(math, (node) => {
        const reader = new MathReader('a formula')
        const xml = readXml(writeXml(mathPart(node)), 'formula.xml')
        if (!xml.ok) throw new Error('not XML')
        expect(reader.math(xml.value)).toEqual(plain(node))
        expect(reader.problems).toEqual([])
      }),
      { seed: 20261125, numRuns: 500 },
    )
  })
})

describe('slopes on the tape', () => {
  const smooth = operationNames.filter((op) => !givesTruth(op) && !['floor', 'ceiling', 'factorial', 'quotient', 'choose'].includes(op))
  it.each(smooth)('%s: as the difference quotient says', (op) => {
    // inside the domain of every function, away from kinks
    const at: Readonly<Record<string, readonly [number, number]>> = { arccosh: [1.8, 0], pow: [1.4, 2.3], root: [1.9, 3], rem: [7.3, 2.2] }
    const [a, b] = at[op] ?? [0.62, 0.41]
    const builder = new TapeBuilder()
    const [first, second] = [builder.input('a'), builder.input('b')]
    const root = builder.apply(op, first, second)
    const tape = builder.tape()
    const program = tape.programFor([root])
    const value = (p: number, q: number): number => {
      tape.set(first, p)
      tape.set(second, q)
      tape.run(program)
      return tape.values[root]!
    }
    const h = 1e-5
    const expected =
      (8 * (value(a + h, b + h) - value(a - h, b - h)) - (value(a + 2 * h, b + 2 * h) - value(a - 2 * h, b - 2 * h))) / (12 * h)
    value(a, b)
    tape.dots[first] = 1
    tape.dots[second] = 1
    tape.slopes(program)
    expect(tape.dots[root]).toBeCloseTo(expected, 8)
  })
})

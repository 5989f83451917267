import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { constantsIn, expressionLimits, parseExpression, printExpression, speciesIn } from './expression.ts'
import type { Expression } from './mechanism.ts'

const place = { where: 'step X, rate' }
function tree(text: string): Expression {
  const parsed = parseExpression(text, place)
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problems[0]!.what}`)
  return parsed.value
}
function value(text: string): number {
  const of = (e: Expression): number => {
    switch (e.op) {
      case 'number':
        return e.value
      case 'neg':
        return -of(e.a)
      case 'add':
        return of(e.a) + of(e.b)
      case 'sub':
        return of(e.a) - of(e.b)
      case 'mul':
        return of(e.a) * of(e.b)
      case 'div':
        return of(e.a) / of(e.b)
      case 'pow':
        return of(e.a) ** of(e.b)
      case 'min':
        return Math.min(of(e.a), of(e.b))
      case 'max':
        return Math.max(of(e.a), of(e.b))
      case 'sqrt':
        return Math.sqrt(of(e.a))
      case 'exp':
        return Math.exp(of(e.a))
      case 'ln':
        return Math.log(of(e.a))
      case 'log10':
        return Math.log10(of(e.a))
      default:
        throw new Error('a number was expected')
    }
  }
  return of(tree(text))
}
const fault = (text: string): string => {
  const parsed = parseExpression(text, place)
  return parsed.ok
    ? 'no fault'
    : `${parsed.problems[0]!.code} | ${parsed.problems[0]!.where} | ${parsed.problems[0]!.what} | ${parsed.problems[0]!.todo}`
}

describe('order of operations, as in written algebra', () => {
  it.each([
    ['2 + 3*4', 14],
    ['(2 + 3)*4', 20],
    ['2 - 3 - 4', -5],
    ['24/4/2', 3],
    ['2^3^2', 512],
    ['-2^2', -4],
    ['2^-1', 0.5],
    ['10^(4*0.509*sqrt(0.09)/(1 + sqrt(0.09)))', 10 ** ((4 * 0.509 * 0.3) / 1.3)],
    ['max(1, min(5, 3))', 3],
    ['exp(ln(7))', 7],
    ['log10(1e-3)', -3],
    ['--2', 2],
    ['2·3 − 1', 5],
  ])('%s = %d', (text, wanted) => expect(value(text)).toBeCloseTo(wanted, 12))
})

describe('names', () => {
  it('species stand in square brackets, whatever signs they hold', () => {
    expect(speciesIn(tree('k*[IO3-]*[I-]^2*[H+]^2/[SO4^2-]*[HO2.]'))).toEqual(['IO3-', 'I-', 'H+', 'SO4^2-', 'HO2.'])
  })
  it('constants by name; T is the temperature', () => {
    expect(constantsIn(tree('k1*exp(-E/(R*T)) + k1'))).toEqual(['k1', 'E', 'R'])
    expect(tree('T')).toEqual({ op: 'temperature' })
  })
})

describe('faults say where and what to do', () => {
  it.each([
    ['', /rate-ends-early .*character 1/],
    ['k*', /rate-ends-early .*character 3/],
    ['k*[A', /rate-bracket .*character 3.*never closed/],
    ['(k*[A]', /rate-bracket .*character 1.*never closed/],
    ['k*[A])', /rate-bracket .*closes nothing/],
    ['k [A]', /rate-sign-missing .*character 3.*write "\*"/],
    ['k*[A];alert(1)', /rate-sign .*";"/],
    ['sqr([A])', /rate-function .*did you mean "sqrt"/],
    ['k(2)', /rate-function .*write "k\*\("/],
    ['sqrt + 1', /rate-function .*no bracket/],
    ['min([A])', /rate-function .*two values, not 1/],
    ['exp(1, 2)', /rate-function .*one value, not 2/],
    ['1e999*[A]', /rate-number .*larger than any number/],
    ['* k', /rate-value-missing/],
    ['constructor(1)', /rate-function/],
  ])('%s', (text, wanted) => expect(fault(text)).toMatch(wanted))
  it('keeps bounds on length, depth and size', () => {
    expect(fault('1+'.repeat(expressionLimits.mostCharacters))).toMatch(/rate-too-large/)
    expect(fault(`${'('.repeat(200)}1${')'.repeat(200)}`)).toMatch(/rate-too-deep/)
    expect(fault('-'.repeat(200))).toMatch(/rate-too-deep/)
    expect(fault(`1${'^1'.repeat(200)}`)).toMatch(/rate-too-deep/)
    expect(fault(`1${'+1'.repeat(600)}`)).toMatch(/rate-too-large/)
  })
  it('marks the column in the file', () => {
    const parsed = parseExpression('k*[A', { where: 'x', span: { line: 3, column: 11 } })
    expect(parsed.ok ? undefined : parsed.problems[0]!.span).toMatchObject({ line: 3, column: 13 })
  })
  it('never throws, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 80 }), (text) => {
        expect(() => parseExpression(text, place)).not.toThrow()
      }),
      { numRuns: 500, seed: 3 },
    )
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('k', '[A]', '(', ')', '+', '-', '*', '/', '^', ',', 'sqrt', 'min', '2', ' ', 'T'), { maxLength: 30 }),
        (parts) => {
          expect(() => parseExpression(parts.join(''), place)).not.toThrow()
        },
      ),
      { numRuns: 1000, seed: 4 },
    )
  })
})

describe('printing', () => {
  const anyTree = fc.letrec<{ node: Expression }>((tie) => {
    const leaf = fc.oneof(
      fc.double({ min: 0, max: 1e12, noNaN: true, noDefaultInfinity: true }).map((v): Expression => ({ op: 'number', value: v + 0 })),
      fc.constantFrom('A', 'SO4^2-', 'HO2.', 'Mn2+').map((species): Expression => ({ op: 'concentration', species })),
      fc.constantFrom('k', 'k1', 'Am').map((name): Expression => ({ op: 'constant', name })),
      fc.constant<Expression>({ op: 'temperature' }),
    )
    return {
      node: fc.oneof(
        { depthSize: 'small', withCrossShrink: true },
        leaf,
        fc.record({
          op: fc.constantFrom('add', 'sub', 'mul', 'div', 'pow', 'min', 'max'),
          a: tie('node'),
          b: tie('node'),
        }) as fc.Arbitrary<Expression>,
        fc.record({ op: fc.constantFrom('neg', 'sqrt', 'exp', 'ln', 'log10'), a: tie('node') }) as fc.Arbitrary<Expression>,
      ),
    }
  }).node
  it('parsing what was printed gives the same tree', () => {
    fc.assert(
      fc.property(anyTree, (e) => {
        const text = printExpression(e)
        fc.pre(text.length <= expressionLimits.mostCharacters)
        expect(tree(text)).toEqual(e)
      }),
      { numRuns: 2000, seed: 7 },
    )
  })
  it.each(['k*[A]*[B]', '(k1 + k2*[H+])*[H2O2]*[I-]', 'a - (b - c)', 'a/(b*c)', '-(a + b)^2', 'min(a, b)/[A]'])(
    '%s stays as written',
    (text) => {
      expect(printExpression(tree(text))).toBe(text)
    },
  )
})

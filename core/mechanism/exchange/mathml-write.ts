/** MathNode -> content MathML of the standard's subset, so that reading it again gives the same tree. */
import { type XmlPart, part } from '@beakertide/basis/text'
import type { MathNode } from './math-tree.ts'
import { MATHML } from './mathml-read.ts'
import type { Operation } from './operations.ts'

const elements: Readonly<Partial<Record<Operation, string>>> = {
  add: 'plus',
  sub: 'minus',
  mul: 'times',
  div: 'divide',
  pow: 'power',
  neg: 'minus',
  log10: 'log',
  sqrt: 'root',
}
const SYMBOLS = 'http://www.sbml.org/sbml/symbols/'

const csymbol = (symbol: string): XmlPart => part('csymbol', { encoding: 'text', definitionURL: `${SYMBOLS}${symbol}` }, [symbol])
const ci = (id: string): XmlPart => part('ci', {}, [id])

/** A number; one with an exponent needs the form of its own, as the standard's plain numbers have none. */
function cn(value: number): XmlPart {
  if (Number.isNaN(value)) return part('notanumber')
  if (!Number.isFinite(value)) return value > 0 ? part('infinity') : part('apply', {}, [part('minus'), part('infinity')])
  const [digits = '', exponent] = (Object.is(value, -0) ? '-0' : String(value)).split('e')
  if (exponent === undefined) return part('cn', Number.isInteger(value) ? { type: 'integer' } : {}, [digits])
  return part('cn', { type: 'e-notation' }, [digits, part('sep'), String(Number(exponent))])
}

/** Operands of a chain a op b op c that reading builds from the left. */
function chain(node: MathNode, op: 'add' | 'mul'): readonly MathNode[] {
  if (node.op !== op) return [node]
  const [a, b] = node.args
  return a && b ? [...chain(a, op), b] : [node]
}

/** `nameOf` gives the written form of an identifier. */
function write(node: MathNode, nameOf: (id: string) => string): XmlPart {
  const inner = (n: MathNode): XmlPart => write(n, nameOf)
  switch (node.op) {
    case 'number':
      return cn(node.value)
    case 'name':
      return ci(nameOf(node.id))
    case 'time':
      return csymbol('time')
    case 'rate-of':
      return part('apply', {}, [csymbol('rateOf'), ci(nameOf(node.id))])
    case 'call':
      return part('apply', {}, [ci(node.id), ...node.args.map(inner)])
    case 'choose': {
      const [condition, value, other] = node.args.map(inner)
      if (!condition || !value || !other) return part('notanumber')
      return part('piecewise', {}, [part('piece', {}, [value, condition]), part('otherwise', {}, [other])])
    }
    case 'root': {
      const [of, degree] = node.args.map(inner)
      return of && degree ? part('apply', {}, [part('root'), part('degree', {}, [degree]), of]) : part('notanumber')
    }
    case 'add':
    case 'mul':
      return part('apply', {}, [part(elements[node.op]!), ...chain(node, node.op).map(inner)])
    default:
      return part('apply', {}, [part(elements[node.op] ?? node.op), ...node.args.map(inner)])
  }
}

/** The `math` element of a formula. */
export function mathPart(node: MathNode, nameOf: (id: string) => string = (id) => id): XmlPart {
  return part('math', { xmlns: MATHML }, [write(node, nameOf)])
}

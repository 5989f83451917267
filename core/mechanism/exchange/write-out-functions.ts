/** Replaces calls of a model's own functions by their bodies, within bounds. */
import type { XmlElement } from '@beakertide/basis/text'
import { suggestion } from '@beakertide/basis/problems'
import { argumentsOf, type MathFunction, type MathNode, number, sizeOf } from './math-tree.ts'
import type { ModelReading } from './model-reading.ts'

/** Nodes that all formulas of a model may come to once functions are written out: doubling functions reach it at once. */
const MOST_NODES = 400_000
const DEEPEST = 400

/** Functions of one model; `writeOut` shares one budget over all formulas. */
export class FunctionBook {
  private readonly functions = new Map<string, MathFunction | null>()
  private readonly reading: ModelReading
  private left = MOST_NODES
  private saidTooLarge = false

  constructor(reading: ModelReading) {
    this.reading = reading
  }
  /** `null`: a function without a body. */
  add(id: string, definition: MathFunction | null): void {
    this.functions.set(id, definition)
  }
  has(id: string): boolean {
    return this.functions.has(id)
  }

  /** The formula without calls. `element` is only for messages. */
  writeOut(node: MathNode, element: XmlElement): MathNode {
    return this.replace(node, element, new Map(), [], 0)
  }

  private fail(element: XmlElement, code: string, what: string, todo: string): MathNode {
    this.reading.refuse(code, element, what, todo)
    return number(Number.NaN)
  }

  private replace(
    node: MathNode,
    element: XmlElement,
    bound: ReadonlyMap<string, MathNode>,
    inside: readonly string[],
    depth: number,
  ): MathNode {
    if (--this.left < 0 || depth > DEEPEST) {
      if (!this.saidTooLarge) {
        const what = `with its functions written out a formula is nested more than ${DEEPEST} deep, or all of them have more than ${MOST_NODES} parts`
        this.fail(element, 'exchange-too-large', what, 'simplify the functions')
      }
      this.saidTooLarge = true
      return number(Number.NaN)
    }
    if (node.op === 'name') {
      const value = bound.get(node.id)
      if (value) this.left -= sizeOf(value)
      else if (inside.length > 0) {
        const what = `the function "${inside.at(-1)}" reads "${node.id}", which is none of its own variables`
        return this.fail(element, 'exchange-unknown', what, 'give it as a variable')
      }
      return value ?? node
    }
    if (node.op === 'rate-of') {
      const target = bound.get(node.id)
      if (!target) return node
      if (target.op === 'name') return { op: 'rate-of', id: target.id }
      return this.fail(element, 'exchange-math', 'rateOf takes a name, and a function gives it a formula', 'give the function a name')
    }
    if (argumentsOf(node).length === 0 && node.op !== 'call') return node
    const args = argumentsOf(node).map((a) => this.replace(a, element, bound, inside, depth + 1))
    if (node.op !== 'call') return { op: node.op, args } as MathNode
    return this.call(node.id, args, element, inside, depth)
  }

  private call(id: string, args: readonly MathNode[], element: XmlElement, inside: readonly string[], depth: number): MathNode {
    const definition = this.functions.get(id)
    if (definition === undefined) {
      const hint = suggestion(id, [...this.functions.keys()])
      return this.fail(element, 'exchange-unknown', `there is no function "${id}"`, hint || 'define it')
    }
    if (inside.includes(id)) {
      return this.fail(element, 'exchange-circle', `the function "${id}" calls itself: ${[...inside, id].join(' -> ')}`, 'break the circle')
    }
    if (definition === null)
      return this.fail(element, 'exchange-no-math', `the function "${id}" is used but has no formula`, 'add its lambda')
    if (definition.parameters.length !== args.length) {
      const what = `"${id}" takes ${definition.parameters.length} values, not ${args.length}`
      return this.fail(element, 'exchange-math', what, 'check the call')
    }
    const bound = new Map(definition.parameters.map((p, i) => [p, args[i]!]))
    return this.replace(definition.body, element, bound, [...inside, id], depth + 1)
  }
}

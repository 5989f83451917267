/** Mathematics of an exchanged model as a tree; truth values are numbers (0 false, anything else true). */
import type { Operation } from './operations.ts'

export type MathNode =
  | { readonly op: 'number'; readonly value: number }
  /** An identifier of the model: its meaning is looked up where the formula stands. */
  | { readonly op: 'name'; readonly id: string }
  | { readonly op: 'time' }
  /** Rate of change of what the identifier stands for. */
  | { readonly op: 'rate-of'; readonly id: string }
  /** A function of the model's own, not yet written out. */
  | { readonly op: 'call'; readonly id: string; readonly args: readonly MathNode[] }
  | { readonly op: Operation; readonly args: readonly MathNode[] }

export interface MathFunction {
  readonly parameters: readonly string[]
  readonly body: MathNode
}

export const number = (value: number): MathNode => ({ op: 'number', value })
export const name = (id: string): MathNode => ({ op: 'name', id })
export const apply = (op: Operation, ...args: readonly MathNode[]): MathNode => ({ op, args })

/** Children of a node. */
export function argumentsOf(node: MathNode): readonly MathNode[] {
  return 'args' in node ? node.args : []
}

/** Calls `visit` for the node and everything in it. */
export function eachNode(node: MathNode, visit: (node: MathNode) => void): void {
  visit(node)
  for (const child of argumentsOf(node)) eachNode(child, visit)
}

/** Nodes of the tree. */
export function sizeOf(node: MathNode): number {
  let size = 0
  eachNode(node, () => size++)
  return size
}

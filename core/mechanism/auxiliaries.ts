/**
 * Whatever in a law is not a sum of products (a quotient, a root, a choice) gets a slot of its own, filled by a small program
 * before anything else. The laws and all their derivatives are then sums of products over slots.
 */
import { differentiate, mul, neg, numberNode, type SlotNode, slotNode } from './slot-expression.ts'

const LARGEST_WHOLE_POWER = 10

/** A slot filled by a program, in the order of filling: an auxiliary reads only slots and earlier auxiliaries. */
export interface Auxiliary {
  readonly slot: number
  readonly node: SlotNode
}

/** Hands out slots for sub-laws; the same sub-law gets the same slot. */
export class Auxiliaries {
  readonly list: Auxiliary[] = []
  private readonly byText = new Map<string, number>()
  private readonly bySlot = new Map<number, SlotNode>()
  private readonly newSlot: () => number
  constructor(newSlot: () => number) {
    this.newSlot = newSlot
  }

  /** The slot that will hold the value of `node`, whose parts must be flat already. */
  slotFor(node: SlotNode): number {
    const text = JSON.stringify(node)
    const before = this.byText.get(text)
    if (before !== undefined) return before
    const slot = this.newSlot()
    this.byText.set(text, slot)
    this.bySlot.set(slot, node)
    this.list.push({ slot, node })
    return slot
  }

  /** The same law with everything but sums, products and whole powers replaced by auxiliary slots. */
  flat(n: SlotNode): SlotNode {
    switch (n.op) {
      case 'number':
      case 'slot':
        return n
      case 'neg':
        return neg(this.flat(n.a))
      case 'add':
      case 'sub':
        return { op: n.op, a: this.flat(n.a), b: this.flat(n.b) }
      case 'mul':
        return mul(this.flat(n.a), this.flat(n.b))
      case 'div': {
        if (n.b.op === 'number') return { op: 'div', a: this.flat(n.a), b: n.b }
        const reciprocal = this.slotFor({ op: 'div', a: numberNode(1), b: this.flat(n.b) })
        return mul(this.flat(n.a), slotNode(reciprocal))
      }
      case 'pow':
        if (n.b.op === 'number' && Number.isInteger(n.b.value) && n.b.value >= 1 && n.b.value <= LARGEST_WHOLE_POWER) {
          return { op: 'pow', a: this.flat(n.a), b: n.b }
        }
        return slotNode(this.slotFor({ op: 'pow', a: this.flat(n.a), b: this.flat(n.b) }))
      case 'min':
      case 'max':
        return slotNode(this.slotFor({ op: n.op, a: this.flat(n.a), b: this.flat(n.b) }))
      case 'if-at-most':
        return slotNode(
          this.slotFor({ op: n.op, a: this.flat(n.a), b: this.flat(n.b), ifSo: this.flat(n.ifSo), ifNot: this.flat(n.ifNot) }),
        )
      default:
        return slotNode(this.slotFor({ op: n.op, a: this.flat(n.a) }))
    }
  }

  /** Partial derivative of a flat law by a slot; `chainOf` as for `differentiate`, for slots that are not auxiliary. */
  slope(n: SlotNode, by: number, chainOf: (slot: number) => SlotNode | undefined): SlotNode {
    const chain = (slot: number): SlotNode | undefined => {
      const node = this.bySlot.get(slot)
      if (!node) return chainOf(slot)
      // 1/b and exp(a) know their own derivative; using it saves programs
      if (node.op === 'div' && node.a.op === 'number') {
        return neg(mul(mul(slotNode(slot), slotNode(slot)), differentiate(node.b, by, chain)))
      }
      if (node.op === 'exp') return mul(slotNode(slot), differentiate(node.a, by, chain))
      return this.flat(differentiate(node, by, chain))
    }
    return this.flat(differentiate(n, by, chain))
  }
}

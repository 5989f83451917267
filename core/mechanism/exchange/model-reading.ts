/** Reading attributes of the exchange standard: what is missing, doubled or no number is a problem with its place. */
import { attributeOf, elementsOf, type XmlElement } from '@beakertide/basis/text'
import { place, type Problem } from '@beakertide/basis/problems'
import type { MathNode } from './math-tree.ts'
import { MATHML, MathReader } from './mathml-read.ts'

export interface Source {
  readonly file: string
  readonly level: number
  readonly version: number
  readonly namespace: string
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/

/** What is found while one model is read. */
export class ModelReading {
  readonly source: Source
  readonly problems: Problem[] = []
  readonly warnings: Problem[] = []
  /** Kinds of things without bearing on the numbers, with how often they were met. */
  private readonly passedOver = new Map<string, number>()

  constructor(source: Source) {
    this.source = source
  }

  refuse(code: string, element: XmlElement, what: string, todo: string): void {
    this.problems.push({ code: `mechanism/${code}`, where: place(element.span), what, todo, span: element.span })
  }
  warn(code: string, element: XmlElement, what: string, todo: string): void {
    this.warnings.push({ code: `mechanism/${code}`, where: place(element.span), what, todo, span: element.span })
  }
  passOver(what: string): void {
    this.passedOver.set(what, (this.passedOver.get(what) ?? 0) + 1)
  }
  /** Warnings, the passed-over things in one. */
  allWarnings(): readonly Problem[] {
    if (this.passedOver.size === 0) return this.warnings
    const list = [...this.passedOver].map(([what, times]) => (times === 1 ? what : `${what} (${times} times)`)).join(', ')
    return [
      ...this.warnings,
      {
        code: 'mechanism/exchange-not-read',
        where: this.source.file,
        what: `not read, without bearing on the numbers: ${list}`,
        todo: 'nothing, unless you want them kept',
      },
    ]
  }

  /**
   * The core elements inside one element, by name. Notes, annotations and elements of packages that do not change the
   * mathematics are passed over; a core element not in `allowed` is refused.
   */
  inside(element: XmlElement, allowed: readonly string[]): readonly XmlElement[] {
    return elementsOf(element).filter((child) => {
      if (child.namespace !== this.source.namespace && child.namespace !== MATHML) {
        this.passOver(`elements of ${child.namespace === '' ? 'no namespace' : `"${child.namespace}"`}`)
        return false
      }
      if (child.name === 'notes' || child.name === 'annotation') {
        this.passOver(child.name === 'notes' ? 'notes' : 'annotations')
        return false
      }
      if (allowed.includes(child.name)) return true
      this.refuse(
        'exchange-element',
        child,
        `"${child.name}" inside "${element.name}" is not read here`,
        'remove it or express it otherwise',
      )
      return false
    })
  }
  /** The elements `itemName` of the one list `listName` in `element`. */
  list(element: XmlElement, listName: string, itemName: string | readonly string[]): readonly XmlElement[] {
    const items = typeof itemName === 'string' ? [itemName] : itemName
    return elementsOf(element)
      .filter((e) => e.name === listName && e.namespace === this.source.namespace)
      .flatMap((list) => this.inside(list, items))
  }

  text(element: XmlElement, attribute: string): string | undefined {
    return attributeOf(element, attribute)?.trim()
  }
  /** A text that must stand there. */
  needed(element: XmlElement, attribute: string): string {
    const met = this.text(element, attribute)
    if (met !== undefined && met !== '') return met
    this.refuse('exchange-attribute', element, `"${element.name}" has no ${attribute}`, `add ${attribute}="…"`)
    return ''
  }
  number(element: XmlElement, attribute: string): number | undefined {
    const met = this.text(element, attribute)
    if (met === undefined) return undefined
    const special = { INF: Infinity, '-INF': -Infinity, NaN: Number.NaN }[met]
    if (special !== undefined) return special
    if (NUMBER.test(met)) return Number(met)
    this.refuse('exchange-number', element, `${attribute}="${met}" is no number`, 'write digits, INF, -INF or NaN')
    return undefined
  }
  flag(element: XmlElement, attribute: string, otherwise: boolean): boolean {
    const met = this.text(element, attribute)
    if (met === undefined) return otherwise
    if (met === 'true' || met === '1') return true
    if (met === 'false' || met === '0') return false
    this.refuse('exchange-attribute', element, `${attribute}="${met}" is neither true nor false`, 'write true or false')
    return otherwise
  }

  /** The formula in the "math" of an element; undefined where the standard lets it be absent (said in a warning). */
  formula(element: XmlElement, what: string): MathNode | undefined {
    const math = elementsOf(element).find((e) => e.name === 'math' && e.namespace === MATHML)
    const reader = new MathReader(what)
    const read = math ? reader.math(math) : undefined
    this.problems.push(...reader.problems)
    if (read === undefined && reader.problems.length === 0) {
      this.warn(
        'exchange-no-math',
        element,
        `${what} has no formula; by the standard it then has no effect`,
        'add the formula or remove the element',
      )
    }
    return read
  }
}

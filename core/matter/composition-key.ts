import { type Formula, parseFormula } from './parse-formula.ts'
import { countAtoms } from './formula-tree.ts'

/** "C2H4O2": atoms in Hill order (C, H, then by letter), the same for every spelling of one composition. */
export function hillText(elements: Readonly<Record<string, number>>): string {
  const symbols = Object.keys(elements).filter((e) => elements[e] !== 0)
  const rank = (e: string): string =>
    elements['C'] !== undefined && e === 'C' ? '0' : elements['C'] !== undefined && e === 'H' ? '1' : `2${e}`
  return symbols
    .sort((a, b) => (rank(a) < rank(b) ? -1 : 1))
    .map((e) => e + (elements[e] === 1 ? '' : String(elements[e])))
    .join('')
}

/** The formula's atoms without its crystal water. */
export function anhydrousElements(formula: Formula): Readonly<Record<string, number>> {
  const elements: Record<string, number> = {}
  countAtoms(formula.tree.parts[0]!.items, formula.tree.parts[0]!.multiplier, elements)
  return elements
}

/** Formulas asked for again and again are parsed once; what a person types is no more than this many. */
const MOST_KEPT = 512
const kept = new Map<string, string | null>()

/** Key under which a solute stands in the density and solubility tables: Hill text of the anhydrous formula; null when it does not parse. */
export function soluteKey(formulaText: string): string | null {
  const before = kept.get(formulaText)
  if (before !== undefined) return before
  const parsed = parseFormula(formulaText)
  const key = parsed.ok ? hillText(anhydrousElements(parsed.value)) : null
  if (kept.size >= MOST_KEPT) kept.clear()
  kept.set(formulaText, key)
  return key
}

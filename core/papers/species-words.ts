import { parseFormula, writeFormula } from '../matter/index.ts'

/**
 * A species id typeset with sub- and superscripts for plain text. Names that stand for no formula ("MA", "ferroin",
 * "starch") are printed as they are: "MA" must not become a molecule of an element A.
 */
export function speciesWords(id: string): string {
  return parseFormula(id).ok ? writeFormula(id, 'unicode') : id
}

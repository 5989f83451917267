import { parseFormula } from './parse-formula.ts'

/** Greek counting words of hydrate names (IUPAC Red Book 2005, table IV). */
const words: readonly (readonly [string, number])[] = [
  ['hemi', 0.5],
  ['mono', 1],
  ['sesqui', 1.5],
  ['di', 2],
  ['tri', 3],
  ['tetra', 4],
  ['penta', 5],
  ['hexa', 6],
  ['hepta', 7],
  ['octa', 8],
  ['nona', 9],
  ['deca', 10],
  ['dodeca', 12],
]

/** "pentahydrate" for 5, "anhydrous" for 0, "11-hydrate" where there is no common word. */
export function hydrateWord(waters: number): string {
  if (waters === 0) return 'anhydrous'
  const word = words.find(([, n]) => n === waters)
  return word ? `${word[0]}hydrate` : `${waters}-hydrate`
}

/** Waters a hydrate text stands for: "anhydrous", "monohydrate", "·4H2O", "4 H2O", "MnSO4·H2O", "4"; null when it says none of these. */
export function watersIn(text: string): number | null {
  const t = text.trim().toLowerCase()
  if (/^(anhydrous|anhydrate|anhyd\.?|dry|none|0|water-?free)$/.test(t)) return 0
  const named = /^([a-z]+?)-?hydrate$/.exec(t)
  if (named) return words.find(([word]) => word === named[1])?.[1] ?? null
  const counted = /^[·.*•]?\s*(\d+(?:\.\d+)?)?\s*(?:h2o|-?hydrate|waters?|)$/.exec(t)
  if (counted && t !== '') return counted[1] === undefined ? (t.includes('h2o') ? 1 : null) : Number(counted[1])
  const formula = parseFormula(text)
  return formula.ok && formula.value.tree.parts.length > 1 ? formula.value.waters : null
}

const hydrateName = /\b(?:anhydrous|(?:hemi|mono|sesqui|di|tri|tetra|penta|hexa|hepta|octa|nona|deca|dodeca)hydrate)\b/i

/** A name cut into what it names and the hydrate it states, if any: "copper sulfate pentahydrate" -> "copper sulfate", 5. */
export function splitHydrateName(name: string): { readonly compound: string; readonly waters: number | null } {
  const found = hydrateName.exec(name)
  if (!found) return { compound: name.trim(), waters: null }
  const compound = (name.slice(0, found.index) + name.slice(found.index + found[0].length)).replace(/\(\s*\)/, '').replace(/[\s,]+$/, '')
  return { compound: compound.replace(/\s+/g, ' ').trim(), waters: watersIn(found[0]) }
}

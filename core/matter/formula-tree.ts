/** A formula as it is built: atoms, bracketed groups, parts joined by dots. */
export type Bracket = '(' | '[' | '{'
export type FormulaItem =
  | { readonly kind: 'atom'; readonly symbol: string; readonly count: number }
  | { readonly kind: 'group'; readonly bracket: Bracket; readonly items: readonly FormulaItem[]; readonly count: number }

/** One side of a dot: `5H2O` has multiplier 5. */
export interface FormulaPart {
  readonly multiplier: number
  readonly items: readonly FormulaItem[]
}

/** Solid, liquid, gas, dissolved. */
export type FormulaPhase = 's' | 'l' | 'g' | 'aq'
export const formulaPhases: readonly FormulaPhase[] = ['s', 'l', 'g', 'aq']

export interface FormulaTree {
  readonly parts: readonly FormulaPart[]
  readonly charge: number
  readonly phase: FormulaPhase | null
  /** A dot at the end, as in "HO2.": an unpaired electron; no mass, no charge. */
  readonly isRadical: boolean
}

export const closing: Readonly<Record<Bracket, string>> = { '(': ')', '[': ']', '{': '}' }

/** Adds the atoms of `items`, `times` over, to `into`. */
export function countAtoms(items: readonly FormulaItem[], times: number, into: Record<string, number>): void {
  for (const item of items) {
    if (item.kind === 'atom') into[item.symbol] = (into[item.symbol] ?? 0) + item.count * times
    else countAtoms(item.items, item.count * times, into)
  }
}

/** Whether a part is plain water (H2O, OH2, D2O). */
export function isWater(part: FormulaPart): boolean {
  const atoms: Record<string, number> = {}
  countAtoms(part.items, 1, atoms)
  return (
    atoms['O'] === 1 && (atoms['H'] ?? 0) + (atoms['D'] ?? 0) === 2 && Object.keys(atoms).every((e) => e === 'H' || e === 'D' || e === 'O')
  )
}

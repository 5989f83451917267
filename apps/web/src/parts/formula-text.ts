/** Formulas of labels with their figures set low; those behind a hydrate dot or at the start count whole units and stay. */
const LOW = '₀₁₂₃₄₅₆₇₈₉'

/** "MnSO₄·4H₂O" for "MnSO4·4H2O". */
export function formulaText(formula: string): string {
  return formula.replace(/(?<=[A-Za-z)\]])\d+/g, (digits) => Array.from(digits, (d) => LOW.charAt(Number(d))).join(''))
}

/** Rate laws as text: mass action from the equation, expressions as the file has them. */
import type { Step, Term } from '@beakertide/core/mechanism'
import { type Charges, speciesText } from '../../parts/chemical-words.ts'

const POWERS = '⁰¹²³⁴⁵⁶⁷⁸⁹'
const power = (n: number): string => (n === 1 ? '' : Number.isInteger(n) && n < 10 ? POWERS.charAt(n) : `^${n}`)

function product(k: string, terms: readonly Term[], charges: Charges): string {
  const used = terms.filter((x) => x.species !== 'H2O')
  return [k, ...used.map((x) => `[${speciesText(x.species, charges)}]${power(x.coefficient)}`)].join(' ')
}

/** An expression of a file with its species and powers typeset, products written side by side. */
function expressionText(text: string, charges: Charges): string {
  return text
    .replace(/\[([^\]]+)\]/g, (_, id: string) => `[${speciesText(id, charges)}]`)
    .replace(/\^(\d)(?![\d.])/g, (_, n: string) => POWERS.charAt(Number(n)))
    .replace(/\s*\*\s*/g, ' ')
}

/** "kf [I₂] [I⁻] − kr [I₃⁻]"; water, the solvent, is in the constant. */
export function rateLaw(step: Step, charges: Charges): string {
  if (step.law.kind === 'expression') return expressionText(step.law.text, charges)
  const names = step.constants.map((c) => c.name)
  const forward = names.includes('kf') ? 'kf' : (names.find((n) => n.startsWith('k')) ?? 'k')
  const law = product(forward, step.reactants, charges)
  return step.reversible ? `${law} − ${product('kr', step.products, charges)}` : law
}

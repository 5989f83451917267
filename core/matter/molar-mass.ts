import { done, invariant, type Outcome, type Problem } from '@beakertide/basis/problems'
import { seenFrom, type Rows, type Source } from '@beakertide/basis/sources'
import { type GramPerMol, gramPerMol } from '@beakertide/basis/units'
import { type Formula, parseFormula } from './parse-formula.ts'

/** One element's standard atomic weight (g/mol). */
export interface AtomicWeight extends Source {
  readonly symbol: string
  /** CIAAW abridged value. */
  readonly value: number
  /** Standard uncertainty, see `readAtomicWeights`. */
  readonly uncertainty: number
}
/** By element symbol; elements without a standard atomic weight (technetium …) are absent. */
export type AtomicWeights = Readonly<Record<string, AtomicWeight>>

/**
 * Reads the table of standard atomic weights. Convention: the abridged value with its printed plus/minus bound is taken as a
 * uniform (rectangular) distribution over that span, so that the standard uncertainty is bound/sqrt(3). For the elements whose
 * weight CIAAW gives as an interval, the printed bound covers the interval around the abridged value
 * (Possolo, van der Veen, Meija, Hibbert, Pure Appl. Chem. 90 (2018) 395, from memory; GUM 4.3.7 for the division by sqrt(3)).
 */
export function readAtomicWeights(rows: Rows): AtomicWeights {
  const weights: Record<string, AtomicWeight> = {}
  for (const row of rows) {
    if (row['abridged_value'] === '') continue
    const symbol = row['symbol'] ?? ''
    const value = Number(row['abridged_value'])
    const bound = Number(row['abridged_uncertainty'])
    invariant(/^[A-Z][a-z]?$/.test(symbol) && value > 0 && bound >= 0, `atomic_weights.csv: row of "${symbol}" is not readable`)
    weights[symbol] = {
      symbol,
      value,
      uncertainty: bound / Math.sqrt(3),
      source: row['source'] ?? '',
      seen: seenFrom(row['read_or_memory'] ?? ''),
    }
  }
  return weights
}

export interface MolarMass {
  readonly value: GramPerMol
  /** Standard uncertainty: sqrt(sum over elements of (atoms x u)^2). Atoms of one element share one weight, so they add up linearly. */
  readonly uncertainty: GramPerMol
}

/**
 * Molar mass M = sum n_E A_E, g/mol. The mass of electrons (5e-4 g/mol a charge) is left out.
 * A problem for each element that has no standard atomic weight.
 */
export function molarMass(formula: Formula | string, weights: AtomicWeights): Outcome<MolarMass> {
  const parsed = typeof formula === 'string' ? parseFormula(formula) : done(formula)
  if (!parsed.ok) return parsed
  const { text, elements } = parsed.value
  const problems: Problem[] = []
  let value = 0
  let variance = 0
  for (const [symbol, count] of Object.entries(elements)) {
    const weight = Object.hasOwn(weights, symbol) ? weights[symbol] : undefined
    if (!weight) {
      problems.push({
        code: 'matter/no-atomic-weight',
        where: `formula "${text}"`,
        what: `${symbol} has no standard atomic weight (it has no stable isotope, or the table lacks it)`,
        todo: 'use a formula without it',
      })
      continue
    }
    value += count * weight.value
    variance += (count * weight.uncertainty) ** 2
  }
  if (problems.length > 0) return { ok: false, problems }
  return done({ value: gramPerMol(value), uncertainty: gramPerMol(Math.sqrt(variance)) }, parsed.warnings)
}

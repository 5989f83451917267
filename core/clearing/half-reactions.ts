/** Half-reactions as data, combined into balanced equations: the stoichiometry of every treatment comes from here. */
import { invariant } from '@beakertide/basis/problems'
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'

/** Coefficients by species, all positive. */
export type Side = Readonly<Record<SpeciesId, number>>

export interface Equation {
  readonly reactants: Side
  readonly products: Side
  readonly text: string
}

export interface HalfReaction {
  readonly id: string
  readonly side: 'oxidant' | 'reductant'
  readonly species: SpeciesId
  readonly equation: Equation
  /** Electrons in the half-reaction as written. */
  readonly electrons: number
  /** What thiosulfate turns into with this oxidant: tetrathionate only, or anything between it and sulfate. */
  readonly thiosulfateRoute: 'tetrathionate' | 'both'
  readonly note: string
  readonly source: Source
}

export const ELECTRON = 'e-'

function parseSide(text: string): Side {
  const side: Record<SpeciesId, number> = {}
  for (const term of text.split(' + ')) {
    const m = /^(?:(\d+) )?(\S+)$/.exec(term.trim())
    invariant(m !== null, `"${term}" is no term of an equation`)
    side[m[2]!] = (side[m[2]!] ?? 0) + Number(m[1] ?? 1)
  }
  return side
}

/** "IO3- + 6 H+ + 6 e- -> I- + 3 H2O". Throws on a text of another shape: these are tables of ours. */
export function parseEquation(text: string): Equation {
  const [left, right, more] = text.split(' -> ')
  invariant(left !== undefined && right !== undefined && more === undefined, `"${text}" has no single arrow`)
  return { reactants: parseSide(left), products: parseSide(right), text }
}

/** Acid, alkali and water are written last, as chemists do. */
const WRITTEN_LAST = ['OH-', 'H+', 'H2O', ELECTRON]

const sideText = (side: Side): string =>
  Object.entries(side)
    .sort(([a], [b]) => WRITTEN_LAST.indexOf(a) - WRITTEN_LAST.indexOf(b))
    .map(([s, n]) => (n === 1 ? s : `${n} ${s}`))
    .join(' + ')

export function equationOf(reactants: Side, products: Side): Equation {
  return { reactants, products, text: `${sideText(reactants)} -> ${sideText(products)}` }
}

function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b)
}

/** What an oxidant and a reductant do together, electrons balanced and everything common to both sides taken off. */
export function combine(oxidant: HalfReaction, reductant: HalfReaction): Equation {
  const shared = commonDivisor(oxidant.electrons, reductant.electrons)
  const net = new Map<SpeciesId, number>()
  const add = (half: HalfReaction, times: number): void => {
    for (const [s, n] of Object.entries(half.equation.reactants)) net.set(s, (net.get(s) ?? 0) - times * n)
    for (const [s, n] of Object.entries(half.equation.products)) net.set(s, (net.get(s) ?? 0) + times * n)
  }
  add(oxidant, reductant.electrons / shared)
  add(reductant, oxidant.electrons / shared)
  const whole = [...net.values()].filter((n) => n !== 0).reduce((d, n) => commonDivisor(d, Math.abs(n)), 0)
  const reactants: Record<SpeciesId, number> = {}
  const products: Record<SpeciesId, number> = {}
  for (const [s, n] of net) {
    if (n < 0) reactants[s] = -n / whole
    if (n > 0) products[s] = n / whole
  }
  invariant(net.get(ELECTRON) === 0, `electrons of ${oxidant.id} and ${reductant.id} do not cancel`)
  return equationOf(reactants, products)
}

/** Stoichiometric number of a species in an equation, negative for reactants, 0 when it takes no part. */
export function stoichiometricNumber(equation: Equation, species: SpeciesId): number {
  return (equation.products[species] ?? 0) - (equation.reactants[species] ?? 0)
}

/** Every species of an equation once. */
export function speciesOf(equation: Equation): readonly SpeciesId[] {
  return [...new Set([...Object.keys(equation.reactants), ...Object.keys(equation.products)])]
}

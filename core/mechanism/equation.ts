/** Equations as a chemist writes them, and the balance of their atoms and charges. */
import { done, type Outcome, type Problem, refuse, type Span } from '@beakertide/basis/problems'
import type { SpeciesId } from '../matter/index.ts'
import type { Term } from './mechanism.ts'

export interface Equation {
  readonly reactants: readonly Term[]
  readonly products: readonly Term[]
  readonly reversible: boolean
}

/** Where the equation stands, for messages. */
export interface EquationPlace {
  readonly where: string
  readonly span?: Span
}

const MOST_CHARACTERS = 400
/** No published step has a larger coefficient; more is a slip of the keyboard. */
const LARGEST_COEFFICIENT = 100
const SPECIES = /^[A-Za-z][A-Za-z0-9()^.+_-]{0,39}$/
const arrows: readonly { readonly text: string; readonly reversible: boolean }[] = [
  { text: '<=>', reversible: true },
  { text: '⇌', reversible: true },
  { text: '->', reversible: false },
  { text: '→', reversible: false },
]

/** A species name that equations can hold: a letter, then letters, digits and ( ) ^ . + - _, at most 40 characters. */
export function isSpeciesName(text: string): boolean {
  return SPECIES.test(text)
}

/** One side, "IO3- + 5 I- + 6 H+"; equal species are added up. */
function readSide(text: string, fault: (what: string, todo: string) => void): readonly Term[] {
  const sum = new Map<SpeciesId, number>()
  for (const piece of text.split(/\s\+\s/)) {
    const words = piece.trim().split(/\s+/)
    const species = words.at(-1) ?? ''
    if (piece.trim() === '') {
      fault('a species is missing beside a "+" or an arrow', 'write species between the signs, with spaces round "+"')
      continue
    }
    const glued = /^(\d+(?:\.\d+)?)([A-Za-z(].*)$/.exec(species)
    if (glued && words.length === 1) {
      fault(`"${species}" starts with a digit`, `write the coefficient apart: "${glued[1]} ${glued[2]}"`)
      continue
    }
    if (words.length > 2) {
      fault(`"${piece.trim()}" is not a coefficient and a species`, 'put " + " (with spaces) between species')
      continue
    }
    if (!isSpeciesName(species)) {
      fault(`"${species}" is not a species name`, 'start with a letter; letters, digits and ( ) ^ . + - _ may follow')
      continue
    }
    const coefficient = words.length === 2 ? Number(words[0]) : 1
    if (!(coefficient > 0 && coefficient <= LARGEST_COEFFICIENT)) {
      fault(`"${words[0]}" is not a coefficient`, `write a number above 0 and at most ${LARGEST_COEFFICIENT}, as in "2 ${species}"`)
      continue
    }
    sum.set(species, (sum.get(species) ?? 0) + coefficient)
  }
  return [...sum].map(([species, coefficient]) => ({ species, coefficient }))
}

/** Reads "IO3- + I- + 2 H+ -> HIO2 + HOI" (one way) or "… <=> …" (both ways). All faults at once; never throws. */
export function parseEquation(text: string, place: EquationPlace): Outcome<Equation> {
  const problems: Problem[] = []
  const fault = (what: string, todo: string): void => {
    problems.push({ code: 'mechanism/equation', where: place.where, what, todo, ...(place.span ? { span: place.span } : {}) })
  }
  if (text.length > MOST_CHARACTERS) {
    fault(`the equation has ${text.length} characters; at most ${MOST_CHARACTERS} are read`, 'split it into steps')
    return refuse(...problems)
  }
  const arrow = arrows.find((a) => text.includes(a.text))
  const sides = arrow ? text.split(arrow.text) : []
  const [left, right] = sides
  if (
    !arrow ||
    left === undefined ||
    right === undefined ||
    sides.length !== 2 ||
    arrows.some((a) => left.includes(a.text) || right.includes(a.text))
  ) {
    fault(`"${text}" has no single arrow`, 'write "->" for one way or "<=>" for both, once')
    return refuse(...problems)
  }
  const reactants = readSide(left, fault)
  const products = readSide(right, fault)
  return problems.length > 0 ? refuse(...problems) : done({ reactants, products, reversible: arrow.reversible })
}

/** Atoms and charge of a species; null composition: it stands for no formula. */
export interface Composed {
  readonly composition: Readonly<Record<string, number>> | null
  readonly charge: number
}

/** Products minus reactants. */
export interface Imbalance {
  readonly elements: Readonly<Record<string, number>>
  readonly charge: number
  readonly chargeLeft: number
  readonly chargeRight: number
  /** Species without a formula: their atoms cannot be counted. */
  readonly uncounted: readonly SpeciesId[]
}

const ROUND_OFF = 1e-9
const tidy = (x: number): number => Math.round(x * 1e6) / 1e6

/** What the products have more (+) or less (-) than the reactants. */
export function balanceOf(equation: Equation, composed: (species: SpeciesId) => Composed | undefined): Imbalance {
  const elements = new Map<string, number>()
  const uncounted = new Set<SpeciesId>()
  const charges = { left: 0, right: 0 }
  const add = (terms: readonly Term[], sign: 1 | -1): void => {
    for (const { species, coefficient } of terms) {
      const known = composed(species)
      if (!known) continue
      charges[sign === 1 ? 'right' : 'left'] += coefficient * known.charge
      if (!known.composition) uncounted.add(species)
      for (const [element, count] of Object.entries(known.composition ?? {})) {
        elements.set(element, (elements.get(element) ?? 0) + sign * coefficient * count)
      }
    }
  }
  add(equation.reactants, -1)
  add(equation.products, 1)
  const differing = [...elements].filter(([, n]) => Math.abs(n) > ROUND_OFF).map(([element, n]) => [element, tidy(n)] as const)
  return {
    elements: Object.fromEntries(differing.sort(([a], [b]) => a.localeCompare(b))),
    charge: tidy(charges.right - charges.left),
    chargeLeft: tidy(charges.left),
    chargeRight: tidy(charges.right),
    uncounted: [...uncounted],
  }
}

/** "the products lack 1 O and have 2 H too many; the charge is -1 on the left and 0 on the right"; empty when balanced. */
export function describeImbalance(imbalance: Imbalance): string {
  const list = (wanted: (n: number) => boolean): string =>
    Object.entries(imbalance.elements)
      .filter(([, n]) => wanted(n))
      .map(([element, n]) => `${Math.abs(n)} ${element}`)
      .join(', ')
  const lacking = list((n) => n < 0)
  const tooMany = list((n) => n > 0)
  const atoms = [lacking && `lack ${lacking}`, tooMany && `have ${tooMany} too many`].filter(Boolean).join(' and ')
  const charge = imbalance.charge === 0 ? '' : `the charge is ${imbalance.chargeLeft} on the left and ${imbalance.chargeRight} on the right`
  return [atoms && `the products ${atoms}`, charge].filter(Boolean).join('; ')
}

/**
 * Points that fill the unit cube more evenly than chance does: the sequence of I. M. Sobol' (1967, USSR Computational
 * Mathematics and Mathematical Physics 7(4), 86–112) with the direction numbers of S. Joe & F. Y. Kuo (2008, SIAM Journal on
 * Scientific Computing 30, 2635–2654; their file "new-joe-kuo-6", dimensions 2 to 40), in the order of I. A. Antonov &
 * V. M. Saleev (1979), shuffled by nested uniform scrambling (A. B. Owen 1995, in "Monte Carlo and Quasi-Monte Carlo Methods in
 * Scientific Computing", 299–317): every single point is uniform, so averages are unbiased, and the even filling is kept.
 */
import { invariant } from '../problems/index.ts'
import { hash, randomStream, spread } from './random.ts'

/** Places that are filled evenly together; beyond them draws are independent, which is right but no better than chance. */
export const evenDimensions = 40

/** Taken where an independent draw is exactly nothing: half its smallest step. */
const LEAST_DRAW = 2 ** -54

/** Digits of a point after the binary point. */
const DIGITS = 32

/**
 * For dimension 2 onwards: primitive polynomial over two elements, its coefficients read as a binary number from the highest
 * power down, then the first direction numbers m₁, m₂ … (as many as the degree; odd, mₖ < 2ᵏ).
 */
const DIRECTIONS: readonly (readonly [number, ...number[]])[] = [
  [3, 1],
  [7, 1, 3],
  [11, 1, 3, 1],
  [13, 1, 1, 1],
  [19, 1, 1, 3, 3],
  [25, 1, 3, 5, 13],
  [37, 1, 1, 5, 5, 17],
  [41, 1, 1, 5, 5, 5],
  [47, 1, 1, 7, 11, 19],
  [55, 1, 1, 5, 1, 1],
  [59, 1, 1, 1, 3, 11],
  [61, 1, 3, 5, 5, 31],
  [67, 1, 3, 3, 9, 7, 49],
  [91, 1, 1, 1, 15, 21, 21],
  [97, 1, 3, 1, 13, 27, 49],
  [103, 1, 1, 1, 15, 7, 5],
  [109, 1, 3, 1, 15, 13, 25],
  [115, 1, 1, 5, 5, 19, 61],
  [131, 1, 3, 7, 11, 23, 15, 103],
  [137, 1, 3, 7, 13, 13, 15, 69],
  [143, 1, 1, 3, 13, 7, 35, 63],
  [145, 1, 3, 5, 9, 1, 25, 53],
  [157, 1, 3, 1, 13, 9, 35, 107],
  [167, 1, 3, 1, 5, 27, 61, 31],
  [171, 1, 1, 5, 11, 19, 41, 61],
  [185, 1, 3, 5, 3, 3, 13, 69],
  [191, 1, 1, 7, 13, 1, 19, 1],
  [193, 1, 3, 7, 5, 13, 19, 59],
  [203, 1, 1, 3, 9, 25, 29, 41],
  [211, 1, 3, 5, 13, 23, 1, 55],
  [213, 1, 3, 7, 3, 13, 59, 17],
  [229, 1, 3, 1, 3, 5, 53, 69],
  [239, 1, 1, 5, 5, 23, 33, 13],
  [241, 1, 1, 7, 7, 1, 61, 123],
  [247, 1, 1, 7, 9, 13, 61, 49],
  [253, 1, 3, 3, 5, 3, 55, 33],
  [285, 1, 3, 1, 15, 31, 13, 49, 245],
  [299, 1, 3, 5, 15, 31, 59, 63, 97],
  [301, 1, 3, 1, 11, 11, 11, 77, 249],
]

/** Columns of the generator matrix of one dimension (0 the first), highest digit first, as unsigned 32-bit numbers. */
function columnsOf(dimension: number): Uint32Array {
  const columns = new Uint32Array(DIGITS)
  const row = DIRECTIONS[dimension - 1]
  if (row === undefined) {
    // The first dimension mirrors the digits (J. G. van der Corput): its matrix is the unit matrix.
    for (let k = 0; k < DIGITS; k++) columns[k] = 1 << (DIGITS - 1 - k)
    return columns
  }
  const [polynomial, ...first] = row
  const degree = first.length
  for (let k = 0; k < DIGITS; k++) {
    if (k < degree) {
      columns[k] = first[k]! << (DIGITS - 1 - k)
      continue
    }
    // mₖ = 2 a₁ mₖ₋₁ ⊕ 4 a₂ mₖ₋₂ ⊕ … ⊕ 2ˢ mₖ₋ₛ ⊕ mₖ₋ₛ, written for m/2ᵏ: the powers of two fall away but for the last term.
    let next = columns[k - degree]! ^ (columns[k - degree]! >>> degree)
    for (let j = 1; j < degree; j++) if ((polynomial >>> (degree - j)) & 1) next ^= columns[k - j]!
    columns[k] = next
  }
  return columns
}

/** Coordinate of point `index` in one dimension, unscrambled, in units of 2⁻³². */
function plainDigits(columns: Uint32Array, index: number): number {
  let digits = 0
  for (let k = 0, gray = index ^ (index >>> 1); gray !== 0; k++, gray >>>= 1) if (gray & 1) digits ^= columns[k]!
  return digits >>> 0
}

/** The unscrambled sequence, for comparison with published points: coordinate of point `index` (from 0) in a dimension below 40. */
export function plainSobol(index: number, dimension: number): number {
  return plainDigits(columnsOf(dimension), index) / 2 ** DIGITS
}

/**
 * Nested uniform scrambling: each digit is turned or not by a coin that depends on all digits before it and on the key. The
 * digits before, with a one in front, name a node of the binary tree; its coin is a hash of that name.
 */
function scrambled(digits: number, key: number): number {
  let node = 1
  let out = 0
  for (let k = DIGITS - 1; k >= 0; k--) {
    const digit = (digits >>> k) & 1
    const coin = spread(spread(node) ^ key) & 1
    out = (out << 1) | (digit ^ coin)
    node = (node << 1) | digit
  }
  return out >>> 0
}

/** Evenly filling random points whose places have names. */
export interface EvenPoints {
  /** Coordinate of point `index` (a whole number from 0 to 2³¹ − 1) in a named place, in (0, 1). An unknown name is our bug and throws. */
  at(index: number, name: string): number
}

/**
 * Points of a seed, with one place for each name. The same seed and names give the same points on every machine. The first
 * `evenDimensions` names are filled evenly together, best in powers of two; put first what matters most. Names beyond draw
 * from `randomStream`. A place's scrambling hangs on its name, its dimension on where it stands in the list: a name added or
 * removed changes the numbers of all that stand behind it.
 */
export function evenPoints(seed: number, names: readonly string[]): EvenPoints {
  const places = new Map(
    names
      .slice(0, evenDimensions)
      .map((name, dimension) => [name, { columns: columnsOf(dimension), key: spread(hash(`${seed}/even/${name}`)) }] as const),
  )
  const beyond = new Set(names.slice(evenDimensions))
  return {
    at(index, name) {
      const place = places.get(name)
      // The middle of the last digit's interval: never 0 and never 1.
      if (place) return (scrambled(plainDigits(place.columns, index), place.key) + 0.5) / 2 ** DIGITS
      invariant(beyond.has(name), `the points have a place "${name}"`)
      return randomStream(seed, `${index}/${name}`).uniform() || LEAST_DRAW
    },
  }
}

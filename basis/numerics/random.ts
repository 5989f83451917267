import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus'

/** A stream of random numbers that is the same on every machine for the same seed and name. */
export interface RandomStream {
  /** Uniform in [0, 1), multiples of 2⁻⁵³. */
  uniform(): number
  /** Normal with this mean and standard deviation. */
  normal(mean: number, standardDeviation: number): number
  /** Lognormal with this median; a factor of 1.5 means that two thirds lie between median/1.5 and median×1.5. Factor ≥ 1. */
  lognormal(median: number, factor: number): number
  /** Triangular on [low, high] with its peak at mode; low ≤ mode ≤ high. */
  triangular(low: number, mode: number, high: number): number
}

/** 32 bits of a text (FNV-1a; G. Fowler, L. C. Noll, K.-P. Vo, "The FNV Non-Cryptographic Hash Algorithm"). */
export function hash(text: string): number {
  let h = 0x811c9dc5
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
  return h
}

/** Spreads one 32-bit value over all bits, one to one (finalizer of MurmurHash3, A. Appleby, public domain). Signed 32 bits. */
export function spread(value: number): number {
  let z = value
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b)
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35)
  return z ^ (z >>> 16)
}

/**
 * The stream of a seed and a name. Give each uncertain quantity its own name: then adding or removing one leaves the
 * numbers of all others as they were. Generator: xoroshiro128+ (D. Blackman & S. Vigna), from pure-rand.
 */
export function randomStream(seed: number, name = ''): RandomStream {
  const start = hash(`${seed}/${name}`)
  const generator = xoroshiro128plusFromState([1, 2, 3, 4].map((i) => spread(start + Math.imul(i, 0x9e3779b9))))
  // The first outputs of close states are alike; a few are thrown away.
  for (let i = 0; i < 16; i++) generator.next()
  const uniform = (): number => uniformFloat64(generator)
  /** Box & Muller 1958, one of the two: every call uses two uniforms, so streams stay in step. */
  const standard = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
  return {
    uniform,
    normal: (mean, standardDeviation) => mean + standardDeviation * standard(),
    lognormal: (median, factor) => median * factor ** standard(),
    triangular(low, mode, high) {
      const u = uniform()
      if (high <= low) return low
      const peak = (mode - low) / (high - low)
      return u < peak ? low + Math.sqrt(u * (high - low) * (mode - low)) : high - Math.sqrt((1 - u) * (high - low) * (high - mode))
    },
  }
}

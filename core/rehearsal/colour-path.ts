/** A strip as a path in colour space, and where along it the colour settles; turns.ts tells what that means. */
import { ciede2000, colourName, type Lab, steadyHue } from '@beakertide/basis/colour'
import { isPlainTurn } from './pivots.ts'

export interface TurnRules {
  /** ΔE₀₀ between two settled colours from which a change is a turn. */
  readonly turnDeltaE: number
  /** ΔE₀₀ within which a colour is the same. */
  readonly restDeltaE: number
  /** Shortest stay, s, of a colour that the liquid passes without turning back. */
  readonly restS: number
}

/** A colour between two turns. */
export interface SettledColour {
  readonly lab: Lab
  /** Its word; beside a neighbour of the same word "paler …" or "deeper …". */
  readonly name: string
  /** From when to when the colour stays within the rest threshold of it. */
  readonly fromS: number
  readonly untilS: number
}

/** A straight way rests where this share of its time is spent … */
const REST_SHARE = 0.3
/** … and where it is slower, by this factor, than the way on average. */
const REST_SLOWER = 2
/** A slight bend, by this share of a turn, rests more easily: a colour beside the way is noticed sooner than one on it. */
const BEND_SHARE = 0.5
const BEND_REST_SHARE = 0.1
const BEND_REST_SLOWER = 1.5
/** Colours weaker than this Oklab chroma have no hue to speak of (the bound of `colourName` for grey); hues this near are one. */
const HUE_CHROMA = 0.017
const ONE_HUE_DEGREES = 45
/** Under the first L* a colour is the deep end of whatever dye made it, seen beside a colour under the second. */
const NEARLY_BLACK_LIGHTNESS = 20
const DARK_LIGHTNESS = 35
/** A knee parts shares of way and time by at least this much … */
const LEAST_KNEE = 0.2
/** … and goes back by at least this share of a turn. */
const KNEE_SHARE = 0.6
/** Points of the path nearer than this to the last, ΔE₀₀, tell nothing new. */
const THIN_DELTA_E = 0.5

/** ΔE₀₀ never exceeds about twice the straight distance (at grey, where a* is stretched): equal and nearly equal colours need no formula. */
const MOST_STRETCHED = 2.5

/** Places for distances, at least so many a sample. */
const KEPT_A_SAMPLE = 16
/** Knuth's multiplicative hash: 2^32 over the golden ratio, odd. */
const SCATTER = 2654435769

interface Stay {
  readonly first: number
  readonly last: number
  readonly fromS: number
  readonly untilS: number
  readonly seconds: number
}

/** Place of the first of ascending `points` that is at least `least`; their number when none is. */
function placeFrom(points: readonly number[], least: number): number {
  let low = 0
  let high = points.length
  while (low < high) {
    const half = (low + high) >> 1
    if (points[half]! < least) low = half + 1
    else high = half
  }
  return low
}

/** A strip as a path in colour, its points known by sample number. */
export class ColourPath {
  private readonly samples: Lab[]
  private readonly stays = new Map<number, Stay>()
  private readonly ways = new Map<number, boolean>()
  private readonly hues: { readonly chroma: number; readonly hueDegrees: number }[] = []
  private readonly timesS: ArrayLike<number>
  private readonly keptPairs: Float64Array
  private readonly keptDistances: Float64Array
  private readonly rules: TurnRules

  constructor(timesS: ArrayLike<number>, labs: ArrayLike<number>, rules: TurnRules) {
    this.timesS = timesS
    this.rules = rules
    this.samples = Array.from({ length: timesS.length }, (_, i): Lab => [labs[3 * i]!, labs[3 * i + 1]!, labs[3 * i + 2]!])
    const places = 2 ** Math.ceil(Math.log2(KEPT_A_SAMPLE * Math.max(1, timesS.length)))
    this.keptPairs = new Float64Array(places).fill(-1)
    this.keptDistances = new Float64Array(places)
  }

  /** Most are asked for several times, so each stands in a place of its own until another pair needs the place. */
  distance(a: number, b: number): number {
    const pair = a < b ? a * this.samples.length + b : b * this.samples.length + a
    const place = Math.imul(pair, SCATTER) >>> Math.clz32(this.keptPairs.length - 1)
    if (this.keptPairs[place] === pair) return this.keptDistances[place]!
    const distance = ciede2000(this.samples[a]!, this.samples[b]!)
    this.keptPairs[place] = pair
    this.keptDistances[place] = distance
    return distance
  }

  /** Samples that differ from the one kept before, and the first and last sample. */
  thinned(): readonly number[] {
    const kept = [0]
    let last = 0
    for (let i = 1; i < this.samples.length; i++) {
      if (this.isNear(last, i, THIN_DELTA_E)) continue
      kept.push(i)
      last = i
    }
    const end = this.samples.length - 1
    if (last !== end) kept.push(end)
    return kept
  }

  /** How long the colour stays within the rest threshold of sample k, without a break. */
  stay(k: number): Stay {
    const known = this.stays.get(k)
    if (known) return known
    const [first, fromS] = this.reach(k, -1)
    const [last, untilS] = this.reach(k, 1)
    const stay: Stay = { first, last, fromS, untilS, seconds: untilS - fromS }
    this.stays.set(k, stay)
    return stay
  }

  /** How far the colour stays that of sample k, without a break: the last such sample and the time at which it is left, between samples linear. */
  private reach(k: number, direction: 1 | -1): readonly [number, number] {
    const far = this.rules.restDeltaE
    let inside = k
    /** Of `inside`, where it was needed; sample k itself is none away. */
    let near: number | null = 0
    for (;;) {
      const next = inside + direction
      if (this.samples[next] === undefined) return [inside, this.timesS[inside]!]
      if (this.isPlainlyNear(k, next, far)) near = null
      else {
        const away = this.distance(k, next)
        if (!(away < far)) return [inside, this.crossing(inside, next, near ?? this.distance(k, inside), away)]
        near = away
      }
      inside = next
    }
  }

  /** Is the distance less than `far`, told without its formula? */
  private isPlainlyNear(a: number, b: number, far: number): boolean {
    const p = this.samples[a]!
    const q = this.samples[b]!
    const straight = (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2
    return straight < (far / MOST_STRETCHED) ** 2
  }

  /** Is the distance less than `far`? */
  private isNear(a: number, b: number, far: number): boolean {
    return this.isPlainlyNear(a, b, far) || this.distance(a, b) < far
  }

  /** Time at which a colour is left that sample `inside` is `near` to and its neighbour `outside` `away` from. */
  private crossing(inside: number, outside: number, near: number, away: number): number {
    const here = this.timesS[inside]!
    const share = (this.rules.restDeltaE - near) / (away - near)
    return here + Math.min(1, Math.max(0, share)) * (this.timesS[outside]! - here)
  }

  /** First and last pivot moved to where the colour is a turn away from their neighbour, or left out where it never is. */
  trimmed(pivots: readonly number[]): readonly number[] {
    const out = [...pivots]
    const { turnDeltaE } = this.rules
    const end = out.at(-1)!
    const lastLeg = out.at(-2)
    if (lastLeg !== undefined && this.distance(lastLeg, end) < turnDeltaE) {
      out.pop()
      const far = this.farthest(lastLeg, lastLeg, end)
      if (this.distance(lastLeg, far) >= turnDeltaE) out.push(far)
    }
    const next = out[1]
    if (next !== undefined && this.distance(out[0]!, next) < turnDeltaE) {
      const far = this.farthest(next, out[0]!, next)
      out.splice(0, 1, ...(this.distance(far, next) >= turnDeltaE ? [far] : []))
    }
    return out
  }

  private farthest(from: number, first: number, last: number): number {
    let best = first
    let far = 0
    for (let i = first; i <= last; i++) {
      const d = this.distance(from, i)
      if (d > far) [best, far] = [i, d]
    }
    return best
  }

  /**
   * Pivots moved to the colour an eye remembers between its neighbours: where the product of staying and of going back, squared,
   * is greatest. The farthest colour of a swing may be one that it only flies through.
   */
  atRests(pivots: readonly number[], points: readonly number[]): readonly number[] {
    const out = [...pivots]
    for (let i = 1; i + 1 < out.length; i++) {
      const [a, k, b] = [out[i - 1]!, out[i]!, out[i + 1]!]
      const whole = this.distance(a, b)
      const goesBack = (p: number): number => (this.distance(a, p) + this.distance(p, b) - whole) / 2
      let most = this.stay(k).seconds * goesBack(k) ** 2
      for (let at = placeFrom(points, a + 1); at < points.length && points[at]! < b; at++) {
        const p = points[at]!
        const back = goesBack(p)
        if (back < this.rules.turnDeltaE) continue
        const remembered = this.stay(p).seconds * back ** 2
        if (remembered > most) [out[i], most] = [p, remembered]
      }
    }
    return out
  }

  /** Pivots on a bend moved to the knee beside them, where there is one. */
  atKnees(pivots: readonly number[], points: readonly number[]): readonly number[] {
    const out = [...pivots]
    for (let i = 1; i + 1 < out.length; i++) out[i] = this.kneeBetween(out[i - 1]!, out[i]!, out[i + 1]!, points)
    return out
  }

  /**
   * On a smooth bend many points go back nearly as far as the farthest. What an eye remembers is the colour just before a sudden
   * change, or just after one: the knee, where the share of the way covered is farthest from the share of the time gone.
   */
  private kneeBetween(a: number, k: number, b: number, points: readonly number[]): number {
    const { turnDeltaE, restS } = this.rules
    const whole = this.distance(a, b)
    const goesBack = (there: number, on: number): number => (there + on - whole) / 2
    const [there, on] = [this.distance(a, k), this.distance(k, b)]
    if (isPlainTurn(goesBack(there, on), there, on)) return k
    const between = points.slice(placeFrom(points, a + 1), placeFrom(points, b))
    const covered = [this.distance(a, between[0]!)]
    for (let i = 1; i < between.length; i++) covered.push(covered[i - 1]! + this.distance(between[i - 1]!, between[i]!))
    const way = covered.at(-1)! + this.distance(between.at(-1)!, b)
    const leaves = this.stay(a).untilS
    const takes = this.stay(b).fromS - leaves
    let best = k
    let sharpest = LEAST_KNEE
    between.forEach((p, i) => {
      const [to, from] = [this.distance(a, p), this.distance(p, b)]
      if (Math.min(to, from) < turnDeltaE || goesBack(to, from) < KNEE_SHARE * turnDeltaE) return
      const { fromS, untilS, seconds } = this.stay(p)
      if (seconds < restS) return
      const share = covered[i]! / way
      const sharp = Math.max(share - (fromS - leaves) / takes, (untilS - leaves) / takes - share)
      if (sharp > sharpest) [best, sharpest] = [p, sharp]
    })
    return best
  }

  /** Pivots with every settled colour on the ways between them put in, the plainest first. */
  withAllSettled(pivots: readonly number[], points: readonly number[]): readonly number[] {
    const out: number[] = []
    const put = (a: number, b: number): void => {
      const between = this.settledBetween(a, b, points)
      if (between !== null) {
        put(a, between)
        put(between, b)
      } else out.push(b)
    }
    pivots.forEach((b, i) => (i === 0 ? out.push(b) : put(pivots[i - 1]!, b)))
    return out
  }

  /** The point between a and b where the colour settles: the farthest going back, or else the longest rest; or null. */
  private settledBetween(a: number, b: number, points: readonly number[]): number | null {
    let best: number | null = null
    let most = 0
    const whole = this.distance(a, b)
    for (let at = placeFrom(points, a + 1); at < points.length && points[at]! < b; at++) {
      const k = points[at]!
      const how = this.settles(a, k, b, whole)
      if (how <= most) continue
      best = k
      most = how
    }
    return best
  }

  /**
   * How plainly the colour settles at k on the way from a to b: 0 not at all; up to 1 by a rest, more for a longer one;
   * above 1 by turning back or bending, more for going farther back. On a way of one hue only plain turning back or a rest counts:
   * that a colour deepens or pales by a crooked way through colour space is not seen as two changes; nor that it deepens to black.
   */
  private settles(a: number, k: number, b: number, whole: number): number {
    const { turnDeltaE, restDeltaE, restS } = this.rules
    if (this.isNear(a, k, turnDeltaE) || this.isNear(k, b, turnDeltaE)) return 0
    const there = this.distance(a, k)
    const on = this.distance(k, b)
    const back = (there + on - whole) / 2
    const turnsBack = back >= turnDeltaE
    if (turnsBack && isPlainTurn(back, there, on)) return 1 + back
    const { seconds } = this.stay(k)
    if (seconds < restS) return 0
    const canBend = !this.isOneHue(a, b) && !this.isDeepEnd(a, k) && !this.isDeepEnd(b, k)
    if (turnsBack && canBend) return 1 + back
    const takes = this.stay(b).fromS - this.stay(a).untilS
    const evenShare = (2 * restDeltaE) / (there + on - 2 * restDeltaE)
    const isBend = canBend && back >= BEND_SHARE * turnDeltaE
    const needed = isBend ? Math.max(BEND_REST_SHARE, BEND_REST_SLOWER * evenShare) : Math.max(REST_SHARE, REST_SLOWER * evenShare)
    return takes > 0 && seconds >= needed * takes ? Math.min(1, seconds / takes) : 0
  }

  /** Do all colours on the way from a to b that have a hue have one and the same? Asked again and again of one way. */
  private isOneHue(a: number, b: number): boolean {
    const way = a * this.samples.length + b
    let known = this.ways.get(way)
    if (known === undefined) this.ways.set(way, (known = this.hasOneHue(a, b)))
    return known
  }

  private hasOneHue(a: number, b: number): boolean {
    let first: number | null = null
    let least = 0
    let most = 0
    for (let i = a; i <= b; i++) {
      const { chroma, hueDegrees } = this.hue(i)
      if (chroma < HUE_CHROMA) continue
      first ??= hueDegrees
      const off = ((hueDegrees - first + 540) % 360) - 180
      least = Math.min(least, off)
      most = Math.max(most, off)
      if (most - least > ONE_HUE_DEGREES) return false
    }
    return true
  }

  /** Is pivot `dark` only the nearly black end of the colour at k, met by deepening and nothing else? A jump shows no deepening. */
  private isDeepEnd(dark: number, k: number): boolean {
    const [first, last] = [Math.min(dark, k), Math.max(dark, k)]
    const isDark = this.samples[dark]![0] < NEARLY_BLACK_LIGHTNESS && this.samples[k]![0] < DARK_LIGHTNESS
    return isDark && last > first + 1 && this.isOneHue(first, last)
  }

  private hue(i: number): { readonly chroma: number; readonly hueDegrees: number } {
    return (this.hues[i] ??= steadyHue(this.samples[i]!))
  }

  /** Pivots without those that, beside their final neighbours, are no settled colour; the least going back goes first. */
  pruned(pivots: readonly number[]): readonly number[] {
    const out = [...pivots]
    /** How far the way goes back at out[i]; infinite where the colour settles. */
    const keeps = (i: number): number => {
      if (i <= 0 || i + 1 >= out.length) return Number.POSITIVE_INFINITY
      const [a, k, b] = [out[i - 1]!, out[i]!, out[i + 1]!]
      const whole = this.distance(a, b)
      if (this.settles(a, k, b, whole) > 0) return Number.POSITIVE_INFINITY
      return this.distance(a, k) + this.distance(k, b) - whole
    }
    const kept = out.map((_, i) => keeps(i))
    for (;;) {
      const least = Math.min(...kept)
      if (least === Number.POSITIVE_INFINITY) return this.trimmed(out)
      const worst = kept.indexOf(least)
      out.splice(worst, 1)
      kept.splice(worst, 1)
      kept[worst - 1] = keeps(worst - 1)
      kept[worst] = keeps(worst)
    }
  }

  /** The colour around pivot k, averaged over its stay, with its times. */
  settledAt(k: number): SettledColour {
    const { first, last, fromS, untilS } = this.stay(k)
    let weight = 0
    const sum: [number, number, number] = [0, 0, 0]
    for (let i = first; i <= last; i++) {
      const w = (this.timesS[Math.min(i + 1, last)]! - this.timesS[Math.max(i - 1, first)]!) / 2
      weight += w
      for (const c of [0, 1, 2] as const) sum[c] += w * this.samples[i]![c]
    }
    const lab: Lab = weight > 0 ? [sum[0] / weight, sum[1] / weight, sum[2] / weight] : this.samples[k]!
    return { lab, name: colourName(lab), fromS, untilS }
  }

  /** Time at which the colour is as far from `from` as from `to`: the last such moment before it arrives, between samples linear. */
  midChange(a: number, b: number, from: Lab, to: Lab): number {
    const lead = (i: number): number => ciede2000(from, this.samples[i]!) - ciede2000(this.samples[i]!, to)
    let i = b
    let after = lead(b)
    while (i > a) {
      const before = lead(i - 1)
      if (before < 0) {
        const share = after > before ? -before / (after - before) : 0.5
        return this.timesS[i - 1]! + Math.min(1, Math.max(0, share)) * (this.timesS[i]! - this.timesS[i - 1]!)
      }
      after = before
      i--
    }
    return this.timesS[a]!
  }
}

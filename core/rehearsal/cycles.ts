/** Cycles, periods and the share of each colour, from turns and strips. */
import { ciede2000 } from '@beakertide/basis/colour'
import type { StripSample, Turn } from './rehearsal.ts'
import type { SeenTurns } from './turns.ts'

export interface Cycles {
  /** Whole rounds: the marking turn came, and the colour it started from came back. 0 without a repeated turn. */
  readonly cycles: number
  /** Times between successive returns of the marking turn, s. */
  readonly periodsS: readonly number[]
  /** The turn that marks the rounds; null when no turn returns. */
  readonly mark: { readonly from: string; readonly to: string } | null
  /** Times of the marking turn, s. */
  readonly marksS: readonly number[]
}

/** Two turns are of one kind when both their colours differ by less than this share of the smaller turn. */
const SAME_KIND_SHARE = 0.5

/** A first round this much longer than the second is the start of the show, not a round (our own choice). */
const START_ROUND = 1.5

/** The chain without its first turn when that stands alone: the long wait after it is the induction, not a round. */
function withoutStart(chain: readonly number[], turns: readonly Turn[]): readonly number[] {
  const [a, b, c] = chain.slice(0, 3).map((i) => turns[i]!.timeS)
  if (a === undefined || b === undefined || c === undefined) return chain
  return b - a > START_ROUND * (c - b) ? chain.slice(1) : chain
}

/**
 * The rounds of an oscillation. Of all chains "turn, next turn of the same kind, …" the longest marks the rounds, among equals
 * that of the greatest colour change, then the earliest. A turn is compared with the one before it in its chain only, so
 * colours may drift over a long run. A round in which one of the turns is missing leaves the others' chains whole. A first turn
 * long before the second of its kind belongs to the start (a catalyst that changes colour at once, then a long wait).
 */
export function cyclesOf(seen: SeenTurns): Cycles {
  const { turns, settled } = seen
  const isSameKind = (i: number, j: number): boolean => {
    const near = SAME_KIND_SHARE * Math.min(turns[i]!.deltaE, turns[j]!.deltaE)
    return ciede2000(settled[i]!.lab, settled[j]!.lab) < near && ciede2000(settled[i + 1]!.lab, settled[j + 1]!.lab) < near
  }
  const chained = new Set<number>()
  let best: readonly number[] = []
  for (let start = 0; start < turns.length; start++) {
    if (chained.has(start)) continue
    const found = [start]
    for (let j = start + 1; j < turns.length; j++) if (isSameKind(found.at(-1)!, j)) found.push(j)
    for (const i of found) chained.add(i)
    const chain = withoutStart(found, turns)
    if (chain.length > best.length || (chain.length === best.length && meanDeltaE(chain, turns) > meanDeltaE(best, turns) + 1)) best = chain
  }
  const last = best.at(-1)
  const first = best[0]
  if (best.length < 2 || last === undefined || first === undefined) return { cycles: 0, periodsS: [], mark: null, marksS: [] }
  const marksS = best.map((i) => turns[i]!.timeS)
  const near = SAME_KIND_SHARE * turns[last]!.deltaE
  const cameBack = settled.slice(last + 2).some((colour) => ciede2000(colour.lab, settled[last]!.lab) < near)
  return {
    cycles: cameBack ? best.length : best.length - 1,
    periodsS: marksS.slice(1).map((timeS, i) => timeS - marksS[i]!),
    mark: { from: turns[first]!.from, to: turns[first]!.to },
    marksS,
  }
}

function meanDeltaE(chain: readonly number[], turns: readonly Turn[]): number {
  return chain.reduce((sum, i) => sum + turns[i]!.deltaE, 0) / Math.max(1, chain.length)
}

/** Changes this soon after a pour are the pour itself, s: mixing is taken as instantaneous. */
const POUR_ITSELF_S = 1e-6

/** Time from `startS` to the first turn after it, s; null when nothing is seen. A jump of colour at `startS` is the pour, not the reaction. */
export function inductionOf(turns: readonly Turn[], startS: number): number | null {
  const first = turns.find((turn) => turn.timeS > startS + POUR_ITSELF_S)
  return first === undefined ? null : first.timeS - startS
}

/** Seconds and share of each named colour, longest first; each stretch between two samples counts half for either name. */
export function dutyOf(
  strip: readonly StripSample[],
): readonly { readonly name: string; readonly seconds: number; readonly share: number }[] {
  const seconds = new Map<string, number>()
  const add = (name: string, s: number): void => void seconds.set(name, (seconds.get(name) ?? 0) + s)
  for (let i = 1; i < strip.length; i++) {
    const half = (strip[i]!.timeS - strip[i - 1]!.timeS) / 2
    add(strip[i - 1]!.name, half)
    add(strip[i]!.name, half)
  }
  const whole = [...seconds.values()].reduce((a, b) => a + b, 0)
  return [...seconds]
    .map(([name, s]) => ({ name, seconds: s, share: whole > 0 ? s / whole : 0 }))
    .filter((colour) => colour.seconds > 0)
    .sort((a, b) => b.seconds - a.seconds || a.name.localeCompare(b.name))
}

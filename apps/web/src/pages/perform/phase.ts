/**
 * Where a performance stands: predicted turns moved and stretched to the turns that were seen. Pure; from all taps anew each time, so
 * that taking one back undoes everything it did.
 *
 * The rule. Before anything is seen, predicted times move by as much as the pour that sets it off came late. The first tap is the first
 * turn. Every later tap is the open turn that was expected nearest to it; turns passed over are missed; a tap in the first third of the
 * way to the next turn, or after the last one, is an extra that moves nothing. Times then run from the newest paired tap, stretched by
 * the sum of the seen intervals over that of the predicted ones, in which each older interval counts a fifth less and one predicted interval counts as
 * seen at its own length, so that the first taps do not throw it about. The band narrows with the root of the intervals seen.
 */
import type { TurnSpan } from '@beakertide/core/papers'

export interface ExpectedTurn extends TurnSpan {
  readonly from: string
  readonly to: string
}

export interface Pairing {
  /** Place among the predicted turns. */
  readonly turn: number
  readonly seenS: number
}

export interface NextTurn {
  readonly turn: number
  readonly timeS: number
  /** Null before anything was seen when the rehearsal has no band. */
  readonly lowS: number | null
  readonly highS: number | null
}

export interface Phase {
  readonly pairs: readonly Pairing[]
  readonly missed: readonly number[]
  readonly extraS: readonly number[]
  /** Seen time over predicted time; 1 before two turns were seen. */
  readonly stretch: number
  /** All turns still to come, re-phased, in order. */
  readonly coming: readonly NextTurn[]
}

/** A tap nearer to the last turn than this share of the way to the next is no new turn. */
const TOO_EARLY = 1 / 3
/** Turns that one tap may pass over. */
const MOST_PASSED = 4
/** What an older interval counts against the one after it. */
const FADING = 0.8
const SLOWEST = 5
/** Half width of the band where the rehearsal gives none, as a share of the interval (assumed). */
const UNKNOWN_HALF = 0.25
/** Two hands on a clock are not better than this, s (our choice). */
const WATCHING_S = 1

/** Re-phased turns after these taps. `lateS`: how much later than planned the pour that sets it off was made. */
export function phaseOf(turns: readonly ExpectedTurn[], tapsS: readonly number[], lateS = 0): Phase {
  const pairs: Pairing[] = []
  const missed: number[] = []
  const extraS: number[] = []
  const intervals: { readonly seen: number; readonly predicted: number }[] = []
  let stretch = 1

  const expected = (k: number): number => {
    const last = pairs.at(-1)
    const timeS = turns[k]!.timeS
    return last ? last.seenS + stretch * (timeS - turns[last.turn]!.timeS) : timeS + lateS
  }
  for (const tap of [...tapsS].sort((a, b) => a - b)) {
    const last = pairs.at(-1)
    const open = last ? last.turn + 1 : 0
    if (open >= turns.length) {
      extraS.push(tap)
      continue
    }
    if (last && tap - last.seenS < TOO_EARLY * (expected(open) - last.seenS)) {
      extraS.push(tap)
      continue
    }
    let turn = open
    if (last) {
      for (let k = open + 1; k < Math.min(turns.length, open + 1 + MOST_PASSED); k++) {
        if (Math.abs(tap - expected(k)) < Math.abs(tap - expected(turn))) turn = k
      }
      for (let k = open; k < turn; k++) missed.push(k)
      intervals.push({ seen: tap - last.seenS, predicted: turns[turn]!.timeS - turns[last.turn]!.timeS })
      stretch = stretchOf(intervals)
    }
    pairs.push({ turn, seenS: tap })
  }
  const from = (pairs.at(-1)?.turn ?? -1) + 1
  const coming = turns.slice(from).map((_, i) => spanOf(from + i, expected(from + i), turns, pairs, stretch, lateS))
  return { pairs, missed, extraS, stretch, coming }
}

function stretchOf(intervals: readonly { readonly seen: number; readonly predicted: number }[]): number {
  let seen = intervals.reduce((sum, i) => sum + i.predicted, 0) / intervals.length
  let predicted = seen
  let weight = 1
  for (const i of [...intervals].reverse()) {
    seen += weight * i.seen
    predicted += weight * i.predicted
    weight *= FADING
  }
  return predicted > 0 ? Math.min(SLOWEST, Math.max(1 / SLOWEST, seen / predicted)) : 1
}

function spanOf(
  turn: number,
  timeS: number,
  turns: readonly ExpectedTurn[],
  pairs: readonly Pairing[],
  stretch: number,
  lateS: number,
): NextTurn {
  const last = pairs.at(-1)
  const own = turns[turn]!
  if (!last) return { turn, timeS, lowS: own.lowS === null ? null : own.lowS + lateS, highS: own.highS === null ? null : own.highS + lateS }
  const before = turns[last.turn]!
  const gap = own.timeS - before.timeS
  const share = (end: number | null, endBefore: number | null): number =>
    end === null || endBefore === null || gap <= 0 ? UNKNOWN_HALF : Math.abs((end - endBefore) / gap - 1)
  const narrower = 1 / Math.sqrt(pairs.length)
  const half = (of: number): number => Math.max(WATCHING_S, stretch * gap * of * narrower)
  const lowS = Math.max(last.seenS, timeS - half(share(own.lowS, before.lowS)))
  return { turn, timeS, lowS, highS: timeS + half(share(own.highS, before.highS)) }
}

/** Vessels that take one course, each from its own start: told once, the others by the difference of their clocks. */
import type { Rehearsal, Trace } from '../rehearsal/index.ts'

/** Two times this close, s, are the same in a course. */
const SAME_WITHIN_S = 2
/** Turns looked at; what agrees so far goes on alike. */
const TURNS_COMPARED = 6
/** Lowest and highest values this close, as a share of the height of the trace, are the same … */
const SAME_SHARE = 0.05
/** … and as a share of the values, for traces that hardly move. */
const SAME_VALUE = 1e-4

export interface SameCourse {
  readonly first: Rehearsal
  readonly others: readonly Rehearsal[]
}

const lowest = (t: Trace): number => t.values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
const highest = (t: Trace): number => t.values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)

/** Do all traces lie between the same values? Ten times the liquid takes the same course, but sets ten times the gas free. */
export function haveSameTraces(a: Rehearsal, b: Rehearsal): boolean {
  if (a.traces.length !== b.traces.length) return false
  return a.traces.every((t, i) => {
    const u = b.traces[i]!
    if (u.name !== t.name || u.unit !== t.unit) return false
    const ends = [lowest(t), highest(t), lowest(u), highest(u)] as const
    const [low, high, otherLow, otherHigh] = ends
    const near = SAME_SHARE * Math.max(high - low, otherHigh - otherLow) + SAME_VALUE * Math.max(...ends.map(Math.abs))
    return Math.abs(low - otherLow) <= near && Math.abs(high - otherHigh) <= near
  })
}

/** In the order of the rehearsals; the first of each course stands for the others. Without a turn it is the colour that must be the same. */
export function sameCourses(all: readonly Rehearsal[]): readonly SameCourse[] {
  const groups: { first: Rehearsal; others: Rehearsal[] }[] = []
  const isLike = (a: Rehearsal, b: Rehearsal): boolean =>
    a.mechanism === b.mechanism &&
    (a.turns.length > 0 || a.finalColour.name === b.finalColour.name) &&
    a.turns.slice(0, TURNS_COMPARED).every((t, i) => {
      const u = b.turns[i]
      return u?.from === t.from && u.to === t.to && Math.abs(t.timeS - a.startS - u.timeS + b.startS) <= SAME_WITHIN_S
    })
  for (const r of all) {
    const met = groups.find((g) => isLike(g.first, r) && isLike(r, g.first))
    if (met) met.others.push(r)
    else groups.push({ first: r, others: [] })
  }
  return groups
}

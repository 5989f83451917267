/** Vessels that take one course, each from its own start: told once, the others by the difference of their clocks. */
import type { Rehearsal } from '../rehearsal/index.ts'

/** Two times this close, s, are the same in a course. */
const SAME_WITHIN_S = 2
/** Turns looked at; what agrees so far goes on alike. */
const TURNS_COMPARED = 6

export interface SameCourse {
  readonly first: Rehearsal
  readonly others: readonly Rehearsal[]
}

/** In the order of the rehearsals; the first of each course stands for the others. */
export function sameCourses(all: readonly Rehearsal[]): readonly SameCourse[] {
  const groups: { first: Rehearsal; others: Rehearsal[] }[] = []
  const isLike = (a: Rehearsal, b: Rehearsal): boolean =>
    a.mechanism === b.mechanism &&
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

/** Where in a text something stands: lines and columns count from 1. */
export interface Span {
  readonly file?: string
  readonly line: number
  readonly column: number
  readonly endLine?: number
  readonly endColumn?: number
}

/**
 * One thing that is wrong or worth a look, said so that a person can act on it.
 * Plain data; survives JSON.
 */
export interface Problem {
  /** Stable name, `room/what-is-wrong`; users and tests may rely on it. */
  readonly code: string
  /** Where it stands, in words: a file place, a bottle, a solution, a step. */
  readonly where: string
  /** What is wrong, with the value met and the value allowed, in the user's own units. */
  readonly what: string
  /** One concrete next step, with the nearest name where there is one. */
  readonly todo: string
  /** Can hurt somebody: shown first, cannot be switched off. */
  readonly danger?: true
  /** Place in the document text, when the problem comes from one. */
  readonly span?: Span
}

/** A value with things worth a look, or the list of everything that prevents it. */
export type Outcome<T> =
  | { readonly ok: true; readonly value: T; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] }

/** A good outcome. */
export function done<T>(value: T, warnings: readonly Problem[] = []): Outcome<T> {
  return { ok: true, value, warnings }
}

/** A refused outcome; takes one problem or many (at least one). */
export function refuse(...problems: readonly Problem[]): Outcome<never> {
  invariant(problems.length > 0, 'refuse() needs at least one problem')
  return { ok: false, problems }
}

/** All values, or all problems of all outcomes together; warnings are kept in order. */
export function gather<T>(outcomes: readonly Outcome<T>[]): Outcome<readonly T[]> {
  const problems = outcomes.flatMap((o) => (o.ok ? [] : o.problems))
  if (problems.length > 0) return { ok: false, problems }
  const values: T[] = []
  const warnings: Problem[] = []
  for (const o of outcomes) {
    if (!o.ok) continue
    values.push(o.value)
    warnings.push(...o.warnings)
  }
  return done(values, warnings)
}

/** Dangers first, then document order; stable otherwise. */
export function inReadingOrder(problems: readonly Problem[]): readonly Problem[] {
  return [...problems].sort(
    (a, b) =>
      Number(b.danger ?? false) - Number(a.danger ?? false) ||
      (a.span?.line ?? 0) - (b.span?.line ?? 0) ||
      (a.span?.column ?? 0) - (b.span?.column ?? 0),
  )
}

/** Thrown only for a bug of ours, never for what a user wrote. */
export class BrokenInvariant extends Error {
  override readonly name = 'BrokenInvariant'
}

/** States what must hold in our own code; a failure is our bug and asks for a report. */
export function invariant(holds: boolean, why: string): asserts holds {
  if (!holds) throw new BrokenInvariant(`${why} (this is a fault in Beakertide: please report it with the input)`)
}

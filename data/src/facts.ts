/**
 * Every table of facts, read once and only when asked for. Core never imports this: a door hands the parts over.
 * Each room adds one entry here, made by the reader the room exports.
 */
import { readHazardFacts } from '@beakertide/core/cautions'
import { rows } from './rows.ts'

/** Remembers the first result of `make`. */
function once<T>(make: () => T): () => T {
  let kept: { readonly value: T } | undefined
  return () => (kept ??= { value: make() }).value
}

export const facts = {
  /** Any table as text rows, e.g. `facts.rows('hazards/exposure_limits')`. */
  rows,
  /** (rooms add their entries below this line, one each) */
  raw: once(() => rows),
  /** Hazard classes, strength bands, pairs that must not meet, limits in air. */
  hazards: once(() => readHazardFacts(rows)),
}

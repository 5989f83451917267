/** What counts as grave. Stated here too, so that the first view needs nothing of core; a test holds it to the sheets' own number. */
import type { DangerLine } from '@beakertide/core/papers'

/** From this severity on a caution stands open on every page and must have been read before a performance. */
export const GRAVE = 3

/** A line that stands open: refused, or grave for what is really done. */
export const isGrave = (line: DangerLine): boolean => line.refused || (line.severity >= GRAVE && !line.onlyIf)

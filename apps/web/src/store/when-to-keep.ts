/** Which versions are kept: one every few minutes of work, for some weeks. Pure. */
import type { KeptVersion } from './kept.ts'

/** A version now and then, ms. */
const EACH_MS = 3 * 60_000
/** Texts of the other tab follow each other quickly while someone types there. */
const OTHER_TAB_EACH_MS = 20_000
/** How long versions stay, ms, and how many at most. */
const LONGEST_MS = 30 * 86_400_000
const MOST = 120
/** These stay however old they are. */
const ALWAYS = 10

/** Is a version worth keeping now, given those of the same demonstration? */
export function isWorthKeeping(why: KeptVersion['why'], at: number, before: readonly KeptVersion[]): boolean {
  if (why === 'before it was replaced') return true
  const each = why === 'other tab' ? OTHER_TAB_EACH_MS : EACH_MS
  return !before.some((v) => v.why === why && at - v.at < each)
}

/** Versions to let go. */
export function tooMany(versions: readonly KeptVersion[], now: number): readonly KeptVersion[] {
  return [...versions].sort((a, b) => b.at - a.at).filter((v, i) => i >= ALWAYS && (i >= MOST || now - v.at > LONGEST_MS))
}

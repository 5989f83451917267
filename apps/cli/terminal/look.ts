/** How wide a terminal is and whether it shows colours. */
import type { Door } from './door.ts'

export interface TerminalLook {
  /** Characters a line holds. */
  readonly columns: number
  /** True-colour escapes may be written. */
  readonly colour: boolean
}

const USUAL_COLUMNS = 100
/** Longer lines of text are hard to read. */
const WIDEST_COLUMNS = 120
const NARROWEST_COLUMNS = 40

/** Colours are written to a terminal that has them; NO_COLOR (a common agreement of terminal programs) and TERM=dumb turn them off. */
export function lookOf(door: Door, plain: boolean): TerminalLook {
  const { stdout, env } = door.process
  const colour = !plain && stdout.isTTY === true && (env?.['NO_COLOR'] ?? '') === '' && env?.['TERM'] !== 'dumb'
  // A terminal that does not know its size says 0.
  const columns = stdout.columns || USUAL_COLUMNS
  return { columns: Math.max(NARROWEST_COLUMNS, Math.min(columns, WIDEST_COLUMNS)), colour }
}

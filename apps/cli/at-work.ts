/** Long work of a command: over all cores, and stopped cleanly when somebody interrupts it. */
import type { DayOverPool } from '@beakertide/demonstration'
import { dayFacts, type ReadyDay } from './desk.ts'
import { threadPool } from './thread-pool.ts'
import type { Door } from './terminal/door.ts'

/** What may be said of how work is spread. */
export interface ThreadFlags {
  readonly threads?: number
}

/** Gives `work` a day over a pool that ends when the work does. An interruption aborts its signal; a second one ends the program. */
export async function atWork<T>(door: Door, ready: ReadyDay, flags: ThreadFlags, work: (day: DayOverPool) => Promise<T>): Promise<T> {
  const stop = new AbortController()
  const quiet = door.onInterrupt(() => stop.abort())
  const pool = threadPool(flags.threads ?? door.threads)
  try {
    return await work({ ...ready, pool, facts: dayFacts(), signal: stop.signal })
  } finally {
    quiet()
    await pool.close()
  }
}

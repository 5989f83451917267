import { describe, expect, it } from 'vitest'
import { type Outcome, problemsText } from '@beakertide/basis/problems'
import { bandOver, type DayOverPool, type Job, type TaskPool } from '@beakertide/demonstration'
import { dayFacts, openReady } from './desk.ts'
import { realDoor } from './terminal/door.ts'
import { right } from './testing/fake-door.ts'
import { threadPool } from './thread-pool.ts'

const value = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(problemsText(outcome.problems))
  return outcome.value
}
const ready = value(openReady(realDoor(), right('slow-fuse')))
const over = (pool: TaskPool): DayOverPool => ({ ...ready, pool, facts: dayFacts() })
const endless: Job = {
  ...ready.head,
  vessel: 'flask',
  kind: 'varied-recipes',
  seed: 1,
  factor: 2,
  runs: { from: 0, until: 1_000_000 },
  relativeTolerance: 1e-6,
  samples: 1001,
}

describe('the pool of threads', () => {
  it('gives the same band to the last bit on none, one and three', async () => {
    const bands = []
    for (const threads of [0, 1, 3]) {
      const pool = threadPool(threads, 0)
      bands.push(value(await bandOver(over(pool), { vessel: 'flask', samples: 12, seed: 4 })))
      await pool.close()
    }
    expect(bands[1]).toEqual(bands[0])
    expect(bands[2]).toEqual(bands[0])
    expect(bands[0]!.samples).toBe(12)
  })
  it('stops a job in its middle, and works on afterwards', async () => {
    const pool = threadPool(2, 0)
    const stop = new AbortController()
    const codes: string[] = []
    setTimeout(() => stop.abort(), 300)
    for await (const { outcome } of pool.run([endless, endless, endless], { signal: stop.signal })) {
      codes.push(outcome.ok ? 'done' : outcome.problems[0]!.code)
    }
    // the third never began
    expect(codes).toEqual(['work/cancelled', 'work/cancelled'])
    const band = value(await bandOver(over(pool), { vessel: 'flask', samples: 4, seed: 4 }))
    expect(band.samples).toBe(4)
    await pool.close()
  })
  it('a job that no thread can take is an outcome, and the pool lives on', async () => {
    const pool = threadPool(1, 0)
    const bad = { ...endless, seed: (() => 1) as unknown as number }
    const codes: string[] = []
    for await (const { outcome } of pool.run([bad, { ...endless, vessel: 'bucket' }])) {
      codes.push(outcome.ok ? 'done' : outcome.problems[0]!.code)
    }
    expect(codes).toEqual(['work/fault', 'work/no-such-vessel'])
    await pool.close()
  })
})

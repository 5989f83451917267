import { describe, expect, it } from 'vitest'
import { inTurn, onNewest } from './in-turn.ts'

describe('changes of one text', () => {
  it('run one after the other, and one that fails does not stop those behind it', async () => {
    const turn = inTurn()
    const log: string[] = []
    const slow = turn(async () => {
      await new Promise((resolve) => setTimeout(resolve, 5))
      log.push('slow')
    })
    const failing = turn(() => Promise.reject(new Error('not fetched')))
    const after = turn(async () => void log.push('after'))
    await expect(failing).rejects.toThrow('not fetched')
    await Promise.all([slow, after])
    expect(log).toEqual(['slow', 'after'])
  })
  it('are worked out again on what was typed meanwhile', async () => {
    let text = 'a'
    const seen: string[] = []
    const made = await onNewest(
      () => text,
      async (now) => {
        seen.push(now)
        await Promise.resolve()
        if (seen.length === 1) text = 'ab'
        return `${now}!`
      },
    )
    expect([made, seen]).toEqual(['ab!', ['a', 'ab']])
  })
})

import { describe, expect, it } from 'vitest'
import { latestOnly } from './latest.ts'

describe('only the latest', () => {
  it('runs the first and the newest, and gives the newest to all that waited', async () => {
    const ask = latestOnly<number>()
    const started: number[] = []
    let finishFirst: (n: number) => void = () => undefined
    const first = ask('jar', () => {
      started.push(1)
      return new Promise((resolve) => {
        finishFirst = resolve
      })
    })
    const others = [2, 3, 4].map((n) =>
      ask('jar', () => {
        started.push(n)
        return Promise.resolve(n)
      }),
    )
    const elsewhere = ask('beaker', () => Promise.resolve(9))
    expect(await elsewhere).toBe(9)
    finishFirst(1)
    expect(await first).toBe(1)
    expect(await Promise.all(others)).toEqual([4, 4, 4])
    expect(started).toEqual([1, 4])
  })
  it('goes on after a failure', async () => {
    const ask = latestOnly<number>()
    const failing = ask('jar', () => Promise.reject(new Error('no')))
    const next = ask('jar', () => Promise.resolve(2))
    await expect(failing).rejects.toThrow('no')
    expect(await next).toBe(2)
  })
})

import { describe, expect, it } from 'vitest'
import { createLatestWins } from './latest-wins.ts'

/** A run whose answers are given by hand. */
function byHand() {
  const asked: number[] = []
  const shown: number[] = []
  const answers: (() => void)[] = []
  const errors: unknown[] = []
  const work = createLatestWins<number, number>(
    (wish) => {
      asked.push(wish)
      return new Promise((resolve, reject) => answers.push(() => (wish < 0 ? reject(new Error('no')) : resolve(wish))))
    },
    (result) => shown.push(result),
    (error) => errors.push(error),
  )
  const answer = async (): Promise<void> => {
    answers.shift()!()
    await Promise.resolve()
    await Promise.resolve()
  }
  return { asked, shown, errors, work, answer }
}

describe('latest wins', () => {
  it('asks the first and the last of a drag, nothing between', async () => {
    const { asked, shown, work, answer } = byHand()
    for (const wish of [1, 2, 3, 4]) work.ask(wish)
    expect(asked).toEqual([1])
    await answer()
    expect(asked).toEqual([1, 4])
    expect(shown).toEqual([1])
    await answer()
    expect(shown).toEqual([1, 4])
    expect(work.isBusy).toBe(false)
  })
  it('shows nothing that was dropped', async () => {
    const { asked, shown, work, answer } = byHand()
    work.ask(1)
    work.ask(2)
    work.drop()
    await answer()
    expect([asked, shown]).toEqual([[1], []])
    work.ask(3)
    await answer()
    expect(shown).toEqual([3])
  })
  it('goes on after a failure', async () => {
    const { shown, errors, work, answer } = byHand()
    work.ask(-1)
    work.ask(5)
    await answer()
    expect(errors).toHaveLength(1)
    await answer()
    expect(shown).toEqual([5])
  })
})

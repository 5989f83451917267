import { describe, expect, it } from 'vitest'
import { type ExpectedTurn, phaseOf } from './phase.ts'

/** A train of turns, each 10 s after the one before, the first at 30 s. */
const train = (count = 12, gap = 10): readonly ExpectedTurn[] =>
  Array.from({ length: count }, (_, i) => ({
    timeS: 30 + gap * i,
    lowS: 20 + 0.8 * gap * i,
    highS: 45 + 1.2 * gap * i,
    from: i % 2 ? 'blue' : 'amber',
    to: i % 2 ? 'amber' : 'blue',
  }))
const times = (taps: readonly number[], count = 3, lateS = 0): readonly number[] =>
  phaseOf(train(), taps, lateS)
    .coming.slice(0, count)
    .map((n) => Math.round(10 * n.timeS) / 10)

describe('before anything is seen', () => {
  it('is the prediction with its band', () => {
    expect(phaseOf(train(), []).coming[0]).toEqual({ turn: 0, timeS: 30, lowS: 20, highS: 45 })
  })
  it('moves with a late pour', () => {
    expect(phaseOf(train(), [], 7).coming[1]).toEqual({ turn: 1, timeS: 47, lowS: 35, highS: 64 })
  })
})

describe('after taps', () => {
  it('runs on from the first one, however far off it was', () => {
    expect(times([52])).toEqual([62, 72, 82])
    expect(times([12])).toEqual([22, 32, 42])
  })

  it('takes half the stretch of the first interval, by hand', () => {
    // one predicted interval of 10 counted as seen at its own length, and one seen at 14: (10 + 14) / (10 + 10)
    expect(phaseOf(train(), [30, 44]).stretch).toBeCloseTo(1.2, 10)
    expect(times([30, 44])).toEqual([56, 68, 80])
  })

  it('comes to the true pace, the error of the next turn falling', () => {
    const pace = 1.3
    const taps = Array.from({ length: 9 }, (_, i) => 40 + pace * 10 * i)
    const error = (n: number): number => Math.abs(phaseOf(train(), taps.slice(0, n)).coming[0]!.timeS - taps[n]!)
    expect([2, 4, 6, 8].every((n) => error(n) < error(n - 1))).toBe(true)
    // weights 1 + 0.8 + … of eight intervals against one: 4.16 of 5.16 parts of the way
    expect(phaseOf(train(), taps).stretch).toBeCloseTo(1 + (0.3 * 4.1611392) / 5.1611392, 6)
  })

  it('follows a pace that changes, because old intervals fade', () => {
    const slowing = [30, 40, 50, 60, 70, 84, 98, 112, 126]
    expect(phaseOf(train(), slowing).stretch).toBeGreaterThan(1.2)
  })

  it('narrows its band with every turn seen and keeps the watching error', () => {
    const width = (taps: readonly number[]): number => {
      const [next] = phaseOf(train(), taps).coming
      return next!.highS! - next!.lowS!
    }
    expect(width([30, 40])).toBeLessThan(width([30]))
    expect(width([30, 40, 50, 60, 70, 80, 90, 100])).toBeGreaterThanOrEqual(2)
  })

  it('has an assumed band where the rehearsal has none', () => {
    const bare = train().map((t) => ({ ...t, lowS: null, highS: null }))
    expect(phaseOf(bare, []).coming[0]).toMatchObject({ lowS: null, highS: null })
    expect(phaseOf(bare, [30]).coming[0]).toMatchObject({ lowS: 37.5, highS: 42.5 })
  })
})

describe('taps that do not come one by one', () => {
  it('passes over a turn that nobody noted', () => {
    const phase = phaseOf(train(), [30, 40, 60.5])
    expect(phase.missed).toEqual([2])
    expect(phase.pairs.map((p) => p.turn)).toEqual([0, 1, 3])
  })

  it('takes a double tap as an extra that moves nothing', () => {
    const phase = phaseOf(train(), [30, 31, 40])
    expect(phase.extraS).toEqual([31])
    expect(phase.coming).toEqual(phaseOf(train(), [30, 40]).coming)
  })

  it('counts what comes after the last predicted turn as extra', () => {
    const phase = phaseOf(train(2), [30, 40, 50])
    expect(phase.extraS).toEqual([50])
    expect(phase.coming).toEqual([])
  })

  it('takes everything back with the tap, in any order of taps', () => {
    expect(phaseOf(train(), [30, 44, 58].slice(0, 2))).toEqual(phaseOf(train(), [30, 44]))
    expect(phaseOf(train(), [58, 30, 44])).toEqual(phaseOf(train(), [30, 44, 58]))
  })

  it('stays within a factor of five and copes with no prediction at all', () => {
    expect(phaseOf(train(), [30, 2000]).stretch).toBeLessThanOrEqual(5)
    expect(phaseOf([], [5, 9])).toEqual({ pairs: [], missed: [], extraS: [5, 9], stretch: 1, coming: [] })
  })
})

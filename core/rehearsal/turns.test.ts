import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { ciede2000, colourName, type Lab } from '@beakertide/basis/colour'
import { cyclesOf, dutyOf, inductionOf } from './cycles.ts'
import { findTurns, turnsOfStrip, usualTurnRules } from './turns.ts'

const COLOURLESS: Lab = [100, 0, 0]
const AMBER: Lab = [80, 18, 70]
const BLUE: Lab = [30, 20, -60]
const BLUE_BLACK: Lab = [8, 12, -25]
const PURPLE: Lab = [35, 65, -35]
const BROWN: Lab = [55, 22, 45]

/** A strip of known truth: colours with the time at which each begins to give way and how long the change takes. */
interface Leg {
  readonly to: Lab
  readonly atS: number
  readonly takesS: number
}
const smooth = (x: number): number => (x <= 0 ? 0 : x >= 1 ? 1 : x * x * (3 - 2 * x))
/** The colour at a time: from each colour straight to the next, S-shaped in time, mid-change at atS. */
function colourAt(start: Lab, legs: readonly Leg[], timeS: number): Lab {
  let lab = start
  for (const leg of legs) {
    const f = smooth((timeS - leg.atS + leg.takesS / 2) / leg.takesS)
    lab = [lab[0] + f * (leg.to[0] - lab[0]), lab[1] + f * (leg.to[1] - lab[1]), lab[2] + f * (leg.to[2] - lab[2])]
  }
  return lab
}
function seen(start: Lab, legs: readonly Leg[], endS: number, stepS = 0.25, noise: (i: number) => number = () => 0) {
  const timesS = Array.from({ length: Math.floor(endS / stepS) + 1 }, (_, i) => i * stepS)
  const labs = timesS.flatMap((t, i) => {
    const [l, a, b] = colourAt(start, legs, t)
    return [l + noise(3 * i), a + noise(3 * i + 1), b + noise(3 * i + 2)]
  })
  return findTurns(timesS, labs)
}
const words = (result: ReturnType<typeof seen>): string[] => result.settled.map((colour) => colour.name)

/** A repeatable scatter, -1..1, without a generator: the fractional part of multiples of an irrational number. */
const scatter = (size: number) => (i: number) => size * (2 * ((i * 0.6180339887498949) % 1) - 1)

describe('findTurns', () => {
  it('sees nothing in nothing, in one sample, in a constant colour', () => {
    expect(findTurns([], [])).toEqual({ turns: [], settled: [] })
    expect(findTurns([3], [...AMBER]).turns).toEqual([])
    const still = seen(AMBER, [], 100)
    expect(still.turns).toEqual([])
    expect(words(still)).toEqual(['amber'])
    expect(still.settled[0]).toMatchObject({ fromS: 0, untilS: 100 })
  })

  it('sees one turn of a clock, in the middle of the change', () => {
    const clock = seen(COLOURLESS, [{ to: BLUE_BLACK, atS: 60, takesS: 1 }], 120, 0.5)
    expect(words(clock)).toEqual(['colourless', colourName(BLUE_BLACK)])
    expect(clock.turns).toHaveLength(1)
    expect(clock.turns[0]!.timeS).toBeGreaterThan(59.7)
    expect(clock.turns[0]!.timeS).toBeLessThan(60.3)
    expect(clock.turns[0]!.deltaE).toBeCloseTo(ciede2000(COLOURLESS, BLUE_BLACK), 6)
  })

  it('sees two turns of a two-step clock', () => {
    const clock = seen(
      COLOURLESS,
      [
        { to: AMBER, atS: 20, takesS: 2 },
        { to: BLUE_BLACK, atS: 45, takesS: 1 },
      ],
      90,
    )
    expect(words(clock)).toEqual(['colourless', 'amber', colourName(BLUE_BLACK)])
    expect(clock.turns.map((turn) => Math.round(turn.timeS))).toEqual([20, 45])
  })

  it('sees one turn when a sudden change only runs through another colour', () => {
    // Within half a second from colourless through a full blue to blue-black: the blue does not settle.
    const clock = seen(
      COLOURLESS,
      [
        { to: [55, 20, -70], atS: 30.0, takesS: 0.3 },
        { to: BLUE_BLACK, atS: 30.25, takesS: 0.3 },
      ],
      60,
      0.02,
    )
    expect(clock.turns).toHaveLength(1)
  })

  it('sees one turn in a dye that deepens by a crooked way through colour space, however slowly', () => {
    const legs = [
      { to: [50, 25, -75], atS: 30, takesS: 20 },
      { to: BLUE_BLACK, atS: 60, takesS: 40 },
    ] as const
    expect(seen(COLOURLESS, legs, 120).turns).toHaveLength(1)
  })

  it('sees two turns when a straight way rests half way, and one when it does not', () => {
    const half: Lab = [90, 9, 35]
    const rests = seen(
      COLOURLESS,
      [
        { to: half, atS: 10, takesS: 4 },
        { to: AMBER, atS: 40, takesS: 4 },
      ],
      60,
    )
    expect(rests.turns).toHaveLength(2)
    expect(seen(COLOURLESS, [{ to: AMBER, atS: 30, takesS: 50 }], 60).turns).toHaveLength(1)
  })

  it('counts a slow fade once, with its middle', () => {
    for (const takesS of [5, 60, 1800]) {
      const fade = seen(PURPLE, [{ to: COLOURLESS, atS: 1000, takesS }], 2000, 1)
      expect(fade.turns).toHaveLength(1)
      // The even-distance moment of ΔE lies near, not at, the middle of a straight way in Lab.
      expect(Math.abs(fade.turns[0]!.timeS - 1000)).toBeLessThan(0.3 * takesS)
    }
  })

  it('counts a slow fade of purple through brown as two', () => {
    const fade = seen(
      PURPLE,
      [
        { to: BROWN, atS: 60, takesS: 60 },
        { to: COLOURLESS, atS: 125, takesS: 70 },
      ],
      240,
      0.5,
    )
    expect(words(fade)).toEqual([colourName(PURPLE), 'brown', 'colourless'])
  })

  it('does not count what stays under the threshold, however often', () => {
    const faint: Lab = [98, 0, 5]
    expect(ciede2000(COLOURLESS, faint)).toBeLessThan(usualTurnRules.turnDeltaE)
    const legs = Array.from({ length: 20 }, (_, i): Leg => ({ to: i % 2 ? COLOURLESS : faint, atS: 10 + 10 * i, takesS: 3 }))
    expect(seen(COLOURLESS, legs, 220).turns).toEqual([])
  })

  it('counts each return of a colour that comes back again and again (blue bottle)', () => {
    const legs: Leg[] = []
    for (let k = 0; k < 4; k++) legs.push({ to: BLUE, atS: 10 + 100 * k, takesS: 0.5 }, { to: COLOURLESS, atS: 60 + 100 * k, takesS: 40 })
    expect(seen(COLOURLESS, legs, 420).turns.map((turn) => turn.to)).toEqual(
      Array.from({ length: 8 }, (_, i) => (i % 2 ? 'colourless' : colourName(BLUE))),
    )
  })

  it('names a change within one word by its direction', () => {
    const deep = seen([75, 25, 75], [{ to: [87, 10, 60], atS: 10, takesS: 1 }], 20)
    expect(words(deep)).toEqual(['amber', 'paler amber'])
  })

  it('takes a jump between two samples of one time as a turn at that time', () => {
    const labs = [COLOURLESS, COLOURLESS, PURPLE, PURPLE].flat()
    expect(findTurns([0, 10, 10, 20], labs).turns).toMatchObject([{ timeS: 10, from: 'colourless' }])
  })

  it('is not misled by scatter well under the threshold', () => {
    const legs = [
      { to: AMBER, atS: 20, takesS: 4 },
      { to: BLUE, atS: 45, takesS: 1 },
      { to: COLOURLESS, atS: 70, takesS: 10 },
    ]
    const clean = seen(COLOURLESS, legs, 100)
    const scattered = seen(COLOURLESS, legs, 100, 0.25, scatter(0.4))
    expect(scattered.turns.map((t) => t.to)).toEqual(clean.turns.map((t) => t.to))
    scattered.turns.forEach((turn, i) => expect(Math.abs(turn.timeS - clean.turns[i]!.timeS)).toBeLessThan(0.5))
  })
})

/** Rounds of two or three states with periods of their own. */
function rounds(states: readonly Lab[], periodsS: readonly number[], firstS: number): { legs: Leg[]; marksS: number[]; endS: number } {
  const legs: Leg[] = []
  const marksS: number[] = []
  let t = firstS
  for (const period of periodsS) {
    marksS.push(t)
    states.forEach((_, s) => {
      legs.push({ to: states[(s + 1) % states.length]!, atS: t + (s * period) / states.length, takesS: Math.min(1, period / 10) })
    })
    t += period
  }
  return { legs, marksS, endS: t + 20 }
}

describe('cyclesOf', () => {
  const count = fc.integer({ min: 2, max: 12 })
  const period = fc.double({ min: 6, max: 40, noNaN: true })

  it.each([
    ['colourless, amber', [COLOURLESS, AMBER]],
    ['colourless, amber, blue', [COLOURLESS, AMBER, BLUE]],
    ['purple, colourless', [PURPLE, COLOURLESS]],
  ] as const)('finds rounds and periods of %s, whatever the periods and the sampling', (_, states) => {
    fc.assert(
      fc.property(
        count,
        period,
        fc.double({ min: 0.97, max: 1.1, noNaN: true }),
        fc.constantFrom(0.05, 0.11, 0.19),
        (n, p, growth, stepS) => {
          const periodsS = Array.from({ length: n }, (__, k) => p * growth ** k)
          const truth = rounds(states, periodsS, 7)
          const result = seen(states[0], truth.legs, truth.endS, stepS)
          expect(result.turns).toHaveLength(n * states.length)
          const found = cyclesOf(result)
          expect(found.cycles).toBe(n)
          expect(found.periodsS).toHaveLength(n - 1)
          found.periodsS.forEach((met, k) => expect(Math.abs(met - periodsS[k]!)).toBeLessThan(0.3 + 0.05 * periodsS[k]!))
        },
      ),
      { numRuns: 40 },
    )
  })

  it('gives the same turns for the same strip sampled otherwise', () => {
    const { legs, endS } = rounds([COLOURLESS, AMBER, BLUE], [12, 13, 15, 18, 25], 9)
    const fine = seen(COLOURLESS, legs, endS, 0.01)
    for (const stepS of [0.037, 0.1, 0.25, 0.5]) {
      const coarse = seen(COLOURLESS, legs, endS, stepS)
      expect(coarse.turns.map((t) => t.to)).toEqual(fine.turns.map((t) => t.to))
      coarse.turns.forEach((turn, i) => expect(Math.abs(turn.timeS - fine.turns[i]!.timeS)).toBeLessThan(0.15))
    }
  })

  it('follows colours that drift from round to round', () => {
    const legs: Leg[] = []
    for (let k = 0; k < 10; k++) {
      legs.push(
        { to: [AMBER[0] + k, AMBER[1] - 1.5 * k, AMBER[2] - 5 * k], atS: 10 + 20 * k, takesS: 2 },
        { to: COLOURLESS, atS: 20 + 20 * k, takesS: 2 },
      )
    }
    expect(cyclesOf(seen(COLOURLESS, legs, 230)).cycles).toBe(10)
  })

  it('has no cycles in a clock, a two-step clock or a single flash', () => {
    for (const legs of [
      [{ to: BLUE, atS: 30, takesS: 1 }],
      [
        { to: AMBER, atS: 30, takesS: 1 },
        { to: BLUE, atS: 50, takesS: 1 },
      ],
      [
        { to: BLUE, atS: 30, takesS: 1 },
        { to: COLOURLESS, atS: 50, takesS: 1 },
      ],
    ]) {
      expect(cyclesOf(seen(COLOURLESS, legs, 80))).toEqual({ cycles: 0, periodsS: [], mark: null, marksS: [] })
    }
  })

  it('does not count a last round that never closes', () => {
    const { legs, endS } = rounds([COLOURLESS, AMBER], [15, 15, 15], 10)
    const open = cyclesOf(seen(COLOURLESS, [...legs, { to: AMBER, atS: endS, takesS: 1 }], endS + 30))
    expect(open.cycles).toBe(3)
    expect(open.periodsS).toHaveLength(3)
    expect(open.mark).toEqual({ from: 'colourless', to: 'amber' })
  })

  it('does not take the wait after a first flash of colour for a round', () => {
    // a catalyst that changes colour as it is poured in, a long wait, then regular rounds
    const legs: Leg[] = [
      { to: AMBER, atS: 5, takesS: 1 },
      { to: COLOURLESS, atS: 80, takesS: 1 },
    ]
    for (let k = 0; k < 5; k++) legs.push({ to: AMBER, atS: 100 + 20 * k, takesS: 1 }, { to: COLOURLESS, atS: 110 + 20 * k, takesS: 1 })
    const found = cyclesOf(seen(COLOURLESS, legs, 220))
    expect(found.cycles).toBe(5)
    found.periodsS.forEach((p) => expect(Math.abs(p - 20)).toBeLessThan(12))
    expect(Math.max(...found.periodsS)).toBeLessThan(35)
  })

  it('keeps the rounds when the amber of one is too short to be seen', () => {
    const legs: Leg[] = []
    for (let k = 0; k < 6; k++) {
      if (k !== 3) legs.push({ to: AMBER, atS: 10 + 20 * k, takesS: 1 })
      legs.push({ to: BLUE, atS: 15 + 20 * k, takesS: 0.5 }, { to: COLOURLESS, atS: 22 + 20 * k, takesS: 2 })
    }
    const found = cyclesOf(seen(COLOURLESS, legs, 150))
    expect(found.cycles).toBe(6)
    found.periodsS.forEach((p) => expect(Math.abs(p - 20)).toBeLessThan(0.5))
  })
})

describe('induction and duty', () => {
  const turns = [
    { timeS: 10, from: 'colourless', to: 'violet', deltaE: 50 },
    { timeS: 72, from: 'violet', to: 'brown', deltaE: 40 },
  ]
  it('counts from the pour and leaves out the colour of the pour itself', () => {
    expect(inductionOf(turns, 10)).toBe(62)
    expect(inductionOf(turns, 4)).toBe(6)
    expect(inductionOf(turns, 80)).toBeNull()
    expect(inductionOf([], 0)).toBeNull()
  })
  it('shares the time among the words', () => {
    const sample = (timeS: number, name: string) => ({ timeS, name, hex: '#ffffff', lab: [100, 0, 0] as const })
    const duty = dutyOf([sample(0, 'amber'), sample(4, 'amber'), sample(6, 'blue'), sample(10, 'blue'), sample(30, 'blue')])
    expect(duty).toEqual([
      { name: 'blue', seconds: 25, share: 25 / 30 },
      { name: 'amber', seconds: 5, share: 5 / 30 },
    ])
    expect(dutyOf([])).toEqual([])
  })
  it('reads turns from a strip', () => {
    const strip = [0, 1, 2, 3].map((timeS) => ({ timeS, name: '', hex: '', lab: timeS < 2 ? COLOURLESS : PURPLE }))
    expect(turnsOfStrip(strip).turns).toHaveLength(1)
  })
})

describe('a long strip', () => {
  it('has all its turns among 3000 samples', () => {
    const { legs, endS } = rounds(
      [COLOURLESS, AMBER, BLUE],
      Array.from({ length: 30 }, () => 18),
      9,
    )
    const stepS = endS / 3000
    const timesS = Array.from({ length: 3000 }, (_, i) => i * stepS)
    const labs = Float64Array.from(timesS.flatMap((t) => colourAt(COLOURLESS, legs, t)))
    expect(findTurns(timesS, labs).turns).toHaveLength(90)
  })
})

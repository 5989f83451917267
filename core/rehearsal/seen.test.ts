import { describe, expect, it } from 'vitest'
import { celsiusToKelvin } from '@beakertide/basis/units'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import { electrodeTraces } from './electrode-traces.ts'
import { prepareSeeing } from './seeing.ts'
import { columnsOf, seenOf } from './seen.ts'
import { statedSolution } from './stated-solution.ts'
import { vesselCourse } from './vessel-course.ts'
import { usualAbsorbers } from './absorbers.ts'

const tables = { matter: facts.matter(), equilibria: facts.equilibria() }
const found = findMechanism('peroxide-iodide-thiosulfate', facts.mechanisms(), facts.mechanismDefaults())
if (!found.ok) throw new Error('no mechanism')
const mechanism = found.value
const seeing = prepareSeeing(
  { illuminant: 'd65', adaptation: 1, depthCm: 6 },
  { ...usualAbsorbers, ...mechanism.absorbers },
  { observer: facts.observer(), absorbers: facts.absorbers(), starch: facts.starch() },
)
if (!seeing.ok) throw new Error('no seeing')
const eye = seeing.value

const liquids = {
  hand: { 'I-': 0.04, 'K+': 0.04, 'S2O3^2-': 0.002, 'Na+': 0.004, starch: 0.006 },
  spring: { H2O2: 0.04, 'H+': 0.2, 'Cl-': 0.2 },
  brown: { I2: 1e-3, 'I-': 0.02, 'K+': 0.02 },
}
function course(pours: readonly (readonly [solution: keyof typeof liquids, volumeL: number, atS: number])[], lengthS = 120) {
  const got = vesselCourse(
    {
      mechanism,
      vessel: {
        id: 'v',
        capacityL: null,
        depthCm: 6,
        stirred: true,
        count: 1,
        pours: pours.map(([solution, volumeL, atS]) => ({ solution, volumeL, atS })),
      },
      solutions: Object.entries(liquids).map(([id, c]) => statedSolution(id, c, 5, 25, mechanism, tables.matter)),
      roomK: celsiusToKelvin(25),
      lengthS,
      relativeTolerance: 1e-5,
      samples: 1201,
    },
    tables,
  )
  if (!got.ok) throw new Error('no course')
  return got.value
}

describe('which pour sets it off', () => {
  it('the one before the change, not the first', () => {
    const seen = seenOf(
      course([
        ['hand', 0.2, 0],
        ['spring', 0.2, 8],
      ]),
      eye,
    )
    expect(seen.startS).toBe(8)
    expect(seen.turns).toHaveLength(1)
    expect(seen.features.firstTurnS).toBeCloseTo(seen.turns[0]!.timeS - 8, 9)
  })
  it('a colour that is poured in is not a change by reaction', () => {
    // brown iodine into water-clear peroxide and acid: a jump, then nothing for long
    const seen = seenOf(
      course(
        [
          ['spring', 0.2, 0],
          ['brown', 0.02, 6],
        ],
        20,
      ),
      eye,
    )
    expect(seen.startS).toBe(6)
    expect(seen.strip[seen.startSample - 1]!.name).toBe('colourless')
    expect(seen.strip[seen.startSample]!.name).not.toBe('colourless')
    for (const turn of seen.turns) expect(turn.timeS).toBeGreaterThan(6.5)
  })
  it('a later pour that takes the colour away is a turn and leaves the clock alone', () => {
    const dark = course(
      [
        ['hand', 0.2, 0],
        ['spring', 0.2, 8],
        ['hand', 0.4, 100],
      ],
      60,
    )
    const seen = seenOf(dark, eye)
    expect(seen.startS).toBe(8)
    expect(seen.turns[0]!.to).toMatch(/black|blue/)
    expect(seen.turns[1]!.timeS).toBeCloseTo(100, 0)
    expect(seen.turns[1]!.to).toBe('colourless')
  })
  it('without a change it is the last pour', () => {
    const seen = seenOf(
      course(
        [
          ['hand', 0.1, 0],
          ['hand', 0.1, 4],
        ],
        20,
      ),
      eye,
    )
    expect(seen.startS).toBe(4)
    expect(seen.turns).toEqual([])
    expect(seen.features).toMatchObject({ firstTurnS: null, lengthS: null, stillGoing: false })
  })
})

describe('columns', () => {
  const c = course([
    ['hand', 0.2, 0],
    ['spring', 0.2, 8],
  ])
  const columns = columnsOf(c)
  it('have one value a sample, spectators their value of each stretch', () => {
    const starch = columns.molPerL.starch!
    expect(starch).toHaveLength(c.timesS.length)
    expect(starch[c.startSample - 1]).toBeCloseTo(0.006, 4)
    expect(starch[c.startSample]).toBeCloseTo(0.003, 4)
    expect(columns.temperatureK).toHaveLength(c.timesS.length)
  })
  it('make electrode traces: iodide falls by its Nernst slope when it is diluted to half', () => {
    const picks = [c.startSample - 1, c.startSample]
    const { traces } = electrodeTraces(columns, picks, facts.electrodes())
    const iodide = traces.find((t) => t.name === 'iodide electrode')!
    // pI rises by lg 2; 59.16 mV a decade at 25 °C (Nernst)
    expect(iodide.values[1]! - iodide.values[0]!).toBeCloseTo(59.16 * Math.log10(2), 0)
    expect(traces.map((t) => t.name)).toContain('pI')
    for (const t of traces) expect(t.timesS).toEqual(picks.map((k) => c.timesS[k]))
  })
  it('without iodide and without a couple there is no trace', () => {
    expect(electrodeTraces({ timesS: [0, 1], molPerL: { 'K+': [0.1] }, temperatureK: [298] }, [0, 1], facts.electrodes()).traces).toEqual(
      [],
    )
  })
})

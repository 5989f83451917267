import { describe, expect, it } from 'vitest'
import type { Course } from './course.ts'
import { bandText, courseLines, differences } from './sentences.ts'

const base: Course = {
  vessel: 'jar',
  danger: [],
  fromS: 0,
  toS: 600,
  startS: 10,
  turns: [
    { timeS: 31, from: 'colourless', to: 'amber', deltaE: 20 },
    { timeS: 40, from: 'amber', to: 'blue', deltaE: 40 },
    { timeS: 300, from: 'blue', to: 'colourless', deltaE: 40 },
  ],
  inductionS: 21,
  periodsS: [20, 26],
  cycles: 9,
  endS: 300,
  stillGoing: false,
  cause: 'malonic acid used up at 6 min',
  endColour: 'blue',
  strip: [],
  traces: [],
  temperatureRangeK: [293.15, 299.15],
  gasL: 0.5,
  problems: [],
  isFine: true,
}
const text = (c: Course): string =>
  courseLines(c)
    .map((l) => l.text)
    .join(' ')

describe('a course in words', () => {
  it('says first turn from the pour and on the clock, cycles with both periods, length, end, heat and gas', () => {
    const said = text(base)
    for (const piece of ['21 s', '31 s', '9 cycles', '20 s', '26 s', 'malonic acid used up at 6 min', '20', '26', '500 mL'])
      expect(said).toContain(piece)
    expect(said).not.toMatch(/\{\w+\}|\.\./)
  })
  it('says that nothing is seen, that it comes at once, and that it goes on', () => {
    expect(text({ ...base, turns: [], inductionS: null, cycles: 0, periodsS: [], endS: null })).not.toContain('cycle')
    expect(courseLines({ ...base, inductionS: 0.1 })[0]!.text).not.toContain('0.1')
    expect(text({ ...base, stillGoing: true })).toContain('Over 9 cycles')
  })
  it('names only what differs', () => {
    expect(differences(base, base)).toEqual([])
    const other = { ...base, inductionS: 42, stillGoing: true }
    const said = differences(base, other)
    expect(said).toHaveLength(3)
    expect(said[0]).toContain('21 s')
    expect(said[0]).toContain('42 s')
  })
})

describe('a band in words', () => {
  it('gives both ends two digits in one unit', () => {
    expect(bandText({ low: 12.3, middle: 20, high: 31.4, share: 1 }, 'time')).toContain('12')
    expect(bandText({ low: 600, middle: 700, high: 900, share: 1 }, 'time')).toMatch(/10 .*15 min/)
  })
  it('says how often it is missing', () => {
    expect(bandText({ low: null, middle: null, high: null, share: 0.2 }, 'time')).toContain('80')
    expect(bandText({ low: 3, middle: 3, high: 3, share: 0.9 }, 'number')).toMatch(/^3; .*90/)
  })
})

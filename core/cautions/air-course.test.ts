import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { airCourse, courseWords, meanPpm, ppmAt } from './air-course.ts'

const hazards = facts.hazards()
const room = (airChangesPerH?: number) => ({
  temperatureK: 293.15,
  volumeM3: 100,
  ...(airChangesPerH === undefined ? {} : { airChangesPerH }),
})

describe('one well-mixed box', () => {
  it('without fresh air everything stays', () => {
    expect(ppmAt(3600, 10, 0, 0)).toBe(10)
    expect(ppmAt(300, 10, 600, 0)).toBe(5)
    expect(meanPpm(1200, 10, 600, 0)).toBeCloseTo(7.5, 12)
  })
  it("is the mean of its own course, by Simpson's rule, whatever the room", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 1e4, noNaN: true }),
        fc.integer({ min: 1, max: 3600 }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.integer({ min: 60, max: 28800 }),
        (still, over, perH, until) => {
          // The course has a kink where the release ends: each smooth piece is summed by itself.
          // The rule's own error is at most (20 /h × 2.9 s)⁴ / 180 = 4e-10 of the piece.
          const area = (from: number, to: number): number => {
            const steps = 10000
            let sum = 0
            for (let i = 0; i <= steps; i++) {
              const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2
              sum += weight * ppmAt(from + ((to - from) * i) / steps, still, over, perH / 3600)
            }
            return (sum * (to - from)) / (3 * steps)
          }
          const kink = Math.min(over, until)
          const mean = (area(0, kink) + area(kink, until)) / until
          expect(meanPpm(until, still, over, perH / 3600) / mean).toBeCloseTo(1, 8)
        },
      ),
      { numRuns: 20 },
    )
  })
  it('with next to no fresh air is as without any, down to the smallest number', () => {
    for (const n of [1e-12, 1e-300, 5e-324]) {
      expect(ppmAt(300, 10, 600, n)).toBeCloseTo(5, 6)
      expect(meanPpm(300, 10, 600, n)).toBeCloseTo(2.5, 6)
    }
  })
  it('never holds more than all of it in still air', () => {
    fc.assert(
      fc.property(fc.nat(30000), fc.nat(7200), fc.double({ min: 0, max: 50, noNaN: true }), (t, over, perH) => {
        expect(ppmAt(t, 1, over, perH / 3600)).toBeLessThanOrEqual(1 + 1e-9)
      }),
    )
  })
})

describe('course of a gas', () => {
  it('holds each limit against what it averages over', () => {
    const course = airCourse('SO2', 0.1, 'vessel "jar"', 0, room(4), 100, hazards)
    const of = (list: string, kind: string) => course.held.find((h) => h.limit.list === list && h.limit.kind === kind)
    expect(of('EU IOELV', '15 min STEL')?.against).toBe('mean of 15 min')
    expect(of('EU IOELV', '8 h TWA')?.against).toBe('mean of 8 h')
    expect(airCourse('I2', 1e-3, 'x', 0, room(), 100, hazards).held.find((h) => h.limit.list === 'OSHA PEL')?.against).toBe('peak')
    expect(course.held.every((h) => !/odour|IDLH/.test(`${h.limit.list} ${h.limit.kind}`))).toBe(true)
    expect(course.underLimitAfterS).toBeGreaterThan(0)
  })
  it('without fresh air the limit is never met again, and it says so', () => {
    const course = airCourse('I2', 0.01, 'x', 0, room(), 100, hazards)
    expect(course.underLimitAfterS).toBeNull()
    expect(courseWords(course)).toContain('no air change is stated')
  })
})

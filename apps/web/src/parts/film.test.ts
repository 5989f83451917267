import { describe, expect, it } from 'vitest'
import { frameCount, frameTime, timeCodeOf } from './film.ts'

describe('the frames of a film', () => {
  const span = { fromS: 0, toS: 600 }
  const o = { framesPerS: 30, speed: 10 }
  it('cover the show from begin to end', () => {
    expect(frameCount(span, o)).toBe(1800)
    expect(frameTime(span, o, 0)).toBe(0)
    expect(frameTime(span, o, 30)).toBeCloseTo(10, 9)
    expect(frameTime(span, o, 1800)).toBe(600)
    expect(frameCount({ fromS: 5, toS: 5 }, o)).toBe(1)
  })
  it('carry hours, minutes, seconds and frames', () => {
    expect([0, 83.4, 3725.999].map((s) => timeCodeOf(s, 30))).toEqual(['00:00:00:00', '00:01:23:12', '01:02:05:29'])
    expect(timeCodeOf(9.9999999, 25)).toBe('00:00:10:00')
  })
})

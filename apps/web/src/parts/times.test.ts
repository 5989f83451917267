import { describe, expect, it } from 'vitest'
import { timeRange, timesApart } from './times.ts'

describe('times as the page says them', () => {
  it('gives both ends of a range in one unit in which neither is a small share', () => {
    expect(timeRange(12, 31)).toEqual(['12', '31', 's'])
    expect(timeRange(90, 240)).toEqual(['1.5', '4', 'min'].map((x) => expect.stringMatching(new RegExp(`^${x}(\\.0)?$`))))
    // 4.3 s is 0.071 min: not a number that anybody reads
    expect(timeRange(4.26, 174)).toEqual(['4.3', '170', 's'])
    expect(timeRange(3600, 9000)[2]).toBe('h')
    expect(timeRange(900, 9000)[2]).toBe('min')
    expect(timeRange(0, 9000)[2]).toBe('h')
  })
  it('tells two times apart in digits that differ', () => {
    expect(timesApart(10, 20)).toEqual(['10 s', '20 s'])
    expect(timesApart(15.01, 15.04)).toEqual(['15.01 s', '15.04 s'])
    expect(timesApart(601, 604)).toEqual(['601 s', '604 s'])
    expect(timesApart(15, 15)[0]).toBe(timesApart(15, 15)[1])
  })
})

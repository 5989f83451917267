import { describe, expect, it } from 'vitest'
import type { MeasuredRecord } from '../../store/measured-record.ts'
import type { ReadRecord } from '../../work/record-contract.ts'
import { endsOf, firstLaid, laidSeries, measuredOf, outsideS, ownName, seenTimes, spanWith, swingTimes, usedTimes } from './laid.ts'

const predicted = [
  { name: 'iodide electrode', unit: 'mV against Ag/AgCl' },
  { name: 'temperature', unit: '°C' },
]
const column = (name: string, unit: string) => ({ name, unit, values: Float64Array.of(1, 2, 3), swingsAt: [0.5] })
const read: ReadRecord = {
  from: 'bath.csv',
  timeColumn: 't (s)',
  startsAtS: 12,
  evenSpacingS: 0.5,
  timesS: Float64Array.of(0, 1, 1),
  series: [column('E', 'V'), column('T', 'K'), column('pH', ''), column('x', ''), column('y', '')],
}
const given = { id: 'm', of: 'tide', vessel: 'jar', now: 1 }
const course = { fromS: 0, toS: 100, startS: 30 }
const record: MeasuredRecord = firstLaid(read, [], given, predicted, course)
const numbers = { id: 'm', timesS: read.timesS, values: read.series.map((s) => s.values) }

describe('a record just read', () => {
  it('lies over what it belongs to; two others get bands of their own, the rest waits', () => {
    expect(record.series.map((s) => s.over)).toEqual(['iodide electrode', 'temperature', 'own', 'own', 'none'])
  })
  it('takes stamps within the rehearsal for the clock, others for their own', () => {
    expect(record.startsAtS).toBe(12)
    expect(firstLaid({ ...read, startsAtS: 43_200 }, [], given, predicted, course).startsAtS).toBe(30)
  })
})

describe('laid over', () => {
  const measured = measuredOf(record, numbers)
  it('in the units of what is predicted, with an offset', () => {
    const moved = { ...record, series: record.series.map((s, i) => (i === 0 ? { ...s, offset: -7 } : s)) }
    const laid = laidSeries([measuredOf(moved, numbers)], predicted)
    expect(laid.map((l) => [l.band, l.factor, l.plus])).toEqual([
      ['iodide electrode', 1000, -7],
      ['temperature', 1, -273.15],
      [ownName(record, 2), 1, 0],
      [ownName(record, 3), 1, 0],
    ])
  })
  it('becomes a trace of its own where nothing of the kind is predicted any more', () => {
    expect(laidSeries([measured], predicted.slice(1))[0]).toMatchObject({ band: ownName(record, 0), factor: 1 })
  })
  it('two lines in one band have different marks', () => {
    const twice = laidSeries([measured, measured], predicted).filter((l) => l.band === 'temperature')
    expect(twice.map((l) => l.mark)).toEqual(['ring', 'square'])
  })
  it('uses even spacing when asked to', () => {
    expect([...usedTimes({ isEven: true, evenSpacingS: 0.5 }, read.timesS)]).toEqual([0, 0.5, 1])
    expect(swingTimes(measured, 0)).toEqual([12.5])
  })
  it('a table of times only is turns seen', () => {
    const taps = { ...record, series: [] }
    expect(seenTimes(measuredOf(taps, { ...numbers, values: [] }))).toEqual([12, 13, 13])
    expect(seenTimes(measured)).toBeNull()
  })
})

describe('the time axis', () => {
  const long = measuredOf({ ...record, startsAtS: -1000 }, { ...numbers, timesS: Float64Array.of(0, 500, 86_400) })
  it('is widened by a record, but not without limit', () => {
    expect(spanWith({ fromS: 0, toS: 100 }, [])).toEqual({ fromS: 0, toS: 100 })
    expect(spanWith({ fromS: 0, toS: 100 }, [measuredOf({ ...record, startsAtS: 99.5 }, numbers)])).toEqual({ fromS: 0, toS: 100.5 })
    expect(spanWith({ fromS: 0, toS: 100 }, [long])).toEqual({ fromS: -100, toS: 400 })
  })
  it('says how much lies outside', () => {
    expect(endsOf(long)).toEqual({ fromS: -1000, toS: 85_400 })
    expect(outsideS(long, { fromS: -100, toS: 400 })).toBe(900 + 85_000)
  })
})

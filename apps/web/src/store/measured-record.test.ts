import { describe, expect, it } from 'vitest'
import { type MeasuredRecord, readMeasuredNumbers, readMeasuredRecord } from './measured-record.ts'

const record: MeasuredRecord = {
  id: 'm1',
  version: 1,
  of: 'tide',
  vessel: 'jar',
  addedAt: 1,
  name: 'bath.csv',
  run: null,
  rows: 2,
  timeColumn: 't (s)',
  evenSpacingS: null,
  isEven: false,
  startsAtS: 0,
  series: [{ name: 'E', unit: 'mV', over: 'iodide electrode', offset: 0, swingsAt: [0.5] }],
  warnings: [{ code: 'record/saturated', where: 'x', what: 'y', todo: 'z' }],
}
const numbers = { id: 'm1', timesS: new Float64Array(2), values: [new Float64Array(2)] }

describe('a measured record read back', () => {
  it('is itself after a copy', () => {
    expect(readMeasuredRecord(structuredClone(record))).toEqual(record)
    expect(readMeasuredNumbers(structuredClone(numbers), record)).toEqual(numbers)
  })
  it('is refused when anything in it is not what it must be', () => {
    const broken: readonly unknown[] = [
      null,
      [],
      { ...record, version: 2 },
      { ...record, startsAtS: Number.NaN },
      { ...record, series: [{ ...record.series[0], offset: '1' }] },
      { ...record, series: [{ ...record.series[0], swingsAt: ['a'] }] },
      { ...record, warnings: ['w'] },
      { ...record, run: 3 },
    ]
    expect(broken.map(readMeasuredRecord)).toEqual(broken.map(() => null))
    const wrong: readonly unknown[] = [
      null,
      { ...numbers, id: 'm2' },
      { ...numbers, timesS: [0, 1] },
      { ...numbers, timesS: new Float64Array(3) },
      { ...numbers, values: [] },
      { ...numbers, values: [new Float64Array(1)] },
    ]
    expect(wrong.map((x) => readMeasuredNumbers(x, record))).toEqual(wrong.map(() => null))
  })
})

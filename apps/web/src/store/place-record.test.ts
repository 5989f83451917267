import { describe, expect, it } from 'vitest'
import { type PlaceRecord, readPlaceRecord } from './place-record.ts'

const record: PlaceRecord = {
  id: 'p1',
  version: 1,
  isInForce: true,
  place: { name: 'Town', source: 'letter of May', collectAll: false, limits: [{ parameter: 'manganese', low: null, high: 2 }] },
}

describe('a place read back', () => {
  it('is itself after JSON', () => {
    expect(readPlaceRecord(JSON.parse(JSON.stringify(record)))).toEqual(record)
  })
  it('is refused when anything in it is not what it must be', () => {
    const limits = (limit: unknown): unknown => ({ ...record, place: { ...record.place, limits: [limit] } })
    const broken: readonly unknown[] = [
      null,
      7,
      { ...record, version: 2 },
      { ...record, isInForce: 'yes' },
      { ...record, place: null },
      limits({ parameter: 'gold', low: null, high: 1 }),
      limits({ parameter: 'toString', low: null, high: 1 }),
      limits({ parameter: 'manganese', low: null, high: Number.NaN }),
      limits({ parameter: 'manganese', high: 1 }),
    ]
    expect(broken.map(readPlaceRecord)).toEqual(broken.map(() => null))
  })
})

import { describe, expect, it } from 'vitest'
import { readShelfRecord, type ShelfRecord } from '../store/shelf-record.ts'
import type { BottleLook } from '../work/shelf-contract.ts'
import { bottleNames, daysSince, documentBottle, isUsedAs, leftOf, recordOf, servesFor, wantsAssay, withKey } from './shelf-bottles.ts'

const record = (more: Partial<ShelfRecord> = {}): ShelfRecord => ({
  id: 'a',
  written: { substance: 'hydrogen peroxide', strength: '30 % w/w' },
  left: '',
  openedOn: '',
  assayedOn: '',
  changedAt: 0,
  ...more,
})
const look = (assayed: boolean): BottleLook =>
  ({
    id: 'a',
    problems: [],
    warnings: [],
    label: null,
    content: { family: 'hydrogen-peroxide', assayed, perishes: { why: '', assay: '', doubt: 0.05 } },
  }) as unknown as BottleLook
const now = Date.parse('2026-05-20T12:00:00')

describe('bottles of the shelf', () => {
  it('have names of their own', () => {
    const names = bottleNames([record(), record({ id: 'b' }), record({ id: 'c', written: {} })], 'bottle')
    expect([...names.values()]).toEqual(['hydrogen peroxide', 'hydrogen peroxide 2', 'bottle'])
  })
  it('say what is left in mass or volume, or that nobody knows', () => {
    expect([record({ left: '180 g' }), record({ left: '0.25 L' }), record(), record({ left: 'half' })].map(leftOf)).toEqual([
      { kind: 'mass', value: 180 },
      { kind: 'volume', value: 0.25 },
      null,
      null,
    ])
  })
  it('are in use where the document says just what they do, assay and day of opening too', () => {
    const assay = { by: 'permanganate', used: '34.2 mL' }
    const mine = record({ written: { ...record().written, assay }, openedOn: '2026-05-01', left: '400 mL' })
    const fields = { substance: 'hydrogen peroxide', strength: '30 % w/w', opened: '2026-05-01' }
    expect(isUsedAs(mine, { id: 'peroxide', fields, assay })).toBe(true)
    expect(isUsedAs(mine, { id: 'peroxide', fields, assay: { ...assay, used: '34.1 mL' } })).toBe(false)
    expect(isUsedAs(mine, { id: 'peroxide', fields, assay: null })).toBe(false)
    expect(isUsedAs(mine, { id: 'peroxide', fields: { ...fields, strength: '27.5 % w/w' }, assay })).toBe(false)
  })
  it('want an assay when they perish and none is fresh', () => {
    expect(wantsAssay(record(), look(false), now)).toBe(true)
    expect(wantsAssay(record({ assayedOn: '2026-05-10' }), look(true), now)).toBe(false)
    expect(wantsAssay(record({ assayedOn: '2026-03-10' }), look(true), now)).toBe(true)
    expect(daysSince('2026-05-10', now)).toBe(10)
    expect(daysSince('2027-01-01', now)).toBeNull()
  })
  it('go into a document with the day they were opened, and come from one', () => {
    expect(documentBottle(record({ openedOn: '2026-01-02' }))).toEqual({
      substance: 'hydrogen peroxide',
      strength: '30 % w/w',
      opened: '2026-01-02',
    })
    expect(withKey({ a: '1', b: '2' }, 'b', '')).toEqual({ a: '1' })
    const taken = recordOf({ id: 'iodate', fields: { substance: 'KIO3', pack: '100 g', opened: 'spring' }, assay: null }, 'x', 5)
    expect(taken).toMatchObject({ left: '100 g', openedOn: '', written: { substance: 'KIO3', opened: 'spring' } })
  })
  it('serve for the same compound under any of its names', () => {
    const all = [
      {
        id: 'hydrogen-peroxide',
        name: 'hydrogen peroxide',
        formula: 'H₂O₂',
        otherNames: ['peroxide'],
        hydrates: [],
        isLiquid: true,
        grades: '',
      },
    ]
    const bottles = [
      { id: 'p', fields: { substance: 'H2O2' }, assay: null },
      { id: 'q', fields: { substance: 'water glass' }, assay: null },
    ]
    expect(servesFor(look(true), bottles, all)).toEqual(['p'])
  })
  it('are read from the store only when they are bottles', () => {
    expect(readShelfRecord({ id: 1 })).toBeNull()
    expect(readShelfRecord(null)).toBeNull()
    expect(readShelfRecord({ id: 'a', written: { substance: 'x' }, openedOn: 'spring' })).toMatchObject({ openedOn: '', left: '' })
  })
})

import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { cellNumber, readRecord, timeFactor } from './read-record.ts'
import { compareTurns } from './compare-turns.ts'

describe('cells and headings', () => {
  it.each([
    ['0.35', 0.35],
    ['0,35', 0.35],
    ['-1e-3', -0.001],
    ['', Number.NaN],
    ['1.2.3', Number.NaN],
    ['0x10', Number.NaN],
    ['Infinity', Number.NaN],
  ])('reads %j as %d', (text, value) => expect(cellNumber(text)).toEqual(value))
  it.each([
    ['t_s', 1],
    ['time (min)', 60],
    ['t/ms', 0.001],
    ['time', undefined],
    ['absorbance', undefined],
  ])('unit of %j', (header, factor) => expect(timeFactor(header)).toBe(factor))
})

describe('readRecord', () => {
  it('asks for a unit of time instead of guessing one', () => {
    const r = readRecord(
      {
        from: 'run.csv',
        header: ['time', 'A'],
        rows: [
          ['0', '1'],
          ['1', '2'],
        ],
      },
      { column: 'time' },
    )
    expect(r.ok).toBe(false)
    if (!r.ok) expect(r.problems.map((p) => p.code)).toEqual(['record/time-unit'])
  })
  it('lists all bad cells at once', () => {
    const r = readRecord({
      from: 'run.csv',
      header: ['t (s)', 'A'],
      rows: [
        ['0', '1'],
        ['x', '2'],
        ['2', 'y'],
        ['3', '4'],
      ],
    })
    expect(r.ok).toBe(false)
    if (!r.ok) expect(r.problems.map((p) => p.where)).toEqual(['run.csv, row 2, column "t (s)"', 'run.csv, row 3, column "A"'])
  })
  it('names rounded stamps with the spacing that fits, and an instrument at the end of its scale', () => {
    const rows = Array.from({ length: 40 }, (_, i) => [String(Math.round(i * 0.6)), i > 20 && i < 30 ? '3' : String(1 + (i % 7) / 10)])
    const r = readRecord({ from: 'run.csv', header: ['t (s)', 'A'], rows })
    expect(r.ok).toBe(true)
    if (!r.ok) return
    expect(r.warnings.map((w) => w.code)).toEqual(['record/stamps-doubtful', 'record/saturated'])
    // 39 intervals of 0.6 s end at 23.4 s, written 23.
    expect(r.value.evenSpacingS).toBeCloseTo(23 / 39, 9)
  })
})

describe('an instrument that rounds', () => {
  it('is not taken for one at the end of its scale: a smooth curve stands as long at its lowest value', () => {
    const rows = Array.from({ length: 400 }, (_, i) => [String(i), (Math.round(10 * Math.sin(i / 30)) / 10).toString()])
    const r = readRecord({ from: 'run.csv', header: ['t (s)', 'A'], rows })
    expect(r.ok && r.warnings).toEqual([])
  })
})

describe('compareTurns', () => {
  it('pairs in order and keeps the surplus', () => {
    const turn = (timeS: number) => ({ timeS, from: 'a', to: 'b', deltaE: 10 })
    const c = compareTurns([turn(10), turn(20), turn(30)], [12, 24])
    expect(c.pairs.map((p) => p.offS)).toEqual([2, 4])
    expect(c.onlyPredictedS).toEqual([30])
    expect(c.stretch).toBeCloseTo(1.2, 12)
  })
})

// Measured data that may not be copied into the project: read only where the folder exists.
const measured = process.env.BEAKERTIDE_RECORDS ?? '../shared/records'
describe.runIf(existsSync(`${measured}/bz_stirred_without_cerium_absorbance.csv`))('a real photometer record', () => {
  it('has its stamps doubted and its true spacing near 0.600 s found, as the file header states', () => {
    const lines = readFileSync(`${measured}/bz_stirred_without_cerium_absorbance.csv`, 'utf8')
      .split('\n')
      .filter((l) => l !== '' && !l.startsWith('#'))
    const [header, ...rows] = lines.map((l) => l.split(','))
    const r = readRecord({ from: 'photometer', header: header!, rows })
    expect(r.ok).toBe(true)
    if (!r.ok) return
    expect(r.warnings.some((w) => w.code.startsWith('record/stamps'))).toBe(true)
    expect(r.value.evenSpacingS).toBeGreaterThan(0.599)
    expect(r.value.evenSpacingS).toBeLessThan(0.601)
  })
})

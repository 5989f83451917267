import { describe, expect, it } from 'vitest'
import { readHeading } from './headings.ts'
import { MOST_COLUMNS, MOST_ROWS, readTable } from './read-table.ts'
import { readRecord } from './read-record.ts'

const codes = (problems: readonly { readonly code: string }[]): readonly string[] => problems.map((p) => p.code)

describe('a text becomes a table', () => {
  it.each([
    ['tabs', 't (s)\tE (mV)\n0\t182.4\n1\t183.0\n'],
    ['semicolons and decimal commas', 't (s);E (mV)\r\n0;182,4\r\n1;183,0\r\n'],
    ['commas', 't (s),E (mV)\n0,182.4\n1,183.0'],
    ['spaces', 't_s   E_mV\n0     182.4\n1     183.0'],
    ['quoted headings', '"t (s)","E (mV)"\n0,182.4\n1,183.0'],
    ['remarks and a mark at the start', '\ufeff# bath 1\n# 25 degC\nt (s);E (mV)\n0;182.4\n1;183.0'],
  ])('with %s', (_, text) => {
    const table = readTable(text, 'a.txt')
    if (!table.ok) throw new Error(table.problems[0]?.what)
    const read = readRecord(table.value)
    if (!read.ok) throw new Error(read.problems[0]?.what)
    expect(read.warnings).toEqual([])
    expect(read.value.traces.map((x) => readHeading(x.name))).toEqual([{ name: 'E', unit: 'mV' }])
    expect([...read.value.timesS]).toEqual([0, 1])
    expect([...read.value.traces[0]!.values]).toEqual([182.4, 183])
  })
  it('takes a row of units to its headings and says what it left out', () => {
    const table = readTable('Logger 7\nchannel two\ntime;E;T\ns;mV;°C\n0;1;20\n2;2;21\n', 'a.txt')
    if (!table.ok) throw new Error(table.problems[0]?.what)
    expect(table.value.header).toEqual(['time (s)', 'E (mV)', 'T (°C)'])
    expect(codes(table.warnings)).toEqual(['record/lines-left-out'])
    expect(table.warnings[0]?.where).toBe('a.txt, lines 1 to 2')
  })
  it('reads one column of times, as of a stopwatch', () => {
    const table = readTable('t (s)\n12,5\n30,1\n47,0\n', 'taps.txt')
    if (!table.ok) throw new Error(table.problems[0]?.what)
    const read = readRecord(table.value)
    expect(read.ok && [read.value.startsAtS, read.value.traces.length, ...read.value.timesS.map((t) => Math.round(10 * t))]).toEqual([
      12.5, 0, 0, 176, 345,
    ])
  })
  it('reads stamps of a clock, and says so', () => {
    const table = readTable('time;A\n1:00:58,5;1\n1:01:00;2\n', 'a.txt')
    const read = table.ok ? readRecord(table.value) : table
    expect(read.ok && [...read.value.timesS]).toEqual([0, 1.5])
    expect(read.ok && codes(read.warnings)).toEqual(['record/clock-stamps'])
  })
  it('names the columns itself where nobody did, and then asks for the time', () => {
    const table = readTable('0 1\n1 2\n2 3\n', 'a.txt')
    if (!table.ok) throw new Error('must be read')
    expect(codes(table.warnings)).toEqual(['record/no-headings'])
    expect(table.value.header).toEqual(['column 1', 'column 2'])
    const asked = readRecord(table.value)
    expect(asked.ok ? [] : codes(asked.problems)).toEqual(['record/no-time'])
    expect(readRecord(table.value, { column: 'column 1', unitS: 60 })).toMatchObject({
      ok: true,
      value: { traces: [{ name: 'column 2' }] },
    })
  })
})

describe('a text that is no record', () => {
  it.each([
    ['', 'record/no-numbers'],
    ['# only a remark\n', 'record/no-numbers'],
    ['dear reader\nno numbers here\n', 'record/no-numbers'],
    [`t (s);A\n${'1;2\n'.repeat(MOST_ROWS + 1)}`, 'record/too-long'],
    [`${'1;'.repeat(5000)}\n`, 'record/too-wide'],
    [`t (s)${';A'.repeat(MOST_COLUMNS)}\n${'1;'.repeat(MOST_COLUMNS)}2\n`, 'record/too-wide'],
  ])('%#', (text, code) => {
    const table = readTable(text, 'a.txt')
    expect(table.ok ? [] : codes(table.problems)).toEqual([code])
  })
  it('names every line with a cell too many, then counts the rest', () => {
    const bad = Array.from({ length: 100 }, () => '1,5,2,5').join('\n')
    const good = Array.from({ length: 60 }, () => '1,2').join('\n')
    const table = readTable(`t (s),A\n${good}\n${bad}`, 'a.txt')
    if (table.ok) throw new Error('must be refused')
    expect(table.problems[0]).toMatchObject({ code: 'record/cells', where: 'a.txt, line 62' })
    expect(table.problems).toHaveLength(41)
    expect(table.problems.at(-1)?.what).toMatch(/^60 further/)
  })
  it('names bad cells by their lines, the first sixty one by one', () => {
    const rows = Array.from({ length: 400 }, (_, i) => (i % 4 === 0 ? `${i};x` : `${i};1`)).join('\n')
    const table = readTable(`# remark\nt (s);A\n${rows}`, 'a.txt')
    const read = table.ok ? readRecord(table.value) : table
    if (read.ok) throw new Error('must be refused')
    expect(read.problems[1]?.where).toBe('a.txt, line 7, column "A"')
    expect(read.problems).toHaveLength(61)
    expect(read.problems.at(-1)?.what).toMatch(/^40 further/)
  })
  it('does not take a word of the language for a unit of time', () => {
    const table = readTable('time constructor;A\n0;1\n1;2\n', 'a.txt')
    const read = table.ok ? readRecord(table.value) : table
    expect(read.ok ? [] : codes(read.problems)).toEqual(['record/no-time'])
  })
})

import { describe, expect, it } from 'vitest'
import { MOST_RECORD_BYTES } from '../record-contract.ts'
import { recordCalls } from './record-calls.ts'

const readRecord: typeof recordCalls.readRecord = (...given) => recordCalls.readRecord(...given)
const bytesOf = (text: string): number[] => Array.from(text, (c) => c.charCodeAt(0))
const DEGREES = 't (s);T (°C)\n0;1\n1;2'

describe('reading a record in the worker', () => {
  it('gives series with units and swings', async () => {
    // A ramp of ten rows from 0 to 150: its middle is row 105.
    const rows = Array.from({ length: 200 }, (_, i) => `${i};${Math.min(150, Math.max(0, 15 * (i - 100)))}`).join('\n')
    const read = await readRecord(new Blob([`t (s);E (mV)\n${rows}`]), 'a.csv', {})
    expect(read).toMatchObject({ ok: true, value: { from: 'a.csv', series: [{ name: 'E', unit: 'mV', swingsAt: [105] }] } })
  })
  it('asks for the time with the headings that are there', async () => {
    expect(await readRecord('time;A\n0;1\n1;2\n', 'a.csv', {})).toMatchObject({ ok: false, columns: ['time', 'A'] })
    expect(await readRecord('time;A\n0;1\n1;2\n', 'a.csv', { column: 'time', unitS: 60 })).toMatchObject({ ok: true })
  })
  it.each([
    ['UTF-16', [0xff, 0xfe, ...bytesOf(DEGREES).flatMap((b) => [b, 0])]],
    ['Western letters', bytesOf(DEGREES)],
  ])('reads %s', async (_, bytes) => {
    expect(await readRecord(new Blob([new Uint8Array(bytes)]), 'a.csv', {})).toMatchObject({
      ok: true,
      value: { series: [{ unit: '°C' }] },
    })
  })
  it.each([
    ['a packed file', new Blob([new Uint8Array([0x50, 0x4b, 3, 4])]), 'record/not-text'],
    ['a binary file', new Blob([new Uint8Array(300)]), 'record/not-text'],
    ['50 MB, unread', { size: 50_000_000 } as Blob, 'record/too-large'],
    ['one long line', '1;'.repeat(MOST_RECORD_BYTES / 2 - 1), 'record/too-wide'],
    ['one long word', 'x'.repeat(MOST_RECORD_BYTES), 'record/no-numbers'],
    ['quotes that never end', `t (s);A\n0;1\n1;2\n${'"'.repeat(1_000_001)}`, 'record/not-a-number'],
  ])('refuses %s', async (_, source, code) => {
    const read = await readRecord(source, 'a.csv', {})
    expect(read.ok ? '' : read.problems[0]?.code).toBe(code)
    expect(JSON.stringify(read).length).toBeLessThan(2000)
  })
})

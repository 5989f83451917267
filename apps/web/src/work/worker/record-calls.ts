/** Records from files and pasted texts. Needs no facts; tested in Node. */
import { type Outcome, done, refuse } from '@beakertide/basis/problems'
import { readHeading, readRecord, readTable, swingsOf } from '@beakertide/core/record'
import { MOST_RECORD_BYTES, type RecordAnswer, type RecordWork } from '../record-contract.ts'

/** Codes after which the page asks which column is time. */
const TIME_UNCLEAR: ReadonlySet<string> = new Set(['record/no-time', 'record/time-unit'])
const LONGEST_NAME = 80

export const recordCalls: RecordWork = {
  async readRecord(source, name, asked) {
    const from = name.length > LONGEST_NAME ? `${name.slice(0, LONGEST_NAME)}…` : name
    const text = await textOf(source, from)
    if (!text.ok) return text
    const table = readTable(text.value, from)
    if (!table.ok) return table
    const record = readRecord(table.value, asked)
    if (!record.ok) {
      const isTime = record.problems.some((p) => TIME_UNCLEAR.has(p.code))
      return isTime ? { ...record, columns: table.value.header } : record
    }
    const { traces, ...rest } = record.value
    const series = traces.map((trace) => ({ ...readHeading(trace.name), values: trace.values, swingsAt: swingsOf(trace.values) }))
    const answer: RecordAnswer = { ok: true, value: { ...rest, series }, warnings: [...table.warnings, ...record.warnings] }
    return answer
  },
}

/** UTF-8, UTF-16 with its mark, else the letters of Western European instruments; what is no text is refused. */
async function textOf(source: Blob | string, from: string): Promise<Outcome<string>> {
  const size = typeof source === 'string' ? source.length : source.size
  if (size > MOST_RECORD_BYTES) {
    return refuse({
      code: 'record/too-large',
      where: from,
      what: `${(size / 1e6).toFixed(1)} MB; ${MOST_RECORD_BYTES / 1e6} MB are read at most`,
      todo: 'cut the record into pieces, or keep every tenth row',
    })
  }
  if (typeof source === 'string') return done(source)
  const bytes = new Uint8Array(await source.arrayBuffer())
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return done(new TextDecoder('utf-16le').decode(bytes))
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return done(new TextDecoder('utf-16be').decode(bytes))
  if (bytes.subarray(0, 4000).includes(0) || (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3)) {
    return refuse({
      code: 'record/not-text',
      where: from,
      what: 'it holds no text: a packed or binary file',
      todo: 'let the program that wrote it save a text table (comma, semicolon or tab between the columns)',
    })
  }
  try {
    return done(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch {
    return done(new TextDecoder('windows-1252').decode(bytes))
  }
}

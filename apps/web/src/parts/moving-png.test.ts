import { crc32, deflateSync, inflateSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { movingPng } from './moving-png.ts'

interface Chunk {
  readonly name: string
  readonly data: Buffer
  readonly isWhole: boolean
}

/** Chunks as Node's own check sums see them. */
function chunksOf(bytes: Uint8Array): readonly Chunk[] {
  const all = Buffer.from(bytes)
  const found: Chunk[] = []
  for (let at = 8; at < all.length; ) {
    const length = all.readUInt32BE(at)
    const named = all.subarray(at + 4, at + 8 + length)
    const isWhole = crc32(named) === all.readUInt32BE(at + 8 + length)
    found.push({ name: named.toString('latin1', 0, 4), data: named.subarray(4), isWhole })
    at += 12 + length
  }
  return found
}

/** Rows of a picture 3 wide, 2 high, one colour: a filter byte 0 before each. */
const rows = (red: number): Buffer => Buffer.from([0, 1].flatMap(() => [0, ...[0, 1, 2].flatMap(() => [red, 20, 30, 255])]))

function plain(red: number): Uint8Array {
  const chunk = (name: string, data: Buffer): Buffer => {
    const named = Buffer.concat([Buffer.from(name, 'latin1'), data])
    const around = Buffer.alloc(8)
    around.writeUInt32BE(data.length, 0)
    around.writeUInt32BE(crc32(named), 4)
    return Buffer.concat([around.subarray(0, 4), named, around.subarray(4)])
  }
  const head = Buffer.from([0, 0, 0, 3, 0, 0, 0, 2, 8, 6, 0, 0, 0])
  const signature = Buffer.from([137, 80, 78, 71, 13, 10, 26, 10])
  return Buffer.concat([signature, chunk('IHDR', head), chunk('IDAT', deflateSync(rows(red))), chunk('IEND', Buffer.alloc(0))])
}

describe('movingPng', () => {
  it('puts frames into one file, numbered in one row with their data, every check sum right', async () => {
    const film = movingPng(25)
    for (const red of [10, 120, 250]) film.add(plain(red))
    const chunks = chunksOf(new Uint8Array(await film.file().arrayBuffer()))
    expect(chunks.map((c) => c.name)).toEqual(['IHDR', 'acTL', 'fcTL', 'IDAT', 'fcTL', 'fdAT', 'fcTL', 'fdAT', 'IEND'])
    expect(chunks.every((c) => c.isWhole)).toBe(true)
    expect(chunks.filter((c) => c.name === 'fcTL' || c.name === 'fdAT').map((c) => c.data.readUInt32BE(0))).toEqual([0, 1, 2, 3, 4])
    expect([chunks[1]!.data.readUInt32BE(0), chunks[1]!.data.readUInt32BE(4)]).toEqual([3, 1])
    const [first, second, third] = chunks
      .filter((c) => /^(IDAT|fdAT)$/.test(c.name))
      .map((c) => (c.name === 'IDAT' ? c.data : c.data.subarray(4)))
    expect([first, second, third].map((data) => inflateSync(data!))).toEqual([rows(10), rows(120), rows(250)])
    // 3 wide, 2 high, 1/25 s.
    const control = chunks[2]!.data
    expect([control.readUInt32BE(4), control.readUInt32BE(8), control.readUInt16BE(20), control.readUInt16BE(22)]).toEqual([3, 2, 1, 25])
  })
  it('refuses what is no PNG, and a film without frames', () => {
    expect(() => movingPng(25).add(new Uint8Array(40))).toThrow('no PNG')
    expect(() => movingPng(25).file()).toThrow('no frames')
  })
})

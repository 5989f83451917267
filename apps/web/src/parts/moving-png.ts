/**
 * A moving picture of PNG frames in one file (PNG, third edition, W3C 2025, "animation control"): every browser draws it, video programs
 * read it, and no colour is lost. For browsers that cannot encode video.
 */
const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]
/** Bytes of a chunk beside its data: length, name, check. */
const AROUND = 12

interface Chunk {
  readonly name: string
  readonly data: Uint8Array
}

function chunksOf(png: Uint8Array): readonly Chunk[] {
  if (!SIGNATURE.every((byte, i) => png[i] === byte)) throw new Error('a frame is no PNG')
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength)
  const chunks: Chunk[] = []
  for (let at = SIGNATURE.length; at + AROUND <= png.length; ) {
    const length = view.getUint32(at)
    chunks.push({ name: String.fromCharCode(...png.subarray(at + 4, at + 8)), data: png.subarray(at + 8, at + 8 + length) })
    at += AROUND + length
  }
  return chunks
}

/** CRC-32 with the reversed polynomial EDB88320 (PNG, annex D). */
const CHECKS = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1
  return c
})

function chunk(name: string, ...parts: readonly (Uint8Array | readonly number[])[]): Uint8Array<ArrayBuffer> {
  const length = parts.reduce((sum, part) => sum + part.length, 0)
  const out = new Uint8Array(length + AROUND)
  const view = new DataView(out.buffer)
  view.setUint32(0, length)
  for (let i = 0; i < 4; i++) out[4 + i] = name.charCodeAt(i)
  let at = 8
  for (const part of parts) {
    out.set(part, at)
    at += part.length
  }
  let check = 0xffffffff
  for (let i = 4; i < at; i++) check = CHECKS[(check ^ out[i]!) & 255]! ^ (check >>> 8)
  view.setUint32(at, (check ^ 0xffffffff) >>> 0)
  return out
}

const four = (n: number): readonly number[] => [(n >>> 24) & 255, (n >>> 16) & 255, (n >>> 8) & 255, n & 255]
const two = (n: number): readonly number[] => [(n >>> 8) & 255, n & 255]

/** Takes frames one by one, all of one size and made by one encoder; `file` puts them together. Plays once and stays at the end. */
export function movingPng(framesPerS: number): { add(png: Uint8Array): void; file(): Blob } {
  const parts: Uint8Array<ArrayBuffer>[] = []
  let head: Uint8Array | null = null
  let frames = 0
  let sequence = 0
  return {
    add(png) {
      const chunks = chunksOf(png)
      head ??= chunks.find((c) => c.name === 'IHDR')?.data ?? null
      if (head === null) throw new Error('a frame has no size')
      // Size, place (0, 0), 1/framesPerS s, and nothing of the frame before stays.
      parts.push(chunk('fcTL', four(sequence++), head.subarray(0, 8), four(0), four(0), two(1), two(framesPerS), [0, 0]))
      for (const { name, data } of chunks)
        if (name === 'IDAT') parts.push(frames === 0 ? chunk('IDAT', data) : chunk('fdAT', four(sequence++), data))
      frames++
    },
    file() {
      if (head === null) throw new Error('there are no frames')
      const once = 1
      return new Blob([Uint8Array.from(SIGNATURE), chunk('IHDR', head), chunk('acTL', four(frames), four(once)), ...parts, chunk('IEND')], {
        type: 'image/png',
      })
    },
  }
}

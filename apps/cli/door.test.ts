import { mkdirSync, mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { realDoor } from './terminal/door.ts'

const folder = mkdtempSync(join(tmpdir(), 'beakertide-door-'))
afterAll(() => rmSync(folder, { recursive: true }))
const door = realDoor()

describe('the real door', () => {
  it('reads a file, refuses a folder, a missing file and 50 MB', () => {
    writeFileSync(join(folder, 'a.yaml'), 'text')
    writeFileSync(join(folder, 'big.yaml'), '')
    truncateSync(join(folder, 'big.yaml'), 50e6)
    expect(door.readText(join(folder, 'a.yaml'), 100)).toEqual({ ok: true, text: 'text' })
    expect(door.readText(folder, 100)).toEqual({ ok: false, why: 'it is a folder' })
    expect(door.readText(join(folder, 'none'), 100)).toEqual({ ok: false, why: 'there is no such file' })
    expect(door.readText(join(folder, 'big.yaml'), 1e6)).toEqual({ ok: false, why: 'it has 50.0 MB; at most 1.0 MB are read' })
  })
  it('reads beside a document and nowhere else, links included', () => {
    const inside = join(folder, 'inside')
    mkdirSync(inside)
    writeFileSync(join(folder, 'secret'), 'secret')
    writeFileSync(join(inside, 'steps.yaml'), 'steps')
    symlinkSync(join(folder, 'secret'), join(inside, 'link.yaml'))
    const document = join(inside, 'd.yaml')
    expect(door.readBeside(document, 'steps.yaml', 100)).toEqual({ ok: true, text: 'steps' })
    expect(door.readBeside(document, '../secret', 100)).toEqual({ ok: false, why: 'there is no such file' })
    expect(door.readBeside(document, 'link.yaml', 100)).toMatchObject({
      ok: false,
      why: expect.stringMatching(/link to a file in another place/),
    })
  })
  it('says why it cannot write', () => {
    expect(door.writeText(join(folder, 'no', 'x'), '')).toEqual({ ok: false, why: 'there is no such folder' })
    expect(door.writeText(folder, '')).toEqual({ ok: false, why: 'it is a folder' })
  })
})

import { describe, expect, it } from 'vitest'
import { countRange, seconds, timeRange } from './commands/carpet-flags.ts'
import { textWidth } from './terminal/text-layout.ts'
import { call, right } from './testing/fake-door.ts'

const ESCAPE = '\u001b'
const fuse = right('slow-fuse')
const CASES: readonly (readonly [string, readonly string[]])[] = [
  ['vary', [fuse, '--what', 'thiosulfate', '--rows', '3']],
  ['coast', [fuse, '--across', 'thiosulfate', '--across-to', '9', '--up', 'temperature', '--squares', '1', '--finer', '1']],
  ['aim', [fuse, '--first-change', '70 s', '--by', 'thiosulfate', '--band', '0']],
  ['mistakes', [fuse, '--nothing-for', '3 min']],
]

describe('vary, coast, aim, mistakes', () => {
  it.each(CASES)('%s: danger first, no line too long, no colour codes where none are wanted', async (verb, args) => {
    const { out, err, code } = await call([verb, ...args], { columns: 80 })
    expect([err, code]).toEqual(['', 0])
    expect(out.split('\n').findIndex((l) => l.startsWith('!! DANGER FIRST'))).toBeLessThan(4)
    expect(out).not.toContain(ESCAPE)
    expect(out).not.toMatch(/undefined|\[object|NaN/)
    for (const l of out.split('\n')) expect(textWidth(l), l).toBeLessThanOrEqual(80)
  })
  it('vary draws a strip a row, marks the recipe as it is, and writes the picture', async () => {
    const { out, written } = await call(['vary', fuse, '--what', 'thiosulfate', '--rows', '3', '--svg', 'c.svg'])
    const rows = out.split('\n').filter((l) => /^(> | {2})× \d/.test(l) && /[a-z]{20}/.test(l))
    expect(rows).toHaveLength(3)
    expect(rows.filter((l) => l.startsWith('> × 1.00'))).toHaveLength(1)
    // the more thiosulfate, the longer it stays colourless
    const clear = rows.map((l) => (/c+/.exec(l)?.[0] ?? '').length)
    expect(clear[0]! < clear[1]! && clear[1]! < clear[2]!).toBe(true)
    expect(written.get('c.svg')).toMatch(/^<svg [^>]*aria-label="Predicted colour[^>]*>.*<\/svg>$/s)
  })
  it('vary in colour: every row ends its colours', async () => {
    const { out } = await call(['vary', fuse, '--what', 'thiosulfate', '--rows', '2'], { terminal: true, env: { TERM: 'x' } })
    const rows = out.split('\n').filter((l) => l.includes('▌'))
    expect(rows).toHaveLength(2)
    for (const l of rows) expect(l).toContain(`${ESCAPE}[0m first `)
  })
  it('aim says what to weigh, and fails with the bound that prevents it', async () => {
    const found = await call(['aim', fuse, '--first-change', '70 s', '--by', 'thiosulfate', '--band', '0'])
    expect(found.out).toMatch(/ember +thiosulfate +sodium thiosulfate pentahydrate +0\.291 g +0\.3\d+ g +more by 0\.0\d+ g/)
    const not = await call(['aim', fuse, '--first-change', '3 min', '--by', 'thiosulfate', '--to', '1.5', '--band', '0'])
    expect(not.code).toBe(1)
    expect(not.out).toMatch(/Out of reach by thiosulfate\. What prevents it is the high bound that was set/)
  })
  it('pictures are written as their path ends: SVG text, or PNG whose letters are drawn', async () => {
    const coast = ['coast', fuse, '--across', 'thiosulfate', '--across-to', '9', '--up', 'temperature', '--squares', '1', '--finer', '1']
    for (const args of [['vary', fuse, '--what', 'thiosulfate', '--rows', '3'], coast, ['rehearse', fuse, '--band', '0']]) {
      const { written, bytes } = await call([...args, '--out', 'a.png'])
      expect([...written.keys()]).toEqual([])
      const png = bytes.get('a.png')!
      // PNG signature and the width in its first chunk (W3C PNG, 5.2 and 11.2.1): two dots a pixel
      expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10])
      expect(new DataView(png.buffer, png.byteOffset).getUint32(16)).toBe(args[0] === 'coast' ? 1800 : 2000)
      const svg = await call([...args, '--out', 'a.svg'])
      expect(svg.written.get('a.svg')).toMatch(/^<svg /)
    }
    const not = await call(['vary', fuse, '--what', 'thiosulfate', '--out', 'a.gif'])
    expect(not.code).toBe(2)
    expect(not.err).toContain('ends neither in .svg nor in .png')
  })
  it('the coast is a map: the dead land above the border, the recipe as it is on the living side', async () => {
    const args = ['--across', 'temperature', '--up', 'thiosulfate', '--up-from', '0.5', '--up-to', '60', '--squares', '2', '--finer', '2']
    const { out } = await call(['coast', fuse, ...args])
    const map = out.split('\n').filter((l) => /^[\d. ]{6}[o+.@!?]{30}/.test(l))
    expect(map).toHaveLength(21)
    expect(map[0]).toMatch(/\.{20}/)
    expect(map.at(-1)).toMatch(/\+{20}/)
    expect(map.filter((l) => l.includes('@'))).toHaveLength(1)
    expect(out).toContain('@ the recipe as it is')
  })
  it('aims at a colour, and by several amounts with their own bounds', async () => {
    const two = ['--by', 'thiosulfate', '--by', 'iodide', '--from', '-', '--to', '3', '--to', '4']
    const { out, code } = await call(['aim', fuse, '--first-change', '70 s', ...two, '--band', '0'])
    expect(code).toBe(0)
    expect(out).toMatch(/Take [\d.]+ times the thiosulfate of the recipe and [\d.]+ times the iodide/)
    const clear = await call(['aim', fuse, '--end-colour', 'colourless', '--by', 'thiosulfate', '--to', '100', '--band', '0'])
    expect(clear.out).toMatch(/Wanted: the colour at the end, colourless\. As the recipe is: not colourless\./)
    expect(clear.out).toMatch(/rehearsed afresh, that gives colourless\./)
    const word = await call(['aim', fuse, '--end-colour', 'loud', '--by', 'thiosulfate'])
    expect(word.err).toContain('none of the colour words in use')
    const bounds = await call(['aim', fuse, '--first-change', '70', '--by', 'iodide', '--to', '2', '--to', '3'])
    expect(bounds.code).toBe(2)
  })
  it('interrupted: a sentence, exit code 1, nothing written', async () => {
    for (const args of [
      ['rehearse', fuse],
      ['day', fuse],
    ]) {
      const { err, code, written } = await call(args, { interrupted: true })
      expect(err).toContain('stopped on request')
      expect([code, written.size]).toEqual([1, 0])
    }
    const vary = await call(['vary', fuse, '--what', 'iodide'], { interrupted: true })
    expect(vary.code).toBe(1)
    expect(vary.out).toMatch(/stopped/)
  })
  it('one aim at a time; that is wrong use', async () => {
    for (const args of [[], ['--first-change', '70', '--period', '9']]) {
      const { err, code } = await call(['aim', fuse, ...args, '--by', 'thiosulfate'])
      expect(code).toBe(2)
      expect(err).toContain('one at a time')
    }
  })
  it('mistakes: nothing noted is a problem with a next step', async () => {
    const { err, code } = await call(['mistakes', fuse])
    expect(code).toBe(1)
    expect(err).toContain('state at least one')
  })
  it('a name that is not there gets the nearest', async () => {
    const { err, code } = await call(['vary', fuse, '--what', 'iodid'])
    expect(code).toBe(1)
    expect(err).toMatch(/iodide/)
  })
})

describe('times and counts as they are typed', () => {
  it('one, or a range with the unit at its end', () => {
    expect(seconds('70')).toBe(70)
    expect(timeRange('70 s')).toEqual([70, 70])
    expect(timeRange('4 to 5 min')).toEqual([240, 300])
    expect(timeRange('90 s to 2 min')).toEqual([90, 120])
    expect(countRange('10 to 15')).toEqual([10, 15])
    expect(countRange('12')).toEqual([12, 12])
  })
  it('anything else is refused with an example', () => {
    expect(() => seconds('soon')).toThrow(/as in "70 s"/)
    expect(() => timeRange('4 mL to 5 mL')).toThrow(/not a time/)
    expect(() => countRange('1.5')).toThrow(/as in "12"/)
    expect(() => countRange('1 to 2 to 3')).toThrow(/no count/)
  })
})

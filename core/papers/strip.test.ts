import { describe, expect, it } from 'vitest'
import { attributeOf, elementsOf, readXml, type XmlElement } from '@beakertide/basis/text'
import { closerLook, stretchesOf, stripColumns } from './strip-columns.ts'
import { drawStrip } from './svg-strip.ts'
import { drawTraces, roundMarks } from './svg-traces.ts'
import { aboutTime, timeStep, timeWords } from './times.ts'

/** A hundred rounds of 20 s: 4 s amber, 16 s blue, sampled every 0.5 s. */
const tide = Array.from({ length: 4000 }, (_, i) => {
  const timeS = i * 0.5
  return timeS % 20 < 4 ? { timeS, hex: '#ffbb55', name: 'amber' } : { timeS, hex: '#112266', name: 'blue' }
})
const turnsOfTide = Array.from({ length: 99 }, (_, i) => [
  { timeS: 20 * i + 4, from: 'amber', to: 'blue' },
  { timeS: 20 * i + 20, from: 'blue', to: 'amber' },
]).flat()

describe('stripColumns', () => {
  it.each([37, 120, 200, 1000])('%i columns keep the share of a short colour', (count) => {
    const amber = stripColumns(tide, count).filter((c) => c.name === 'amber').length
    expect(amber / count).toBeGreaterThan(0.17)
    expect(amber / count).toBeLessThan(0.23)
  })
  it('shows most rounds when columns are about as wide as the short colour', () => {
    const names = stripColumns(tide, 400).map((c) => c.name)
    const rounds = names.filter((n, i) => n === 'amber' && names[i - 1] !== 'amber').length
    expect(rounds).toBeGreaterThan(75)
  })
  it('gives only colours that are there', () => {
    expect(new Set(stripColumns(tide, 77).map((c) => c.hex))).toEqual(new Set(['#ffbb55', '#112266']))
  })
  it.each([[[]], [[tide[0]!]]])('nothing for %j', (samples) => {
    expect(stripColumns(samples, 10)).toEqual([])
  })
})

describe('stretchesOf and closerLook', () => {
  it('name the settled colours between turns', () => {
    expect(stretchesOf(tide.slice(0, 50), turnsOfTide).map((s) => [s.fromS, s.name])).toEqual([
      [0, 'amber'],
      [4, 'blue'],
      [20, 'amber'],
      [24, 'blue'],
    ])
  })
  it('look closer at a long train only', () => {
    expect(closerLook(tide, turnsOfTide.slice(0, 8))).toBeNull()
    const close = closerLook(tide, turnsOfTide)!
    expect(close.turns).toHaveLength(8)
    expect(close.samples[0]!.timeS).toBeLessThanOrEqual(4)
    expect(close.samples.at(-1)!.timeS).toBeGreaterThan(80)
    expect(close.samples.at(-1)!.timeS).toBeLessThan(84)
    const times = close.samples.map((s) => s.timeS)
    expect(times).toEqual([...times].sort((a, b) => a - b))
  })
})

function elements(svg: string, name: string): readonly XmlElement[] {
  const tree = readXml(svg, 'strip.svg')
  if (!tree.ok) throw new Error(tree.problems.map((p) => p.what).join('; '))
  const found: XmlElement[] = []
  const walk = (e: XmlElement): void => {
    if (e.name === name) found.push(e)
    elementsOf(e).forEach(walk)
  }
  walk(tree.value)
  return found
}

describe('drawStrip', () => {
  const hostile = '"/><script>alert(1)</script>'
  const svg = drawStrip({ samples: tide, turns: turnsOfTide, widthPx: 800, heightPx: 60, label: hostile })
  it('is well-formed XML in which a hostile label stays text', () => {
    expect(attributeOf(elements(svg, 'svg')[0]!, 'aria-label')).toBe(hostile)
    expect(elements(svg, 'script')).toEqual([])
  })
  it('covers the whole width without gaps', () => {
    const rects = elements(svg, 'rect').filter((r) => attributeOf(r, 'fill') !== 'none')
    let at = 0
    for (const r of rects) {
      expect(Number(attributeOf(r, 'x'))).toBe(at)
      at += Number(attributeOf(r, 'width'))
    }
    expect(at).toBe(800)
  })
  it('has a mark for every turn and a scale of time', () => {
    expect(elements(svg, 'line').length).toBeGreaterThan(turnsOfTide.length)
    expect(svg).toMatch(/>30 min</)
  })
  it('draws an empty frame when there is nothing', () => {
    expect(drawStrip({ samples: [], turns: [], widthPx: 300, heightPx: 60, label: 'x' })).toContain('nothing to draw')
  })
})

describe('drawTraces', () => {
  const wave = tide.map((s) => ({ t: s.timeS, v: Math.sin(s.timeS / 3) }))
  const spike = wave.map((w, i) => (i === 1234 ? 50 : w.v))
  const svg = drawTraces({
    traces: [
      { name: 'a & b', unit: 'mV', timesS: wave.map((w) => w.t), values: spike },
      { name: 'flat', unit: '', timesS: [0, 100], values: [3, 3] },
      { name: 'nothing', unit: '', timesS: [0], values: [Number.NaN] },
    ],
    widthPx: 700,
    bandPx: 90,
    label: 'traces',
  })
  it('is well-formed, one curve a trace with values', () => {
    expect(elements(svg, 'polyline')).toHaveLength(2)
  })
  it('keeps a spike of one sample and does not draw thousands of points', () => {
    const points = attributeOf(elements(svg, 'polyline')[0]!, 'points')!.split(' ')
    expect(points.length).toBeLessThan(3000)
    expect(Math.min(...points.map((p) => Number(p.split(',')[1])))).toBeCloseTo(22, 5)
  })
})

describe('scales', () => {
  it.each([
    [0, 10, 3, [0, 5, 10]],
    [-107, 162, 3, [-100, 0, 100]],
    [21, 22.5, 3, [21, 21.5, 22, 22.5]],
    [5, 5, 3, [5]],
  ])('round marks of %f to %f', (low, high, most, marks) => {
    expect(roundMarks(low, high, most)).toEqual(marks)
  })
  it.each([
    [45, '45 s'],
    [120, '2 min'],
    [150, '2 min 30 s'],
    [3900, '1 h 5 min'],
  ])('%i s in words', (seconds, words) => {
    expect(timeWords(seconds)).toBe(words)
  })
  it.each([
    [2.61, '2.6 s'],
    [21.4, '21 s'],
    [118.6, '120 s'],
    [862, '14 min'],
    [9000, '2.5 h'],
  ])('%f s as a prediction', (seconds, words) => {
    expect(aboutTime(seconds)).toBe(words)
  })
  it('steps of a time scale are round', () => {
    expect(timeStep(910, 10)).toBe(120)
    expect(timeStep(7, 10)).toBe(1)
  })
})

import { describe, expect, it } from 'vitest'
import { type Carpet, type Coast, coastLines, type Features } from '../rehearsal/index.ts'
import { drawCarpet, rowWords } from './carpet-drawing.ts'
import { drawCoast } from './coast-drawing.ts'

const features = (firstTurnS: number | null, cycles = 0, periodS: number | null = null): Features => ({
  firstTurnS,
  periodS,
  cycles,
  lengthS: firstTurnS,
  stillGoing: false,
})
const sample = (timeS: number, hex: string, name: string) => ({ timeS, hex, name, lab: [50, 0, 0] as const })
const row = (value: number, turnS: number) => ({
  value,
  text: `× ${value}`,
  features: features(turnS),
  startS: 0,
  turns: [{ timeS: turnS, from: 'colourless', to: 'blue', deltaE: 60 }],
  endColour: 'blue',
  strip: [sample(0, '#ffffff', 'colourless'), sample(turnS, '#203060', 'blue'), sample(100, '#203060', 'blue')],
  problems: [],
})
const carpet: Carpet = {
  vessel: 'flask',
  mechanism: 'clock',
  varied: 'iodide <b>',
  unit: 'times',
  present: 1,
  fromS: 0,
  toS: 100,
  rows: [row(0.5, 80), row(1, 40), row(2, 20)],
  stopped: false,
}
const draw = (c: Carpet): string => drawCarpet({ carpet: c, widthPx: 682, rowPx: 20, label: 'carpet' })

describe('the carpet as a picture', () => {
  const svg = draw(carpet)
  it('has one strip a row, with the turn at its place on the shared axis', () => {
    // 400 px for 100 s from 92 px on; ticks are the only lines of this width
    const ticks = [...svg.matchAll(/<line x1="([\d.]+)" x2="\1" [^>]*stroke-width="1.5"\/>/g)].map((m) => Number(m[1]))
    expect(ticks).toEqual([92 + 320, 92 + 160, 92 + 80])
    expect(svg.match(/fill="#203060"/g)).toHaveLength(3)
  })
  it('can be read without its colours: values, names and times stand there', () => {
    for (const text of ['× 0.500', '× 1.00', '× 2.00', 'first 80 s', 'first 40 s', 'colourless', 'blue']) expect(svg).toContain(`>${text}<`)
  })
  it('marks the recipe as it is, and only that', () => {
    expect(svg.match(/font-weight="bold"/g)).toHaveLength(1)
    expect(svg).toMatch(/font-weight="bold">× 1\.00</)
  })
  it('no name steers the picture', () => {
    expect(svg).not.toContain('<b>')
    expect(svg).toContain('iodide &lt;b&gt;')
  })
  it('nothing to draw is said', () => {
    expect(draw({ ...carpet, rows: [] })).toContain('nothing to draw')
  })
})

it('a row in words', () => {
  const words = (f: Features | null): string => rowWords({ ...row(1, 40), features: f })
  expect(words(features(57, 12, 21))).toBe('first 57 s; 12 cycles of 21 s')
  expect(words({ ...features(57, 12, 21), stillGoing: true })).toBe('first 57 s; over 12 cycles of 21 s')
  expect(words(features(57))).toBe('first 57 s')
  expect(words(features(null))).toBe('no change')
  expect(words(null)).toBe('not rehearsed')
})

describe('the coast as a picture', () => {
  const grid = {
    x: { from: 0.5, to: 2, steps: 'log' },
    y: { from: 10, to: 30, steps: 'linear' },
    coarse: 2,
    halvings: 2,
    mostRuns: 100,
  } as const
  const lines = coastLines(grid, (x, y) => features(x < 1.1 ? null : 30, y > 22 ? 4 : 0, y > 22 ? 15 : null))
  const coast: Coast = {
    ...lines,
    vessel: 'jar',
    mechanism: 'clock',
    x: { varied: 'iodate', unit: 'times', present: 1, ...grid.x },
    y: { varied: 'temperature', unit: '°C', present: 20, ...grid.y },
  }
  const svg = drawCoast({ coast, widthPx: 600, heightPx: 400, label: 'coast' })
  it('has a sign a point and a line a piece of border', () => {
    const rings = svg.match(/r="4.5"/g)?.length ?? 0
    expect(rings).toBe(coast.points.filter((p) => p.show === 'cycles').length + 1)
    expect(svg.match(/stroke-linecap="round"/g)).toHaveLength(coast.border.length)
  })
  it('names its axes, its signs and its numbers', () => {
    for (const text of ['iodate, times the recipe', 'temperature, °C', 'cycles × period', 'nothing seen', '4 × 15 s'])
      expect(svg).toContain(text)
  })
  it('draws within its frame', () => {
    for (const [, x, y] of svg.matchAll(/<line x1="([\d.]+)" y1="([\d.]+)"/g)) {
      expect(Number(x)).toBeGreaterThanOrEqual(76)
      expect(Number(x)).toBeLessThanOrEqual(580)
      expect(Number(y)).toBeGreaterThanOrEqual(28)
      expect(Number(y)).toBeLessThanOrEqual(328)
    }
  })
})

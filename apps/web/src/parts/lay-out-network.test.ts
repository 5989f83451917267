import { describe, expect, it } from 'vitest'
import { layOutNetwork } from './lay-out-network.ts'
import { layoutWish, pathOf } from './network-layout.ts'

const graph = {
  nodes: [
    { kind: 'species', id: 'I-', name: 'iodide', coloured: false },
    { kind: 'species', id: 'I2', name: 'iodine', coloured: true },
    { kind: 'step', id: 'P1', equation: '2 I- -> I2', process: false, reversible: false },
    { kind: 'step', id: 'I2', equation: 'I2 -> 2 I-', process: false, reversible: false },
  ],
  lines: [
    { species: 'I-', step: 'P1', coefficient: -2, side: 'into' },
    { species: 'I2', step: 'P1', coefficient: 1, side: 'outOf' },
    { species: 'I2', step: 'I2', coefficient: -1, side: 'into' },
    { species: 'I-', step: 'I2', coefficient: 2, side: 'outOf' },
  ],
} as const

describe.each(['down', 'across'] as const)('a network laid out %s', (direction) => {
  const wish = layoutWish(graph, direction)
  const laid = layOutNetwork(wish)
  it('has a place for every node, within the picture, none over another', () => {
    const boxes = Object.values(laid.places)
    expect(boxes).toHaveLength(4)
    for (const b of boxes) {
      expect(b.x - b.width / 2).toBeGreaterThanOrEqual(0)
      expect(b.x + b.width / 2).toBeLessThanOrEqual(laid.width)
      expect(b.y + b.height / 2).toBeLessThanOrEqual(laid.height)
    }
    for (const [i, a] of boxes.entries())
      for (const b of boxes.slice(i + 1))
        expect(Math.abs(a.x - b.x) >= (a.width + b.width) / 2 || Math.abs(a.y - b.y) >= (a.height + b.height) / 2).toBe(true)
  })
  it('has a route a line, from the edge of one node to the edge of the other', () => {
    expect(laid.routes).toHaveLength(4)
    laid.routes.forEach((route, i) => {
      const { from, to } = wish.lines[i]!
      const near = (key: string, p: { readonly x: number; readonly y: number }): boolean => {
        const b = laid.places[key]!
        return Math.abs(p.x - b.x) <= b.width / 2 + 1 && Math.abs(p.y - b.y) <= b.height / 2 + 1
      }
      expect(near(from, route[0]!) && near(to, route.at(-1)!)).toBe(true)
    })
  })
  it('becomes a path', () => {
    expect(
      pathOf([
        { x: 0, y: 0 },
        { x: 10, y: 5 },
        { x: 20, y: 0 },
      ]),
    ).toBe('M0 0Q10 5 15 2.5L20 0')
    expect(pathOf([])).toBe('')
  })
})

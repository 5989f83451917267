import { describe, expect, it } from 'vitest'
import { levelCm, placeVessels, pouredL, scaleBarCm, vesselShape } from './vessel-shape.ts'

const jar = {
  id: 'jar',
  capacityL: 2,
  depthCm: 9,
  stirred: true,
  count: 1,
  pours: [
    { solution: 'A', volumeL: 0.36, atS: 0 },
    { solution: 'B', volumeL: 0.24, atS: 10 },
  ],
}

describe('a vessel to scale', () => {
  it('is a cylinder as wide as the depth looked through', () => {
    // V = pi r^2 h, closed form: a litre in a vessel of 11.2838 cm is 10 cm high
    expect(levelCm(1, 2 * Math.sqrt(100 / Math.PI))).toBeCloseTo(10, 9)
    const shape = vesselShape(jar)
    expect(shape.brimCm).toBeCloseTo(2000 / (Math.PI * 4.5 ** 2), 9)
  })
  it('fills with the pours', () => {
    expect([-1, 0, 9, 10].map((t) => pouredL(jar, t))).toEqual([0, 0.36, 0.36, 0.6])
  })
  it('leaves free height where the brim is not known, and never less than the liquid', () => {
    const open = vesselShape({ ...jar, capacityL: null })
    expect(open.brimCm).toBeNull()
    expect(open.drawnCm).toBeGreaterThan(levelCm(0.6, 9))
    expect(vesselShape({ ...jar, capacityL: 0.1 }).drawnCm).toBeCloseTo(levelCm(0.6, 9), 9)
  })
  it('stands on one floor with the others, all to one scale and within the room', () => {
    const shapes = [vesselShape(jar), vesselShape({ ...jar, depthCm: 5, capacityL: 0.6 })]
    const { pxPerCm, places } = placeVessels(shapes, { widthPx: 300, heightPx: 200, topPx: 10, footPx: 20 })
    for (const [i, p] of places.entries()) {
      expect(p.widthPx / shapes[i]!.widthCm).toBeCloseTo(pxPerCm, 9)
      expect(p.leftPx).toBeGreaterThan(0)
      expect(p.leftPx + p.widthPx).toBeLessThan(300)
      expect(p.topPx).toBeGreaterThanOrEqual(10 - 1e-9)
      expect(p.floorPx).toBe(180)
    }
    expect(places[1]!.leftPx).toBeGreaterThan(places[0]!.leftPx + places[0]!.widthPx)
    expect(scaleBarCm(10, 60)).toBe(5)
  })
})

import { describe, expect, it } from 'vitest'
import { panBox, wholeBox, zoomBox } from './network-view-box.ts'

describe('the part of a picture that is seen', () => {
  const whole = wholeBox({ width: 400, height: 100 }, { width: 200, height: 200 })
  it('is the whole in the middle of the window at first', () => {
    expect(whole).toEqual({ x: 0, y: -150, width: 400, height: 400 })
  })
  it('keeps the point under the hand in its place', () => {
    const box = zoomBox(whole, whole, 0.5, { x: 100, y: 50 })
    expect(box.width).toBe(200)
    expect((100 - box.x) / box.width).toBeCloseTo((100 - whole.x) / whole.width, 12)
  })
  it('never leaves the picture', () => {
    expect(zoomBox(whole, whole, 3, { x: 0, y: 0 })).toEqual(whole)
    const closer = zoomBox(whole, whole, 0.25, { x: 0, y: 0 })
    expect(panBox(closer, whole, -1e4, 1e4)).toEqual({ ...closer, x: 0, y: 150 })
  })
})

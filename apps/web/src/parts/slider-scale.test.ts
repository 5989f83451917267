import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PLACES, placeOf, type SliderScale, stepFrom, valueAt } from './slider-scale.ts'

const amounts: SliderScale = { from: 0.2, to: 5, kind: 'log', home: 1 }
const celsius: SliderScale = { from: 11, to: 31, kind: 'linear', home: 21 }

describe('a slider', () => {
  it('has the recipe in the middle of a logarithmic scale', () => {
    expect(placeOf(amounts, 1)).toBe(PLACES / 2)
    expect([valueAt(amounts, 0), valueAt(amounts, PLACES)]).toEqual([0.2, 5])
  })
  it('catches home exactly', () => {
    expect(valueAt(amounts, PLACES / 2 + 3)).toBe(1)
    expect(valueAt(celsius, PLACES / 2 - 5)).toBe(21)
    expect(valueAt(celsius, 0)).toBe(11)
  })
  it('finds a value again at its place', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: PLACES }), fc.constantFrom(amounts, celsius), (place, scale) => {
        const value = valueAt(scale, place)
        return value === scale.home || placeOf(scale, value) === place
      }),
    )
  })
  it('steps away from home and stops there on the way through', () => {
    expect(stepFrom(amounts, 1, 1, false)).toBeGreaterThan(1)
    expect(stepFrom(amounts, 1, -1, false)).toBeLessThan(1)
    expect(stepFrom(amounts, stepFrom(amounts, 1, 1, false), -1, true)).toBe(1)
    expect(stepFrom(amounts, 5, 1, true)).toBe(5)
  })
})

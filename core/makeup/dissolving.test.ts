import { describe, expect, it } from 'vitest'
import { commonIonLimit, type Salt } from './dissolving.ts'

const oneToOne: Salt = { species: ['K+', 'IO3-'], counts: [1, 1], charges: [1, -1] }
/** No activity correction: the textbook case. */
const IDEAL = 0

describe('common-ion limit', () => {
  it('ideal: s (s + b) = s0^2 (closed form)', () => {
    const s0 = 0.1
    for (const b of [0.01, 0.1, 0.3]) {
      expect(commonIonLimit(oneToOne, s0, [b, 0], b / 2, IDEAL)).toBeCloseTo((-b + Math.sqrt(b * b + 4 * s0 * s0)) / 2, 9)
    }
  })

  it('ideal, 2:1 salt: (2 s + b)^2 s = 4 s0^3', () => {
    const salt: Salt = { species: ['K+', 'SO4^2-'], counts: [2, 1], charges: [1, -2] }
    const s = commonIonLimit(salt, 0.05, [0.1, 0], 0.05, IDEAL)!
    expect((2 * s + 0.1) ** 2 * s).toBeCloseTo(4 * 0.05 ** 3, 9)
  })

  it('with nothing else there the limit in water comes back', () => {
    expect(commonIonLimit(oneToOne, 0.3, [0, 0], 0, 0.507)).toBeCloseTo(0.3, 9)
  })

  it('strange ions alone raise it a little (salting in)', () => {
    expect(commonIonLimit(oneToOne, 0.1, [0, 0], 0.1, 0.507)!).toBeGreaterThan(0.1)
  })

  it('beyond 0.5 mol/kg there is no honest number', () => {
    expect(commonIonLimit(oneToOne, 2, [0.1, 0], 0.05, 0.507)).toBeNull()
    expect(commonIonLimit(oneToOne, 0.1, [3, 0], 1.5, 0.507)).toBeNull()
  })
})

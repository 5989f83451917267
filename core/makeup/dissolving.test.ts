import { describe, expect, it } from 'vitest'
import { commonIonLimit, iodineBesideIodide, type Salt } from './dissolving.ts'

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

describe('iodine beside iodide', () => {
  it('no iodide: what water holds; much iodide: nearly half of it, K s = 698 x 1.3e-3 = 0.91 (worked by hand)', () => {
    // 0.033 g in 100 g is 1.3 mmol/kg; bound share 0.91/1.91 = 0.476 of the iodide
    expect(iodineBesideIodide(0.033, 0, 253.81)).toBeCloseTo(0.033, 12)
    expect((iodineBesideIodide(0.033, 0.2, 253.81) * 10) / 253.81).toBeCloseTo(0.0013 + 0.476 * 0.2, 3)
  })
})

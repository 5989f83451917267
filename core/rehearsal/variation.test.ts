import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { facts } from '@beakertide/data'
import { findMechanism } from '../mechanism/index.ts'
import { compositionsOf, elementTotals } from './books.ts'
import { statedPortion, statedSolution } from './stated-solution.ts'
import { noVariation, portionKey, varySolutions } from './variation.ts'

const matter = facts.matter()
const mechanism = findMechanism('iodate-peroxide-malonate', facts.mechanisms(), facts.mechanismDefaults())
if (!mechanism.ok) throw new Error('no mechanism')
const of = compositionsOf(mechanism.value, matter)

/** 0.1 mol/L potassium iodate in 0.05 mol/L sulfuric acid, half a litre. */
const solution = statedSolution('A', { 'K+': 0.1, 'IO3-': 0.1, 'H+': 0.1, 'SO4^2-': 0.05 }, 0.5, 21, mechanism.value, matter)
const portions = [statedPortion('A', 'iodate', 'potassium-iodate', 0.05, 0), statedPortion('A', 'acid', 'sulfuric-acid', 0.025, 0)]

describe('a portion weighed differently', () => {
  it('moves all its ions together and nothing else', () => {
    const [changed] = varySolutions([solution], portions, { ...noVariation, portions: { 'A/iodate': 1.1 } }, matter)
    expect(changed!.amountsMol['IO3-']).toBeCloseTo(0.055, 12)
    expect(changed!.amountsMol['K+']).toBeCloseTo(0.055, 12)
    for (const id of ['H+', 'SO4^2-', 'H2O']) expect(changed!.amountsMol[id]).toBe(solution.amountsMol[id])
    expect(changed!.volumeL).toBe(solution.volumeL)
  })
  it('keeps the charge at nothing, whatever the factors', () => {
    const factor = fc.double({ min: 0.01, max: 3, noNaN: true })
    fc.assert(
      fc.property(factor, factor, (iodate, acid) => {
        const [changed] = varySolutions([solution], portions, { ...noVariation, portions: { 'A/iodate': iodate, 'A/acid': acid } }, matter)
        expect(Math.abs(elementTotals(changed!.amountsMol, of).charge!)).toBeLessThan(1e-15)
        for (const n of Object.values(changed!.amountsMol)) expect(n).toBeGreaterThanOrEqual(0)
      }),
      { seed: 5 },
    )
  })
  it('of another solution leaves this one as it was', () => {
    const [same] = varySolutions([solution], portions, { ...noVariation, portions: { 'B/iodate': 2 } }, matter)
    expect(same!.amountsMol).toEqual(solution.amountsMol)
  })
  it('temperature shifts by kelvins', () => {
    const [warmer] = varySolutions([solution], portions, { ...noVariation, temperatureShiftK: 1.5 }, matter)
    expect(warmer!.temperatureC).toBeCloseTo(22.5, 12)
  })
  it('the key names bottle and solution', () => {
    expect(portionKey({ solution: 'A', bottle: 'iodate' })).toBe('A/iodate')
  })
})

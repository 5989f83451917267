import { readFileSync } from 'node:fs'
import { writtenDocument } from '@beakertide/demonstration/edit'
import { describe, expect, it } from 'vitest'
import { clockOrder, filledL, freeName, levelsOf, moved, plannedVessels, pourValue, widthAtArm } from './pour-plan.ts'

const read = writtenDocument(readFileSync(new URL('../../../../examples/right/three-lanterns.yaml', import.meta.url), 'utf8'))
const vessels = read.ok ? plannedVessels(read.value.vessels) : []

describe('pours as written', () => {
  it('are taken over by vessels that are like another, later by their start', () => {
    expect(vessels.map((v) => [v.id, v.holdsL, v.widthCm, v.pours.map((p) => p.atS)])).toEqual([
      ['left', 0.6, 7, [0, 0, 5]],
      ['middle', 0.6, 7, [20, 20, 25]],
      ['right', 0.6, 7, [40, 40, 45]],
    ])
    expect(clockOrder(vessels).map((c) => c.vessel)).toEqual([
      'left',
      'left',
      'left',
      'middle',
      'middle',
      'middle',
      'right',
      'right',
      'right',
    ])
  })
  it('rise in the vessel as their volumes say', () => {
    // 300 mL in a round vessel 7 cm wide: 300 / (pi 3.5^2) = 7.80 cm.
    expect(levelsOf(vessels[0]!).at(-1)?.cm).toBeCloseTo(300 / (Math.PI * 3.5 ** 2), 6)
    expect(filledL(vessels[0]!)).toBeCloseTo(0.3, 12)
  })
  it('move by one place, and not out of the list', () => {
    expect(moved(['a', 'b', 'c'], 1, -1)).toEqual(['b', 'a', 'c'])
    expect(moved(['a', 'b'], 1, 1)).toEqual(['a', 'b'])
  })
  it('are written as documents write them', () => {
    expect(pourValue({ volume: '250 mL', pour: 'A', at: '0 s', temperature: '' })).toBe('250 mL of A')
    expect(pourValue({ volume: '250 mL', pour: 'A', at: '5 s', temperature: '40 degC' })).toEqual({
      pour: 'A',
      volume: '250 mL',
      at: '5 s',
      temperature: '40 degC',
    })
  })
  it('look smaller from afar', () => {
    // Similar triangles: 9 cm at 6 m is 0.9 cm at 60 cm.
    expect(widthAtArm(9, 6)).toBeCloseTo(0.9, 12)
  })
  it('find a free name', () => {
    expect(freeName('jar', ['jar', 'jar 2'])).toBe('jar 3')
  })
})

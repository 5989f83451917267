import { describe, expect, it } from 'vitest'
import { isSolidForm } from './solid-form.ts'

describe('isSolidForm', () => {
  it('tells solids from liquids by the form of the substance table', () => {
    expect(['crystals', 'powder', 'pellets, flakes'].every(isSolidForm)).toBe(true)
    expect(['solution', 'viscous liquid', 'syrup', 'fuming solution'].some(isSolidForm)).toBe(false)
  })
})

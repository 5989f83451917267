import { describe, expect, it } from 'vitest'
import type { Caution, Cautions } from './caution.ts'
import { worseCautions } from './worse-cautions.ts'

const caution = (code: string, severity: Caution['severity'], what: string, about = 'vessel "jar"'): Caution => ({
  code,
  severity,
  about,
  what,
  instead: '',
  source: { source: 'invented for this test', seen: 'assumed' },
})
const list = (...cautions: Caution[]): Cautions => ({ list: cautions, standing: [], refused: false })

describe('what a changed recipe adds', () => {
  const gas = caution('cautions/gas', 3, 'up to 15 L of gas')
  const note = caution('cautions/stain', 1, 'stains for 2 days')
  it('is nothing where nothing changed, or where something went away', () => {
    expect(worseCautions(list(gas, note), list(gas, note))).toEqual([])
    expect(worseCautions(list(gas, note), list(note))).toEqual([])
  })
  it('is a new one, one at another place, and a graver one', () => {
    const heat = caution('cautions/heat', 2, 'warms by 72 K')
    const elsewhere = { ...note, about: 'vessel "pot"' }
    expect(worseCautions(list(gas, note), list(gas, heat, note, elsewhere))).toEqual([heat, elsewhere])
    expect(worseCautions(list({ ...gas, severity: 2 }), list(gas))).toEqual([gas])
  })
  it('is a grave one with other numbers, but not a note with other numbers', () => {
    const more = { ...gas, what: 'up to 40 L of gas' }
    expect(worseCautions(list(gas, note), list(more, { ...note, what: 'stains for 3 days' }))).toEqual([more])
  })
})

import { expect, it } from 'vitest'
import { type DangerLine, GRAVE_FROM } from '@beakertide/core/papers'
import { GRAVE, isGrave } from './grave.ts'

it('a page calls grave what the sheets call grave', () => {
  expect(GRAVE).toBe(GRAVE_FROM)
  const line = { severity: GRAVE_FROM, refused: false, onlyIf: false, about: 'vessel "jar"', what: 'it boils', instead: '' } as DangerLine
  expect(isGrave(line)).toBe(true)
  expect(isGrave({ ...line, severity: 2 })).toBe(false)
  expect(isGrave({ ...line, onlyIf: true })).toBe(false)
  expect(isGrave({ ...line, severity: 1, refused: true })).toBe(true)
})

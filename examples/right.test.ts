import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { problemsText } from '@beakertide/basis/problems'
import { parseDemonstration } from '@beakertide/demonstration'

const folder = new URL('right/', import.meta.url)
const names = readdirSync(folder).filter((n) => n.endsWith('.yaml'))

describe('whole demonstrations', () => {
  it('there are at least nine', () => {
    expect(names.length).toBeGreaterThanOrEqual(9)
    expect(names).toContain('tide-in-a-jar.yaml')
  })
  it.each(names)('%s is read without a problem and without a warning', (name) => {
    const got = parseDemonstration(readFileSync(new URL(name, folder), 'utf8'), name)
    expect(problemsText(got.ok ? got.warnings : got.problems)).toBe('')
  })
})

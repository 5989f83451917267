import { describe, expect, it } from 'vitest'
import { factsFrom } from './facts.ts'
import { facts, packTexts, textsOnDisk } from './index.ts'
import { packedTexts } from './packed-texts.ts'

describe('packed texts', () => {
  const json = packTexts(textsOnDisk)
  it('give a page the same facts as the disk', () => {
    const inPage = factsFrom(packedTexts(json))
    expect(JSON.stringify(inPage.day())).toBe(JSON.stringify(facts.day()))
    expect(inPage.mechanisms()).toEqual(facts.mechanisms())
    expect(inPage.mechanismDefaults()).toEqual(facts.mechanismDefaults())
  })
  it('leave out what no day reads, and say so when it is asked for', () => {
    expect(JSON.parse(json).tables).not.toHaveProperty(['tables/buffer_standards'])
    expect(() => packedTexts(json).table('tables/buffer_standards')).toThrow(/buffer_standards/)
  })
})
